//! A shifter beside the brake lever, or hung on it: published mounts that put both on one clamp.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        shifter { mount: Name }
        lever { mount: Name }
    }
    tables { on }
    codes { MOUNT = "mount" }
}

/// Looks the pair up.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    why.pair(MOUNT, rule.on, ends.shifter.mount, ends.lever.mount);
}
