//! A disc brake and its rotor, where nobody wrote down the pads between them.
//!
//! A rotor for resin only wants pads of its own; what stands in the brake, or comes with a new one, is
//! then to be looked at. Pads that are written down are judged with the rotor they touch.

use super::compare::{Trace, Why};
use super::family::family;
use super::plain::own_pads;

family! {
    ends {
        brake { mount: Name }
        rotor { allows: Name }
        pads (optional) { compound: Name }
    }
    names {
        resin_only = "rotor_pads.resin_only",
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
        RESIN = "pads-of-resin",
    }
}

/// Asks for the pads where not any will do.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { brake, rotor, pads } = ends;
    let discs = [rule.post, rule.flat, rule.tabs, rule.old_post, rule.old_22];
    let disc = brake.mount.label().map(|mount| discs.contains(&Some(mount)));
    let touches = disc;
    own_pads(
        why,
        [LISTED, ANY, ELSEWHERE, RESIN],
        pads.present.then_some(pads.compound.field),
        (rotor.allows.is(rule.resin_only), rotor.allows.field),
        (touches, brake.mount.field),
    );
}
