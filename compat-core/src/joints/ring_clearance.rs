//! The largest ring a frame clears: one figure for a single ring, which stands further in, and two
//! for the outer and the innermost of several.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        rings { largest_ring: Count, smallest_ring: Count }
        frame { single: Count, double: Count, inner: Count }
    }
    codes {
        HOW_MANY = "how-many-rings",
        SINGLE = "single-ring-too-large",
        DOUBLE = "outer-ring-too-large",
        INNER = "inner-ring-too-large",
    }
}

/// Compares the largest ring with the frame's figure for as many rings.
pub fn check<T: Trace>(ends: &Ends<'_>, _: &Rule<'_>, why: &mut Why<T>) {
    let Ends { rings, frame } = ends;
    let largest = rings.largest_ring.sum().resting_on(rings.smallest_ring);
    match (rings.largest_ring - rings.smallest_ring).span() {
        Some(step) if step.low > 0 => {
            why.not_above(DOUBLE, &largest, frame.double);
            why.not_above(INNER, &rings.smallest_ring.sum(), frame.inner);
        }
        Some(step) if step.low == 0 && step.high == 0 => why.not_above(SINGLE, &largest, frame.single),
        _ => why.ask(HOW_MANY, &[rings.largest_ring.field, rings.smallest_ring.field]),
    }
}
