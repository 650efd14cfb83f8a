//! Leverage of a rear suspension: wheel travel for shock stroke.
//!
//! Average leverage ratio = wheel travel / shock stroke (the definition used in suspension setup
//! guides; figures to test it with are in the tests). The ratio changes through the travel, so a
//! travel worked out for another stroke is an estimate: it is given to the whole millimetre.

use super::exact::{length, positive, whole};
use uom::si::f64::{Length, Ratio};
use uom::si::length::millimeter;
use uom::si::ratio::ratio;

/// The average leverage ratio; `None` for a stroke of nothing.
pub fn average(travel: Length, stroke: Length) -> Option<Ratio> {
    let found: Ratio = travel / stroke;
    found.is_finite().then_some(found)
}

/// The wheel travel another stroke gives at the same average ratio.
pub fn travel(leverage: Ratio, stroke: Length) -> Length {
    leverage * stroke
}

/// The wheel travel for a new stroke from the old pair, in nanometres, rounded to the nearest
/// whole millimetre. `None` for a stroke of nothing or lengths out of all reason.
pub fn new_travel(travel_now: i64, stroke_now: i64, stroke_new: i64) -> Option<i64> {
    let leverage = average(length(travel_now)?, length(stroke_now)?)?;
    if leverage.get::<ratio>() <= 0.0 {
        return None;
    }
    let travel = travel(leverage, length(stroke_new)?).get::<millimeter>();
    whole(travel)?.checked_mul(1_000_000)
}

/// The average leverage ratio of lengths in nanometres, in millionths, to the nearest hundredth.
pub fn ratio_of(travel: i64, stroke: i64) -> Option<i64> {
    let (travel, stroke) = (positive(travel)?, positive(stroke)?);
    whole(travel / stroke * 100.0)?.checked_mul(10_000)
}

/// The sag at the shock: a share of the stroke, in nanometres, to the nearest half millimetre. The
/// share is in ten-thousandths of a per cent.
pub fn sag(stroke: i64, share: i64) -> Option<i64> {
    whole(positive(stroke)? / 1.0e6 * part(share)? * 2.0)?.checked_mul(500_000)
}

/// The rate of a coil that lets the rear wheel sag so far, in millinewtons for a metre, to the
/// nearest newton for a millimetre.
///
/// At the wheel the spring feels weight x share x leverage, and yields stroke x sag:
/// k = W x share x LR / (stroke x sag). It follows from the definitions of rate and leverage
/// (`s-PBS`).
pub fn spring_rate(weight: i64, rear: i64, leverage: i64, stroke: i64, sag: i64) -> Option<i64> {
    let newtons = positive(weight)? / 1.0e6 * 9.80665;
    let force = newtons * part(rear)? * (positive(leverage)? / 1.0e6);
    let way = positive(stroke)? / 1.0e6 * part(sag)?;
    whole(force / way)?.checked_mul(1_000_000)
}

/// A share of one.
fn part(ten_thousandths: i64) -> Option<f64> {
    Some(positive(ten_thousandths)? / 1.0e6)
}

#[cfg(test)]
mod tests {
    use super::*;

    // Wheel travel and shock size of two bikes as their makers publish them, and the ratio by hand.
    #[test]
    fn published_travel_and_stroke_give_the_ratio() {
        for (travel, stroke, expected) in [
            (140.0, 55.0, 2.545),
            (145.0, 55.0, 2.636),
            (160.0, 65.0, 2.462),
        ] {
            let found = average(
                Length::new::<millimeter>(travel),
                Length::new::<millimeter>(stroke),
            )
            .unwrap();
            assert!(
                (found.get::<ratio>() - expected).abs() < 0.0005,
                "{travel}/{stroke}: {found:?}"
            );
        }
    }

    // A rider's sum in a forum thread on a longer stroke: 110 mm at 44.5 mm is about 123 at 50.
    #[test]
    fn a_longer_stroke_gives_more_travel() {
        assert_eq!(
            new_travel(110_000_000, 44_500_000, 50_000_000),
            Some(124_000_000)
        );
        assert_eq!(new_travel(110_000_000, 0, 50_000_000), None);
    }

    // The same rate in pounds and inches, where no weight must be turned into a force: a rider of
    // 200 lb, 65 % on the rear wheel, 160 mm of travel from 65 mm of stroke, 30 % of sag.
    #[test]
    fn a_rate_in_pounds_for_an_inch() {
        let leverage = 160.0 / 65.0;
        let pounds = 200.0 * 0.65 * leverage / (65.0 / 25.4 * 0.30);
        assert!((pounds - 416.8_f64).abs() < 0.5, "{pounds}");
        let found = spring_rate(
            200 * 453_592,
            650_000,
            ratio_of(160_000_000, 65_000_000).unwrap(),
            65_000_000,
            300_000,
        );
        let per_inch = f64::from(i32::try_from(found.unwrap() / 1_000).unwrap()) / 175.127;
        assert!(
            (per_inch - pounds).abs() < 3.5,
            "{per_inch} against {pounds}"
        );
    }

    // Published: sag is a share of the stroke, so that 30 % of 65 mm is 19.5 mm.
    #[test]
    fn sag_is_a_share_of_the_stroke() {
        assert_eq!(sag(65_000_000, 300_000), Some(19_500_000));
        assert_eq!(sag(0, 300_000), None);
        assert_eq!(sag(i64::MAX, i64::MAX), None);
        assert_eq!(spring_rate(0, 0, 0, 0, 0), None);
        assert_eq!(ratio_of(140_000_000, 55_000_000), Some(2_550_000));
    }
}
