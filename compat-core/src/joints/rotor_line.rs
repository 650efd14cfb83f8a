//! Whether the hub stands its rotor where the brake mount wants it.
//!
//! Hubs of one width may stand the rotor in different planes, and end caps that make a hub wider
//! leave the rotor behind. A rotor too far in is shimmed outwards; one too far out is not to be
//! helped. Where there is no disc brake it does not matter.

use super::compare::{Trace, Why};
use super::family::family;
use crate::dim::Quantity;

family! {
    ends {
        hub { spacing: Length, axle: Name, depth: Length, rotor: Name, brake: Name }
        dropouts { spacing: Length, axle: Name, depth: Length, mount: Name }
        caps (optional) { adds_left: Length }
    }
    limits { out: Length, inward: Length, most_shims: Length }
    names {
        bosses = "brake_mount.bosses",
        centre_bolt = "brake_mount.centre_bolt",
        u_bosses = "brake_mount.u_bosses",
        direct_bosses = "brake_mount.direct_bosses",
        none = "brake_mount.none",
        no_rotor = "hub_rotor_mount.none",
        six_bolt = "hub_rotor_mount.six_bolt",
        no_hub_brake = "hub_brake.none",
    }
    codes {
        TOO_FAR_OUT = "rotor-too-far-out",
        TOO_FAR_IN = "rotor-too-far-in",
        NO_ROTOR = "no-disc-brake",
        DISC = "disc-brake",
        BARE = "no-rotor-mount",
        INSIDE = "brake-inside",
        SHIMS = "rotor-spacer",
        SPLINES = "spacer-on-splines",
    }
}

/// Compares the planes, where there is a disc brake.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { hub, dropouts, caps } = ends;
    let rim_brake = dropouts.mount.label().map(|mount| {
        let others = [rule.bosses, rule.centre_bolt, rule.u_bosses, rule.direct_bosses, rule.none];
        others.contains(&Some(mount))
    });
    if rim_brake == Some(true) {
        return why.grant(NO_ROTOR, &[dropouts.mount.field]);
    }
    // A hub without a place for a rotor has no plane: on a mount for a disc brake nothing stops it.
    if hub.rotor.is(rule.no_rotor) == Some(true) {
        let over = [hub.rotor.field, hub.brake.field, dropouts.mount.field];
        return match (hub.brake.is(rule.no_hub_brake), rim_brake) {
            (Some(false), _) => why.grant(INSIDE, &over),
            (_, Some(false)) => why.refuse(BARE, &over),
            _ => why.ask(BARE, &over),
        };
    }
    if rim_brake == Some(false) {
        why.grant(DISC, &[dropouts.mount.field]);
    }
    let mut inward = hub.depth - dropouts.depth;
    if caps.present {
        inward = inward + caps.adds_left.sum();
    }
    let own = [hub.depth.field, dropouts.depth.field, dropouts.mount.field];
    let all = [hub.depth.field, dropouts.depth.field, dropouts.mount.field, caps.adds_left.field];
    let over = if caps.present { &all[..] } else { &own[..] };
    if inward.span().is_none() && rim_brake.is_none() {
        // Which brake it is comes first, and may be all there is to ask.
        return why.ask(NO_ROTOR, &[dropouts.mount.field]);
    }
    let (Some(span), Some(out), Some(most), Some(shims)) = (
        inward.span(),
        rule.out.span(why.strict),
        rule.inward.span(why.strict),
        rule.most_shims.span(why.strict),
    ) else {
        why.at_least(TOO_FAR_OUT, &inward, rule.out);
        return why.at_most(TOO_FAR_IN, &inward, rule.inward);
    };
    let stands = span.low >= out.high && span.high <= most.low;
    if !stands && rim_brake.is_none() {
        // With a rim brake none of this matters.
        return why.ask(NO_ROTOR, over);
    }
    why.at_least(TOO_FAR_OUT, &inward, rule.out);
    if span.high <= most.low || span.low > shims.high {
        why.at_most(TOO_FAR_IN, &inward, rule.inward);
    } else if span.low > most.high && span.high <= shims.low {
        let over = [over, &[hub.rotor.field]].concat();
        if hub.rotor.is(rule.six_bolt) == Some(true) {
            why.mend_with(SHIMS, &over, Quantity::Length, Some(span));
        } else {
            // On splines only what somebody makes for it moves a rotor outward.
            why.ask(SPLINES, &over);
        }
    } else {
        // Near enough as it is or not, with a spacer or not even with one.
        why.ask(TOO_FAR_IN, over);
    }
}
