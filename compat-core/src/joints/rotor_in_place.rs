//! The rotor's size against what frame or fork is rated for, and whether there is a disc mount at
//! all.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        place { mount: Name, native: Length, largest: Length }
        rotor { diameter: Length }
        brake (optional) { mount: Name }
    }
    names {
        post = "brake_mount.post",
        flat = "brake_mount.flat",
        tabs = "brake_mount.is",
        old_post = "brake_mount.old_post",
        old_22 = "brake_mount.old_22",
        bosses = "brake_mount.bosses",
        centre_bolt = "brake_mount.centre_bolt",
        u_bosses = "brake_mount.u_bosses",
        direct_bosses = "brake_mount.direct_bosses",
    }
    codes {
        WHICH = "which-brake",
        RIM_BRAKE = "rim-brake",
        DISC = "disc-brake",
        NO_MOUNT = "no-disc-mount",
        TOO_LARGE = "rotor-too-large",
    }
}

/// Looks for a disc mount, then compares with the largest rotor allowed.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { place, rotor, brake } = ends;
    if brake.present {
        let Some(mount) = brake.mount.label() else {
            return why.ask(WHICH, &[brake.mount.field]);
        };
        let rim = [rule.bosses, rule.centre_bolt, rule.u_bosses, rule.direct_bosses];
        if rim.contains(&Some(mount)) {
            // A rotor that was left on the hub is in nobody's way.
            return why.grant(RIM_BRAKE, &[brake.mount.field]);
        }
        why.grant(DISC, &[brake.mount.field]);
    }
    let discs = [rule.post, rule.flat, rule.tabs, rule.old_post, rule.old_22];
    why.named(NO_MOUNT, place.mount, &discs);
    why.not_above(TOO_LARGE, &rotor.diameter.sum(), place.largest);
}
