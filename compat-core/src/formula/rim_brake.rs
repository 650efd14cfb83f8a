//! Where the brake track of another wheel stands.
//!
//! A rim's radius at the bead seat is half the bead seat diameter, so another wheel moves the track
//! by half the difference of the two (Brainy Biker, "What brakes do I need for a 26 to 650b
//! conversion": 292 less 279.5 is 12.5). Rims differ by a millimetre or two in how far the track
//! stands from the bead seat; that is left to the adjustment. Halves are rounded to the whole
//! nanometre.

use crate::dim::Span;

fn half(span: Span) -> Span {
    let half = |value: i64| match value {
        Span::LEAST | Span::MOST => value,
        _ => value.div_euclid(2),
    };
    Span {
        low: half(span.low),
        high: half(span.high),
    }
}

/// From the bolt hole to the track of a rim, where `drop` was measured with a wheel of bead seat
/// `measured`.
pub fn drop_with(drop: Option<Span>, measured: Option<Span>, rim: Option<Span>) -> Option<Span> {
    Some(drop?.plus(half(measured?.plus(rim?.negated()))))
}

/// How far the bead seat of a rim stands above a boss that is `height` from the axle.
pub fn above_boss(rim: Option<Span>, height: Option<Span>) -> Option<Span> {
    Some(half(rim?).plus(height?.negated()))
}

#[cfg(test)]
mod tests {
    use super::*;

    const fn mm(value: i64) -> Option<Span> {
        Some(Span::exactly(value * 1_000_000))
    }

    // Brainy Biker, 26 to 650b: the pads move by 12.5 mm. Forum threads on 27 inch to 700C: 4 mm.
    #[test]
    fn another_wheel_moves_the_track_by_half_the_difference() {
        let moved = |from, to| drop_with(mm(50), mm(from), mm(to)).unwrap().low - 50_000_000;
        assert_eq!(moved(559, 584), -12_500_000);
        assert_eq!(moved(630, 622), 4_000_000);
        assert_eq!(drop_with(mm(50), None, mm(622)), None);
    }

    // A frame builder's list: bosses at 283, 265 and 253.5 from the axle for 622, 584 and 559.
    #[test]
    fn bosses_of_three_wheels_stand_alike_below_the_rim() {
        let height = |rim, boss| above_boss(mm(rim), Some(Span::exactly(boss))).unwrap().low;
        assert_eq!(height(622, 283_000_000), 28_000_000);
        assert_eq!(height(584, 265_000_000), 27_000_000);
        assert_eq!(height(559, 253_500_000), 26_000_000);
    }
}
