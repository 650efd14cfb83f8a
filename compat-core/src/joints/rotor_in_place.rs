//! The rotor's size against what frame or fork is rated for, and whether there is a disc mount at
//! all.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        place { mount: Name, native: Length, largest: Length }
        rotor { diameter: Length }
    }
    names {
        post = "brake_mount.post",
        flat = "brake_mount.flat",
        tabs = "brake_mount.is",
        old_post = "brake_mount.old_post",
        old_22 = "brake_mount.old_22",
    }
    codes { NO_MOUNT = "no-disc-mount", TOO_LARGE = "rotor-too-large" }
}

/// Looks for a disc mount, then compares with the largest rotor allowed.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { place, rotor } = ends;
    let discs = [rule.post, rule.flat, rule.tabs, rule.old_post, rule.old_22];
    why.named(NO_MOUNT, place.mount, &discs);
    why.not_above(TOO_LARGE, &rotor.diameter.sum(), place.largest);
}
