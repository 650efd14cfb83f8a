//! The arm of a hub brake on the left chainstay: it takes the whole torque of the brake, so a hub
//! whose arm hangs free has no brake, and tears at the spokes and cables.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        hub { arm: Name, drive: Name }
        sprocket { teeth: Count }
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
    let Ends { hub, frame, clip, .. } = ends;
    match hub.arm.is(rule.none) {
        Some(true) => return why.grant(WHETHER, &[hub.arm.field]),
        Some(false) => why.grant(WHETHER, &[hub.arm.field]),
        None => return why.ask(WHETHER, &[hub.arm.field]),
    }
    if !clip.present {
        return why.mend(MISSING, &[hub.arm.field]);
    }
    why.not_above(TOO_SMALL, &frame.height.sum(), clip.most);
    why.not_below(TOO_LARGE, &frame.height.sum(), clip.least);
}
