//! The compound of disc pads on the rotor they are pressed against.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        pads { compound: Name }
        rotor { pads: Name }
    }
    tables { on }
    codes { COMPOUND = "compound" }
}

/// Looks the pair up.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    why.pair(COMPOUND, rule.on, ends.pads.compound, ends.rotor.pads);
}
