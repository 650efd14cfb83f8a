//! A rim brake and the rim it brakes on, where nobody wrote down the pads between them.
//!
//! A carbon track wants pads of its own; what stands in the brake, or comes with a new one, is then to
//! be looked at. Pads that are written down are judged with the rim they touch.

use super::compare::{Trace, Why};
use super::family::family;
use super::plain::own_pads;

family! {
    ends {
        brake { mount: Name }
        rim { track: Name }
        pads (optional) { compound: Name }
    }
    names {
        carbon = "brake_track.carbon",
        post = "brake_mount.post",
        flat = "brake_mount.flat",
        tabs = "brake_mount.is",
        old_post = "brake_mount.old_post",
        old_22 = "brake_mount.old_22",
    }
    codes {
        LISTED = "pads-listed",
        ANY = "any-pads",
        ELSEWHERE = "another-brake",
        CARBON = "pads-for-carbon",
    }
}

/// Asks for the pads where not any will do.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { brake, rim, pads } = ends;
    let discs = [rule.post, rule.flat, rule.tabs, rule.old_post, rule.old_22];
    let disc = brake.mount.label().map(|mount| discs.contains(&Some(mount)));
    let touches = disc.map(|disc| !disc);
    own_pads(
        why,
        [LISTED, ANY, ELSEWHERE, CARBON],
        pads.present.then_some(pads.compound.field),
        (rim.track.is(rule.carbon), rim.track.field),
        (touches, brake.mount.field),
    );
}
