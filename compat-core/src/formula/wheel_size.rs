//! What another wheel size changes: where the axles and the bottom bracket stand, and the room for
//! the toe.
//!
//! An axle stands as high as the tyre's radius; the bottom bracket stands below the line of the axles
//! by its drop, at its own place along the wheelbase (`w-SPAN`: 20 mm of diameter are 10 mm of height
//! where both wheels change). Lengths are whole nanometres; a height is given to the millimetre, as a
//! tyre's radius is no better known.

use crate::dim::Span;

/// The height of the bottom bracket: the mean of both axles, less the drop. It lies nearer the rear
/// axle, so it lies between this and the rear axle's height less the drop; both are in the span.
pub fn bottom_bracket(front_radius: Span, rear_radius: Span, drop: Span) -> Option<Span> {
    let both = front_radius.plus(rear_radius);
    let mean = Span {
        low: both.low.div_euclid(2),
        high: both.high.div_euclid(2),
    };
    let axle = Span {
        low: mean.low.min(rear_radius.low),
        high: mean.high.max(rear_radius.high),
    };
    rounded(axle.plus(drop.negated()))
}

/// From the spindle to the front tyre, along the line to its axle: crank and toe want it.
pub fn toe_room(front_centre: Span, front_radius: Span) -> Option<Span> {
    rounded(front_centre.plus(front_radius.negated()))
}

/// How far one rolls in a turn, to the millimetre; circles are not counted in whole numbers, so the
/// ratio is 355/113, right to a part in ten million.
pub fn circumference(diameter: Span) -> Option<Span> {
    let round = |value: i64| Some(value.checked_mul(355)? / 113);
    rounded(Span {
        low: round(diameter.low)?,
        high: round(diameter.high)?,
    })
}

/// Round a circle, by the same ratio, not rounded: what a tape in the bead seat shows.
pub fn around(diameter: Span) -> Option<Span> {
    let round = |value: i64| Some(value.checked_mul(355)? / 113);
    Some(Span {
        low: round(diameter.low)?,
        high: round(diameter.high)?,
    })
}

/// To the whole millimetre, outward.
fn rounded(span: Span) -> Option<Span> {
    const MILLIMETRE: i64 = 1_000_000;
    if span.low == Span::LEAST || span.high == Span::MOST {
        return None;
    }
    let up = i64::from(span.high.rem_euclid(MILLIMETRE) != 0);
    Some(Span {
        low: span.low.div_euclid(MILLIMETRE) * MILLIMETRE,
        high: (span.high.div_euclid(MILLIMETRE) + up) * MILLIMETRE,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mm(value: i64) -> Span {
        Span::exactly(value * 1_000_000)
    }

    // The published sum: 20 mm less of diameter on both wheels lower the bottom bracket by 10.
    #[test]
    fn twenty_of_diameter_are_ten_of_height() {
        let before = bottom_bracket(mm(350), mm(350), mm(60));
        let after = bottom_bracket(mm(340), mm(340), mm(60));
        assert_eq!((before, after), (Some(mm(290)), Some(mm(280))));
    }

    // With axles at different heights the bracket hangs on the line between them. Worked out as a
    // line through two points, for brackets anywhere from the rear axle to the middle.
    #[test]
    fn the_span_holds_a_line_between_the_axles() {
        let (front, rear, drop) = (372.0_f64, 355.0_f64, 40.0_f64);
        let found = bottom_bracket(mm(372), mm(355), mm(40)).unwrap();
        for share in 0..=50 {
            let height = rear + (front - rear) * f64::from(share) / 100.0 - drop;
            let nanometres = height * 1.0e6;
            assert!(nanometres >= found.low as f64 && nanometres <= found.high as f64);
        }
    }

    #[test]
    fn a_larger_wheel_takes_from_the_toe() {
        assert_eq!(toe_room(mm(580), mm(338)), Some(mm(242)));
        assert_eq!(toe_room(mm(580), mm(355)), Some(mm(225)));
    }
}
