//! The arm of a hub brake on the left chainstay: it takes the whole torque of the brake, so a hub
//! whose arm hangs free has no brake, and tears at the spokes and cables.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        hub { arm: Name, freehub: Name, axle: Name, brake: Name }
        frame { height: Length }
        clip (optional) { least: Length, most: Length }
    }
    names { none = "brake_arm.none" }
    codes {
        WHETHER = "arm",
        MISSING = "clip-missing",
        TOO_SMALL = "clip-too-small",
        TOO_LARGE = "clip-too-large",
    }
}

/// Compares the clip with the stay, where the hub has an arm.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { hub, frame, clip } = ends;
    // A clip that is there must go on the stay, whatever the hub.
    if clip.present {
        why.not_above(TOO_SMALL, &frame.height.sum(), clip.most);
        why.not_below(TOO_LARGE, &frame.height.sum(), clip.least);
    }
    match hub.arm.is(rule.none) {
        None => why.ask(WHETHER, &[hub.arm.field]),
        Some(false) if !clip.present => why.mend(MISSING, &[hub.arm.field]),
        Some(_) => why.grant(WHETHER, &[hub.arm.field]),
    }
}
