//! A tyre, with or without a mudguard, under the arch of a rim brake.
//!
//! A calliper and a direct-mount brake close round the tyre; brakes on bosses and disc brakes leave it
//! free. How wide a tyre goes under is the brake's own figure: its papers say it, else what is told of
//! brakes of its reach, and a tyre that stands under it says that it goes.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        brake { mount: Name, most: Length, widest: Length, guarded: Length }
        tyre { width: Length }
        guard (optional) { width: Length }
    }
    names { centre_bolt = "brake_mount.centre_bolt", direct_bosses = "brake_mount.direct_bosses" }
    codes {
        WHICH = "which-brake",
        FREE = "nothing-over-the-tyre",
        WIDEST = "wider-than-brake-takes",
        GUARDED = "wider-than-brake-takes-with-guard",
    }
}

/// Compares the tyre's number with the widest under the brake: where there is a guard, with a guard.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { brake, tyre, guard } = ends;
    let Some(mount) = brake.mount.label() else {
        return why.ask(WHICH, &[brake.mount.field]);
    };
    if ![rule.centre_bolt, rule.direct_bosses].contains(&Some(mount)) {
        return why.grant(FREE, &[brake.mount.field]);
    }
    let width = tyre.width.sum();
    if guard.present {
        return why.not_above(GUARDED, &width.resting_on(guard.width), brake.guarded);
    }
    why.not_above(WIDEST, &width, brake.widest);
}
