//! What a front derailleur is rated for: the largest ring its cage is curved for, the step over all
//! rings, the step below the largest ring, and two rings or three.
//!
//! These are ratings. Going a tooth beyond one often works and is never called a fit here.

use super::compare::{Trace, Why};
use super::family::{Limit, family};
use crate::dim::{Count, Quantity, Span};

family! {
    ends {
        derailleur { rings: Count, largest_ring: Count, least_largest_ring: Count, capacity: Count, least_top_step: Count }
        rings { count: Count, largest_ring: Count, middle_ring: Count, smallest_ring: Count }
    }
    limits { with_middle: Count }
    codes {
        RING_TOO_LARGE = "ring-too-large",
        RING_TOO_SMALL = "largest-ring-too-small",
        CAPACITY = "capacity",
        TOP_STEP = "top-step",
        TOO_MANY = "too-many-rings",
        SPARE = "fewer-rings",
    }
}

/// Compares the rings with the ratings.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { derailleur, rings } = ends;
    why.not_above(RING_TOO_LARGE, &rings.largest_ring.sum(), derailleur.largest_ring);
    why.not_below(RING_TOO_SMALL, &rings.largest_ring.sum(), derailleur.least_largest_ring);
    let whole = rings.largest_ring - rings.smallest_ring;
    why.not_above(CAPACITY, &whole, derailleur.capacity);
    why.not_above(TOO_MANY, &rings.count.sum(), derailleur.rings);
    let spare = (derailleur.rings - rings.count).span().filter(|spare| spare.low > 0);
    why.tell(SPARE, &[derailleur.rings.field, rings.count.field], Quantity::Count, spare);
    // The inner plate of the cage comes down on the ring next to the largest, whichever that is.
    match has_middle(rings.count.span(), rule.with_middle, why.strict) {
        Some(true) => why.not_below(TOP_STEP, &(rings.largest_ring - rings.middle_ring), derailleur.least_top_step),
        Some(false) => why.not_below(TOP_STEP, &whole, derailleur.least_top_step),
        None => why.ask(TOP_STEP, &[rings.count.field]),
    }
}

fn has_middle(count: Option<Span>, from: Limit<Count>, strict: bool) -> Option<bool> {
    let (count, from) = (count?, from.span(strict)?);
    match () {
        () if count.low >= from.high => Some(true),
        () if count.high < from.low => Some(false),
        () => None,
    }
}
