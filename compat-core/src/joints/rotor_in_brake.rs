//! The rotor between the pads: worn or not, as thick as the brake is made for, and its arms clear of
//! what reaches towards the hub.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        rotor { thickness: Length, wear_limit: Length, state: Name, spider: Name }
        brake { mount: Name, least: Length, most: Length, tab: Name }
    }
    tables { clash }
    names {
        new = "part_state.new",
        bosses = "brake_mount.bosses",
        centre_bolt = "brake_mount.centre_bolt",
        u_bosses = "brake_mount.u_bosses",
        direct_bosses = "brake_mount.direct_bosses",
    }
    codes {
        WHICH = "which-brake",
        RIM_BRAKE = "rim-brake",
        NEW = "new-rotor",
        NOT_NEW = "new-contradicted",
        WORN = "rotor-worn",
        THIN = "rotor-thin-for-brake",
        THICK = "rotor-thick-for-brake",
        CLASH = "arms-meet-pads",
    }
}

/// Compares the thickness with the rotor's mark and with the brake, then looks the arms up.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { rotor, brake } = ends;
    let Some(mount) = brake.mount.label() else {
        return why.ask(WHICH, &[brake.mount.field]);
    };
    let rim = [rule.bosses, rule.centre_bolt, rule.u_bosses, rule.direct_bosses];
    if rim.contains(&Some(mount)) {
        // A rotor that was left on the hub.
        return why.grant(RIM_BRAKE, &[brake.mount.field]);
    }
    let looked = rotor.thickness.span().is_some() && rotor.wear_limit.span().is_some();
    if rotor.state.label().is_none() && !looked {
        why.ask(WORN, &[rotor.state.field, rotor.thickness.field, rotor.wear_limit.field]);
    } else if rotor.state.is(rule.new) == Some(true) {
        why.grant(NEW, &[rotor.state.field]);
        // A new rotor is thicker than its mark; one measured below it is no new rotor.
        if rotor.thickness.span().is_some() && rotor.wear_limit.span().is_some() {
            why.not_below(NOT_NEW, &rotor.thickness.sum(), rotor.wear_limit);
        }
    } else {
        why.not_below(WORN, &rotor.thickness.sum(), rotor.wear_limit);
    }
    why.not_below(THIN, &rotor.thickness.sum(), brake.least);
    why.not_above(THICK, &rotor.thickness.sum(), brake.most);
    why.pair(CLASH, rule.clash, brake.tab, rotor.spider);
}
