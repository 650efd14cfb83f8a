//! How many rings a rear derailleur is rated for.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        derailleur { rings: Count }
        rings { ring_count: Count }
    }
    codes { TOO_MANY = "too-many-rings" }
}

/// Compares the number of rings with the rating.
pub fn check<T: Trace>(ends: &Ends<'_>, _: &Rule<'_>, why: &mut Why<T>) {
    why.not_above(TOO_MANY, &ends.rings.ring_count.sum(), ends.derailleur.rings);
}
