//! The ratio a chain turns a hub gear at: teeth of the ring over teeth of the sprocket.

use uom::si::f64::Ratio;
use uom::si::ratio::{part_per_million, ratio};

use super::exact::{positive, whole};
use crate::dim::Span;

/// Ring over sprocket; `None` for a sprocket without teeth.
pub fn primary(ring: f64, sprocket: f64) -> Option<Ratio> {
    let found = Ratio::new::<ratio>(ring / sprocket);
    (found.is_finite() && sprocket > 0.0 && ring > 0.0).then_some(found)
}

/// The same of two readings, in millionths rounded to the nearest. `None` where one is open-ended.
pub fn of(ring: Span, sprocket: Span) -> Option<Span> {
    let low = primary(positive(ring.low)?, positive(sprocket.high)?)?;
    let high = primary(positive(ring.high)?, positive(sprocket.low)?)?;
    Some(Span {
        low: whole(low.get::<part_per_million>())?,
        high: whole(high.get::<part_per_million>())?,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ratio_of(ring: i64, sprocket: i64) -> i64 {
        of(Span::exactly(ring), Span::exactly(sprocket))
            .unwrap()
            .low
    }

    /// The table of shifts printed for a 14-speed hub, the widest of its gears 0.279 (`u-GHBG`):
    /// ring 38 on sprocket 13 gives 0.815 in the lowest gear.
    #[test]
    fn the_lowest_gear_of_a_published_pair() {
        let lowest = ratio_of(38, 13) as f64 / 1e6 * 0.279;
        assert!((lowest - 0.815).abs() < 0.001, "{lowest}");
    }

    /// Least ratios published for two hubs times their lowest gears (`u-GHBG`): 2.35 x 0.279 = 0.655
    /// and 1.9 x 0.527 = 1.00.
    #[test]
    fn least_ratios_give_the_published_lowest_gears() {
        assert_eq!(ratio_of(40, 17), 2_352_941);
        assert_eq!(ratio_of(38, 20), 1_900_000);
        assert!((2.35 * 0.279_f64 - 0.655).abs() < 0.001);
        assert!((1.9 * 0.527_f64 - 1.0).abs() < 0.002);
    }

    #[test]
    fn a_span_of_teeth_gives_a_span_of_ratios() {
        let both = of(Span::between(38, 40), Span::between(19, 20)).unwrap();
        assert_eq!((both.low, both.high), (1_900_000, 2_105_263));
        assert_eq!(of(Span::at_least(38), Span::exactly(0)), None);
        assert_eq!(of(Span::at_least(38), Span::exactly(19)), None);
    }
}
