//! Leverage of a rear suspension: wheel travel for shock stroke.
//!
//! Average leverage ratio = wheel travel / shock stroke (the definition used in suspension setup
//! guides; figures to test it with are in the tests). The ratio changes through the travel, so a
//! travel worked out for another stroke is an estimate: it is given to the whole millimetre.

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
    let length = |nanometres: i64| {
        Some(Length::new::<millimeter>(
            f64::from(i32::try_from(nanometres / 1_000).ok()?) / 1_000.0,
        ))
    };
    let leverage = average(length(travel_now)?, length(stroke_now)?)?;
    if leverage.get::<ratio>() <= 0.0 {
        return None;
    }
    let millimetres = travel(leverage, length(stroke_new)?)
        .get::<millimeter>()
        .round();
    // Below a kilometre the number is far from the end of what is exact.
    if !(0.0..1.0e6).contains(&millimetres) {
        return None;
    }
    format!("{millimetres:.0}")
        .parse::<i64>()
        .ok()?
        .checked_mul(1_000_000)
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
}
