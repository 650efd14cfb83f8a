//! The chainline a front derailleur is made for against that of the rings: its cage swings from one
//! distance to another, and no further.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        derailleur { chainline: Length, system: Name, rings: Count }
        rings { line: Length }
    }
    limits { inward: Length, outward: Length }
    codes { INWARD = "rings-too-far-in", OUTWARD = "rings-too-far-out" }
}

/// Compares the two distances from the middle of the frame.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let off = ends.rings.line - ends.derailleur.chainline;
    why.at_least(INWARD, &off, rule.inward);
    why.at_most(OUTWARD, &off, rule.outward);
}
