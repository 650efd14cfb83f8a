//! A handlebar in the stem's clamp: a round bar in a round clamp, in a handful of sizes that lie
//! close enough together to be mistaken for each other.

use super::compare::{Trace, Why};
use super::family::family;
use super::plain::wall;
use crate::dim::Quantity;

family! {
    ends {
        bar { diameter: Shaft }
        stem { clamp: Bore }
    }
    limits { tightest: Length, loosest: Length }
    codes { TOO_THICK = "bar-too-thick", TOO_THIN = "bar-too-thin", WALL = "wall" }
}

/// Compares bar and clamp, and tells the wall of the shim that would fill a gap.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let gap = ends.stem.clamp - ends.bar.diameter;
    why.at_least(TOO_THICK, &gap, rule.tightest);
    why.at_most(TOO_THIN, &gap, rule.loosest);
    let over = [ends.stem.clamp.field, ends.bar.diameter.field];
    why.tell(WALL, &over, Quantity::Length, wall(gap.span(), rule.loosest.span(why.strict)));
}
