//! How wide and how tall a tyre stands on a rim.
//!
//! A tyre's number holds on the rim it is measured on. On another rim it is wider by a part of what
//! the rim is wider: makers' tables have half a millimetre for each (`w-SCHR` among the sources), one
//! tyre a whole one (`w-SCHW`), and what people measured lies between a fifth and eight tenths
//! (`u-BESC`, `u-LFGW`). Which rim a tyre was measured on depends on the edition of the table
//! (`w-VITT`, `w-W577`). Outside diameter = bead seat + 2 x height, and the height is about the width
//! (`w-W577`). All of it is whole nanometres; shares are in millionths and rounded outward.

use crate::dim::Span;

/// Millionths in one.
const WHOLE: i64 = 1_000_000;

/// A part of a length, with the share in millionths: the least and the most it can be.
pub fn part(share: Span, of: Span) -> Option<Span> {
    let corners = [
        share.low.checked_mul(of.low)?,
        share.low.checked_mul(of.high)?,
        share.high.checked_mul(of.low)?,
        share.high.checked_mul(of.high)?,
    ];
    let low = corners.iter().min()?.div_euclid(WHOLE);
    let most = corners.iter().max()?;
    let high = most.div_euclid(WHOLE) + i64::from(most.rem_euclid(WHOLE) != 0);
    Some(Span { low, high })
}

/// What is known of a tyre on a rim.
#[derive(Clone, Copy, Debug)]
pub struct OnRim {
    /// The tyre's number.
    pub width: Span,
    /// The rim's inner width.
    pub inner: Span,
    /// The rim it is measured on by the present edition of the table.
    pub measured_on: Span,
    /// The rim it was measured on by the older one, as a share of its number.
    pub once_share: Span,
    /// How much it widens for what the rim is wider, as a share.
    pub widens: Span,
    /// How far a tyre may be off its number.
    pub off: Span,
    /// How much it grows in use.
    pub grows: Span,
}

impl OnRim {
    /// The width it stands on this rim.
    pub fn mounted(&self) -> Option<Span> {
        let once = part(self.once_share, self.width)?;
        let own = Span {
            low: once.low.min(self.measured_on.low),
            high: once.high.max(self.measured_on.high),
        };
        let wider = part(self.widens, self.inner.plus(own.negated()))?;
        let known = self.width.plus(wider).plus(self.off).plus(self.grows);
        bounded(known)
    }
}

/// The number on a tyre, and what it stands wider on a rim wider than the one it is measured on.
pub fn on_wider_rim(width: Span, inner: Span, measured_on: Span, widens: Span) -> Option<Span> {
    let more = bounded(inner.plus(measured_on.negated()))?;
    let more = Span {
        low: more.low.max(0),
        high: more.high.max(0),
    };
    bounded(width.plus(part(widens, more)?))
}

/// The outside diameter: the bead seat and twice the height, which is the width and what it is taller.
pub fn outside(bead_seat: Span, width: Span, taller: Span) -> Option<Span> {
    bounded(bead_seat.plus(width.plus(taller).times(2)))
}

/// Half of a length, rounded outward.
pub fn half(of: Span) -> Span {
    Span {
        low: of.low.div_euclid(2),
        high: of.high.div_euclid(2) + of.high.rem_euclid(2),
    }
}

/// What is left on each side of a tyre in the middle of a room.
pub fn beside(room: Span, width: Span) -> Option<Span> {
    bounded(room)?;
    bounded(width)?;
    Some(half(room.plus(width.negated())))
}

/// The widest a tyre may stand in a room with so much left on each side.
pub fn widest(room: Span, beside: Span) -> Option<Span> {
    let left = bounded(room)?.plus(bounded(beside)?.times(2).negated());
    (left.low > 0).then_some(left)
}

/// What is left above a tyre, from its outside and how far the axle is from what is above it.
pub fn above(reach: Span, outside: Span) -> Option<Span> {
    bounded(reach)?;
    bounded(outside)?;
    Some(reach.plus(half(outside).negated()))
}

fn bounded(span: Span) -> Option<Span> {
    (span.low != Span::LEAST && span.high != Span::MOST).then_some(span)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tenths(low: i64, high: i64) -> Span {
        Span::between(low * 100_000, high * 100_000)
    }

    fn mm(value: i64) -> Span {
        tenths(value * 10, value * 10)
    }

    // Worked by hand: a 40 on a rim 25 wide; measured on 23 now and on 22 once, so 2 to 3 narrower;
    // a half to a whole millimetre for each; off by 1 either way, growing by up to 2.
    #[test]
    fn a_width_worked_by_hand() {
        let on = OnRim {
            width: mm(40),
            inner: mm(25),
            measured_on: mm(23),
            once_share: Span::exactly(550_000),
            widens: Span::between(500_000, 1_000_000),
            off: tenths(-10, 10),
            grows: tenths(0, 20),
        };
        assert_eq!(on.mounted(), Some(tenths(400, 460)));
    }

    #[test]
    fn a_narrower_rim_makes_it_narrower() {
        let on = OnRim {
            width: mm(28),
            inner: mm(15),
            measured_on: mm(19),
            once_share: Span::exactly(650_000),
            widens: Span::exactly(500_000),
            off: mm(0),
            grows: mm(0),
        };
        assert_eq!(on.mounted(), Some(tenths(260, 264)));
    }

    #[test]
    fn only_a_wider_rim_adds_to_the_number() {
        let widens = Span::between(500_000, 1_000_000);
        let on = |inner| on_wider_rim(mm(28), mm(inner), mm(19), widens);
        assert_eq!(on(15), Some(mm(28)));
        assert_eq!(on(19), Some(mm(28)));
        assert_eq!(on(23), Some(tenths(300, 320)));
    }

    #[test]
    fn room_is_shared_by_both_sides() {
        assert_eq!(beside(mm(36), mm(28)), Some(mm(4)));
        assert_eq!(beside(mm(20), mm(28)), Some(mm(-4)));
        assert_eq!(widest(mm(36), mm(4)), Some(mm(28)));
        assert_eq!(widest(mm(6), mm(4)), None);
        assert_eq!(above(mm(350), mm(678)), Some(mm(11)));
        assert_eq!(beside(Span::at_least(0), mm(28)), None);
    }

    #[test]
    fn an_outside_is_the_seat_and_twice_the_height() {
        assert_eq!(outside(mm(622), mm(28), mm(0)), Some(mm(678)));
        assert_eq!(outside(mm(622), mm(28), mm(-2)), Some(mm(674)));
    }
}
