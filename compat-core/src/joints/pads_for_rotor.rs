//! A disc brake and its rotor, where nobody wrote down the pads between them.
//!
//! A rotor for resin only wants pads of its own; what stands in the brake, or comes with a new one, is
//! then to be looked at. Pads that are written down are judged with the rotor they touch.

use super::compare::{Trace, Why};
use super::family::family;

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
    if pads.present {
        return why.grant(LISTED, &[pads.compound.field]);
    }
    if rotor.allows.is(rule.resin_only) != Some(true) {
        return why.grant(ANY, &[rotor.allows.field]);
    }
    let discs = [rule.post, rule.flat, rule.tabs, rule.old_post, rule.old_22];
    let disc = brake.mount.label().map(|mount| discs.contains(&Some(mount)));
    let over = [rotor.allows.field, brake.mount.field];
    match disc {
        Some(false) => why.grant(ELSEWHERE, &over),
        _ => why.ask(RESIN, &over),
    }
}
