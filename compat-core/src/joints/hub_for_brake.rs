//! Whether the hub has what the brake works on: a rotor mount, for a disc brake.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        brake { mount: Name }
        hub { mount: Name }
        rotor (optional) { fixing: Name }
    }
    tables { hubs, bare }
    codes { HUB = "no-rotor-mount", BARE = "rotor-to-come" }
}

/// Looks the pair up; under a rim brake the mount is not asked for. Where no rotor is named, the hub
/// says which one is wanted.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { brake, hub, rotor } = ends;
    if rotor.present {
        why.pair(HUB, rule.hubs, brake.mount, hub.mount);
    } else {
        why.pair(BARE, rule.bare, brake.mount, hub.mount);
    }
}
