//! The stack of cogs of a cassette: one pitch from each cog to the next, and the thickness of one.
//!
//! stack = pitch x (cogs - 1) + thickness of a cog. A cog left out makes it one pitch shorter.
//! Whole nanometres throughout; nothing is rounded.

use crate::dim::Span;

/// How wide a stack of so many cogs is. `None` for no cogs.
pub fn stack(pitch: Span, cogs: i64, cog: Span) -> Option<Span> {
    let steps = cogs.checked_sub(1).filter(|steps| *steps >= 0)?;
    Some(pitch.times(steps).plus(cog))
}

/// How much shorter the stack is without so many cogs. Without any it is as it was, whatever the
/// pitch; `None` where the pitch is wanted and not known.
pub fn shorter(left_out: Span, pitch: Option<Span>) -> Option<Span> {
    if left_out.low < 0 {
        return None;
    }
    if left_out == Span::exactly(0) {
        return Some(left_out);
    }
    let pitch = pitch.filter(|pitch| pitch.low > 0)?;
    Some(Span {
        low: pitch.times(left_out.low).low,
        high: pitch.times(left_out.high).high,
    })
}

/// How many cogs must be left out of a stack that is too long by so much. `None` where that is not
/// one number.
pub fn to_leave_out(too_long: Span, pitch: Span) -> Option<i64> {
    let cogs = |too_long: i64, pitch: i64| {
        let whole = too_long.checked_div(pitch)?;
        Some(if whole.checked_mul(pitch)? < too_long {
            whole + 1
        } else {
            whole
        })
    };
    if too_long.low <= 0 || pitch.low <= 0 {
        return None;
    }
    let fewest = cogs(too_long.low, pitch.high)?;
    (cogs(too_long.high, pitch.low)? == fewest).then_some(fewest)
}

#[cfg(test)]
mod tests {
    use super::*;

    // In hundredths of a millimetre.
    fn mm(hundredths: i64) -> Span {
        Span::exactly(hundredths * 10_000)
    }

    /// Number of cogs, pitch and thickness, and the width over all: as the tables give them.
    /// `d-2NDG` has 29.5, 35.4 and 36.5 for six, eight and nine, `d-TI10` 37.2 for ten, `u-STBK`
    /// 24.0, 31.9, 35.4, 36.5 and 37.2 for five, seven, eight, nine and ten.
    #[test]
    fn published_widths() {
        for (cogs, pitch, cog, wide) in [
            (5, 550, 200, 2400),
            (6, 550, 200, 2950),
            (7, 500, 185, 3190),
            (8, 480, 180, 3540),
            (9, 434, 178, 3650),
            (10, 395, 160, 3720),
        ] {
            let found = stack(mm(pitch), cogs, mm(cog)).unwrap();
            let off = (found.low - wide * 10_000).abs();
            assert!(off <= 50_000, "{cogs} cogs: {found:?} against {wide}");
        }
    }

    /// Ten of eleven on a body 1.85 mm too short (`d-ROL`, `u-STW10`), eight of nine on one made
    /// for seven (`u-BFRI`, `u-SBK7`): one cog each.
    #[test]
    fn published_leavings_out() {
        assert_eq!(to_leave_out(mm(185), mm(378)), Some(1));
        assert_eq!(to_leave_out(mm(390), mm(434)), Some(1));
        assert_eq!(to_leave_out(mm(779), mm(390)), Some(2));
    }

    #[test]
    fn the_stack_without_a_cog_is_the_stack_of_one_less() {
        let (pitch, cog) = (mm(434), mm(178));
        for cogs in 2..12 {
            for out in 0..cogs {
                let less = shorter(Span::exactly(out), Some(pitch)).unwrap();
                let whole = stack(pitch, cogs, cog).unwrap();
                assert_eq!(
                    stack(pitch, cogs - out, cog).unwrap(),
                    whole.plus(less.negated())
                );
            }
        }
    }

    #[test]
    fn what_is_not_known_is_not_told() {
        assert_eq!(shorter(Span::exactly(1), None), None);
        assert_eq!(shorter(Span::exactly(0), None), Some(Span::exactly(0)));
        assert_eq!(shorter(Span::between(-1, 1), Some(mm(400))), None);
        assert_eq!(stack(mm(400), 0, mm(160)), None);
        assert_eq!(to_leave_out(mm(185), mm(0)), None);
        assert_eq!(
            to_leave_out(Span::between(3_900_000, 4_500_000), mm(434)),
            None
        );
        assert_eq!(to_leave_out(Span::ALL, Span::ALL), None);
        assert_eq!(
            to_leave_out(Span::exactly(i64::MAX), Span::exactly(1)),
            Some(i64::MAX)
        );
    }
}
