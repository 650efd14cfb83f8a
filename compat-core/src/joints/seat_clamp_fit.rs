//! A seat clamp round the seat tube: a split ring on the tube's outside, whatever post is inside.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        ring { inside: Bore }
        collar { outside: Shaft }
    }
    limits { tightest: Length, loosest: Length }
    codes { TOO_SMALL = "clamp-too-small", TOO_LARGE = "clamp-too-large" }
}

/// Compares ring and tube with the window a ring covers.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let gap = ends.ring.inside - ends.collar.outside;
    why.at_least(TOO_SMALL, &gap, rule.tightest);
    why.at_most(TOO_LARGE, &gap, rule.loosest);
}
