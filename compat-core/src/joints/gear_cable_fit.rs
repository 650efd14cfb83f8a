//! A gear cable in its shifter, and the housing it runs in.
//!
//! The head must sit in the shifter's seat, and clicks want a housing that does not give.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        shifter { system: Name, head: Name }
        cable { head: Name, housing: Name }
    }
    tables { heads, housings }
    codes {
        HEAD = "head",
        HOUSING = "housing",
    }
}

/// Looks head and housing up.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { shifter, cable } = ends;
    why.pair(HEAD, rule.heads, cable.head, shifter.head);
    why.pair(HOUSING, rule.housings, shifter.system, cable.housing);
}
