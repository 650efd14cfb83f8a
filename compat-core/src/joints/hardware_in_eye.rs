//! A set of hardware in the eye of a rear shock: its pin in the bushing.
//!
//! Two sizes look alike, 12 mm and half an inch, and belong to different makes of shock.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        set { pin: Shaft }
        shock { mount: Name, bushing: Bore }
    }
    limits { tightest: Length, loosest: Length }
    names { eyelet = "shock_mount.eyelet" }
    codes { NO_EYE = "no-plain-eye", TIGHT = "pin-too-thick", LOOSE = "pin-too-thin" }
}

/// Compares the pin with the bushing of a plain eye.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { set, shock } = ends;
    why.named(NO_EYE, shock.mount, &[rule.eyelet]);
    let play = shock.bushing - set.pin;
    why.at_least(TIGHT, &play, rule.tightest);
    why.at_most(LOOSE, &play, rule.loosest);
}
