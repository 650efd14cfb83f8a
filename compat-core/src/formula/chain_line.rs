//! Chain lines: how far from the middle of the frame the chain runs.
//!
//! In front it is measured to the ring, to midway between two, or to the middle one of three. Behind
//! it is half the hub's spacing, less the gap from the dropout to the cogs, less half the cogs' width
//! (the rule of a tool maker's page, `d-HOZ5` among the sources). A spindle that is the same on both
//! sides moves the rings by half of what it is longer.

use crate::dim::Span;

/// The chain line behind, in nanometres.
pub fn behind(spacing: Span, gap: Span, cogs: Span) -> Option<Span> {
    let one = |spacing: i64, gap: i64, cogs: i64| half(spacing.checked_sub(cogs)?).checked_sub(gap);
    Some(Span {
        low: one(spacing.low, gap.high, cogs.high)?,
        high: one(spacing.high, gap.low, cogs.low)?,
    })
}

/// How far the rings move outwards on a spindle longer by so much, in nanometres.
pub fn moved(longer: Span) -> Span {
    Span {
        low: half(longer.low),
        high: half(longer.high),
    }
}

/// How far two chain lines lie apart, whichever is further out.
pub fn apart(front: Span, behind: Span) -> Option<Span> {
    let low = front.low.checked_sub(behind.high)?;
    let high = front.high.checked_sub(behind.low)?;
    let crosses = low <= 0 && high >= 0;
    let (one, other) = (low.checked_abs()?, high.checked_abs()?);
    Some(Span {
        low: if crosses { 0 } else { one.min(other) },
        high: one.max(other),
    })
}

fn half(length: i64) -> i64 {
    length.div_euclid(2)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mm(tenths: i64) -> Span {
        Span::exactly(tenths * 100_000)
    }

    // A crank that has its rings on 47.5 with a spindle of 113 has them on 50 with one of 118, says
    // the page of a tool maker (`u-HOZS`).
    #[test]
    fn published_spindles_move_the_rings_by_half() {
        let moved = moved(mm(1180 - 1130));
        assert_eq!(moved, mm(500 - 475));
    }

    // The same from a road crank: 43.5 on 109 and about 48 on 118, worked out by somebody who asks
    // whether that is right (`u-CFBB`).
    #[test]
    fn a_riders_sum_agrees() {
        assert_eq!(moved(mm(1180 - 1090)), mm(480 - 435));
    }

    // A single cog 16.5 mm inside the dropout of a hub of 135 lies on a line of 51 (`d-LFG`): a cog
    // of no width is its own middle.
    #[test]
    fn a_published_single_cog_lies_where_it_is_said_to() {
        assert_eq!(behind(mm(1350), mm(165), mm(0)), Some(mm(510)));
    }

    #[test]
    fn lines_apart_whichever_way() {
        assert_eq!(apart(mm(420), mm(450)), Some(mm(30)));
        assert_eq!(apart(mm(450), mm(420)), Some(mm(30)));
        let wide = Span::between(41_000_000, 43_000_000);
        assert_eq!(apart(wide, mm(420)), Some(Span::between(0, 1_000_000)));
        assert_eq!(behind(Span::at_least(1), mm(1), Span::at_most(0)), None);
    }
}
