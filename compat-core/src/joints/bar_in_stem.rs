//! A handlebar in the stem's clamp: a round bar in a round clamp, in a handful of sizes that lie
//! close enough together to be mistaken for each other.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        bar { diameter: Shaft }
        stem { clamp: Bore }
    }
    limits { tightest: Length, loosest: Length }
    codes { TOO_THICK = "bar-too-thick", TOO_THIN = "bar-too-thin" }
}

/// Compares bar and clamp.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let gap = ends.stem.clamp - ends.bar.diameter;
    why.at_least(TOO_THICK, &gap, rule.tightest);
    why.at_most(TOO_THIN, &gap, rule.loosest);
}
