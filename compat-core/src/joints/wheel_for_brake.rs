//! Whether the wheel has what the brake works on: a track on the rim, or a rotor mount on the hub.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        brake { mount: Name }
        hub (optional) { mount: Name }
        rim (optional) { track: Name }
        rotor (optional) { fixing: Name }
    }
    tables { tracks, hubs, bare }
    codes { TRACK = "no-brake-track", HUB = "no-rotor-mount", BARE = "rotor-to-come" }
}

/// Looks both up; what the brake does not work on is not asked for. Where no rotor is named, the hub
/// says which one is wanted.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { brake, hub, rim, rotor } = ends;
    if rim.present {
        why.pair(TRACK, rule.tracks, brake.mount, rim.track);
    }
    match (hub.present, rotor.present) {
        (false, _) => {}
        (true, true) => why.pair(HUB, rule.hubs, brake.mount, hub.mount),
        (true, false) => why.pair(BARE, rule.bare, brake.mount, hub.mount),
    }
}
