//! A front derailleur on the frame: a band round the seat tube, a tab, or holes of a direct mount.
//!
//! A closed list of mounts and places. Shims make a band smaller and clamps make a tab; both are
//! parts, so a larger tube in a smaller band stays what it is.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        derailleur { mount: Name }
        frame { place: Name }
    }
    tables { on }
    codes { MOUNT = "mount" }
}

/// Looks the pair up.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    why.pair(MOUNT, rule.on, ends.derailleur.mount, ends.frame.place);
}
