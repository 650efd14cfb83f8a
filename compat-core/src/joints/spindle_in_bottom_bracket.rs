//! A crank on its bottom bracket: the shape of the spindle, whichever of the two it belongs to.
//!
//! Cranks of the older kinds push on a spindle that belongs to the bottom bracket; those of the
//! later kinds bring a round spindle that goes through its bearings.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        crank { spindle: Name }
        bracket { spindle: Name }
    }
    tables { turns_in }
    codes { SPINDLE = "spindle" }
}

/// Looks crank and bottom bracket up.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    why.pair(SPINDLE, rule.turns_in, ends.crank.spindle, ends.bracket.spindle);
}
