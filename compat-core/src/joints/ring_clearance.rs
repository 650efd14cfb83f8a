//! The largest ring a frame clears: one figure for a single ring, which stands further in, and two
//! for the outer and the innermost of several. The middle ring of three stands where a single one
//! does.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        rings { count: Count, largest_ring: Count, middle_ring: Count, smallest_ring: Count }
        frame { single: Count, double: Count, inner: Count }
    }
    limits { with_middle: Count }
    codes {
        HOW_MANY = "how-many-rings",
        SINGLE = "single-ring-too-large",
        DOUBLE = "outer-ring-too-large",
        INNER = "inner-ring-too-large",
        MIDDLE = "middle-ring-too-large",
        NO_MIDDLE = "two-or-three",
    }
}

/// Compares the largest ring with the frame's figure for as many rings.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { rings, frame } = ends;
    let largest = rings.largest_ring.sum().resting_on(rings.smallest_ring);
    match (rings.largest_ring - rings.smallest_ring).span() {
        Some(step) if step.low > 0 => {
            why.not_above(DOUBLE, &largest, frame.double);
            why.not_above(INNER, &rings.smallest_ring.sum(), frame.inner);
            let limit = rule.with_middle.span(why.strict);
            match rings.count.span().zip(limit) {
                Some((count, limit)) if count.low >= limit.high => {
                    why.not_above(MIDDLE, &rings.middle_ring.sum(), frame.single);
                }
                Some((count, limit)) if count.high < limit.low => why.grant(NO_MIDDLE, &[rings.count.field]),
                _ => why.ask(NO_MIDDLE, &[rings.count.field]),
            }
        }
        Some(step) if step.low == 0 && step.high == 0 => why.not_above(SINGLE, &largest, frame.single),
        _ => why.ask(HOW_MANY, &[rings.largest_ring.field, rings.smallest_ring.field]),
    }
}
