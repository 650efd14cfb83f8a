//! What a rear derailleur is rated for: the largest and the smallest cog, the teeth its cage takes
//! up, and the rings it is made for. A link under the hanger brings it lower, and has a largest cog
//! of its own.
//!
//! These are ratings. Going over one often works and is never called a fit here.

use super::compare::{Trace, Why};
use super::family::{Dim, family};
use crate::dim::{Count, Quantity, Span};

family! {
    ends {
        derailleur { largest_cog: Count, least_largest_cog: Count, smallest_cog: Count, capacity: Count, front_difference: Count, rings: Count }
        cassette { largest_cog: Count, smallest_cog: Count }
        rings { largest_ring: Count, smallest_ring: Count }
        link (optional) { largest_cog: Count }
    }
    limits { reported: Count }
    codes {
        COG_TOO_LARGE = "cog-too-large",
        REPORTED = "over-the-rating",
        HAS_RUN = "has-been-run",
        LINK = "link-cog",
        WITH_LINK = "with-link",
        RANGE_TOO_SMALL = "largest-cog-too-small",
        RATING = "rating-contradicted",
        COG_TOO_SMALL = "cog-too-small",
        CAPACITY = "capacity",
        FRONT_STEP = "front-step",
        ONE_RING = "one-ring",
    }
}

/// Compares cogs and rings with the ratings.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { derailleur, cassette, rings, .. } = ends;
    largest(ends, rule, why);
    why.not_below(COG_TOO_SMALL, &cassette.smallest_cog.sum(), derailleur.smallest_cog);
    let front = rings.largest_ring - rings.smallest_ring;
    let wrap = front.clone() + (cassette.largest_cog - cassette.smallest_cog);
    why.not_above(CAPACITY, &wrap, derailleur.capacity);
    smallest_largest(ends, why);
    // With one ring there is no step, whatever the rating.
    let step = derailleur.front_difference;
    if front.span().is_some_and(|front| front.high <= 0) {
        return why.grant(ONE_RING, &[rings.largest_ring.field, rings.smallest_ring.field]);
    }
    // A rating below nothing is a slip of the pen, and rules nothing out.
    match step.span().is_some_and(|step| step.low < 0 && step.low != Span::LEAST) {
        true => why.ask(FRONT_STEP, &[step.field, rings.largest_ring.field, rings.smallest_ring.field]),
        false => why.not_above(FRONT_STEP, &front, step),
    }
}

/// The largest cog against the derailleur's rating, or against the link's where one is in.
fn largest<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { derailleur, cassette, link, .. } = ends;
    let cog = cassette.largest_cog;
    let over = (cog - derailleur.largest_cog).span().is_some_and(|over| over.low > 0);
    if link.present && over {
        why.not_above(LINK, &cog.sum(), link.largest_cog);
        return why.mend(WITH_LINK, &[cog.field, derailleur.largest_cog.field]);
    }
    why.not_above(COG_TOO_LARGE, &cog.sum(), derailleur.largest_cog);
    if over {
        let more = cog - derailleur.largest_cog;
        why.at_most(REPORTED, &more, rule.reported);
        let most = rule.reported.span(why.strict);
        let run = more.span().zip(most).filter(|(more, most)| more.high <= most.high);
        why.tell(HAS_RUN, &[cog.field, derailleur.largest_cog.field], Quantity::Count, run.map(|(more, _)| more));
    }
}

/// The largest cog against the lower figure of the rating. That is not above the upper one: a cog as
/// large as the upper one is not too small, whatever the lower one is.
fn smallest_largest<T: Trace>(ends: &Ends<'_>, why: &mut Why<T>) {
    let Ends { derailleur, cassette, .. } = ends;
    let (lower, upper) = (derailleur.least_largest_cog, derailleur.largest_cog);
    if (lower - upper).span().is_some_and(|more| more.low > 0) {
        return why.not_above(RATING, &lower.sum(), upper);
    }
    let bound = match surely_not_above(upper, cassette.largest_cog) {
        true => upper,
        false => lower,
    };
    why.not_below(RANGE_TOO_SMALL, &cassette.largest_cog.sum(), bound);
}

/// True where the one is not above the other, whatever they are.
fn surely_not_above(one: Dim<'_, Count>, other: Dim<'_, Count>) -> bool {
    (one - other).span().is_some_and(|more| more.high <= 0)
}
