//! A front hub with a brake inside, whose arm pulls at the left blade.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        hub { brake: Name, axle: Name }
        fork { place: Name }
    }
    tables { held }
    codes { ARM = "brake-arm" }
}

/// Looks up whether the fork holds the arm.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    why.pair(ARM, rule.held, ends.hub.brake, ends.fork.place);
}
