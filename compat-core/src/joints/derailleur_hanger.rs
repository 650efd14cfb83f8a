//! A rear derailleur on its hanger, or on the frame in the hanger's place: a closed list of mounts.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        derailleur { mount: Name }
        frame { hanger: Name }
    }
    tables { on }
    codes { MOUNT = "mount" }
}

/// Looks the pair up.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    why.pair(MOUNT, rule.on, ends.derailleur.mount, ends.frame.hanger);
}
