//! The brake inside a front hub and the lever that pulls it: a cable of the length its maker names.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        hub { brake: Name, axle: Name }
        lever { pull: Name }
    }
    tables { pulled }
    codes { PULL = "pull" }
}

/// Looks up whether the lever pulls what is in the hub.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    why.pair(PULL, rule.pulled, ends.hub.brake, ends.lever.pull);
}
