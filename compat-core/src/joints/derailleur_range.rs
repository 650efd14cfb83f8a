//! What a rear derailleur is rated for: the largest and the smallest cog, the teeth its cage takes
//! up, and the step between the rings.
//!
//! These are ratings. Going over one often works and is never called a fit here.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        derailleur { largest_cog: Count, least_largest_cog: Count, smallest_cog: Count, capacity: Count, front_difference: Count }
        cassette { largest_cog: Count, smallest_cog: Count }
        rings { largest_ring: Count, smallest_ring: Count }
    }
    codes {
        COG_TOO_LARGE = "cog-too-large",
        RANGE_TOO_SMALL = "largest-cog-too-small",
        COG_TOO_SMALL = "cog-too-small",
        CAPACITY = "capacity",
        FRONT_STEP = "front-step",
    }
}

/// Compares cogs and rings with the ratings.
pub fn check<T: Trace>(ends: &Ends<'_>, _: &Rule<'_>, why: &mut Why<T>) {
    let Ends { derailleur, cassette, rings } = ends;
    why.not_above(COG_TOO_LARGE, &cassette.largest_cog.sum(), derailleur.largest_cog);
    why.not_below(COG_TOO_SMALL, &cassette.smallest_cog.sum(), derailleur.smallest_cog);
    let front = rings.largest_ring - rings.smallest_ring;
    let wrap = front.clone() + (cassette.largest_cog - cassette.smallest_cog);
    why.not_above(CAPACITY, &wrap, derailleur.capacity);
    why.not_below(RANGE_TOO_SMALL, &cassette.largest_cog.sum(), derailleur.least_largest_cog);
    why.not_above(FRONT_STEP, &front, derailleur.front_difference);
}
