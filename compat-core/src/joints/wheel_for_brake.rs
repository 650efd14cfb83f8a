//! Whether the wheel has what the brake works on: a track on the rim, or a rotor mount on the hub.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        brake { mount: Name }
        hub (optional) { mount: Name }
        rim (optional) { track: Name }
    }
    tables { tracks, hubs }
    codes { TRACK = "no-brake-track", HUB = "no-rotor-mount" }
}

/// Looks both up; what the brake does not work on is not asked for.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { brake, hub, rim } = ends;
    if rim.present {
        why.pair(TRACK, rule.tracks, brake.mount, rim.track);
    }
    if hub.present {
        why.pair(HUB, rule.hubs, brake.mount, hub.mount);
    }
}
