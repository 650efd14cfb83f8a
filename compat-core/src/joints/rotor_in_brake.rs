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
    names { new = "part_state.new" }
    codes {
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
    if rotor.state.is(rule.new) == Some(true) {
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
