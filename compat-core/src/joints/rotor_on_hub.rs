//! A rotor on its hub: bolts or splines, and the lockring that goes over the axle.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        rotor { fixing: Name, lockring: Name }
        hub { mount: Name, axle: Name }
    }
    tables { on, rings }
    names { center_lock = "rotor_fixing.center_lock" }
    codes { FIXING = "fixing", LOCKRING = "lockring" }
}

/// Looks the fixing up, and the lockring where there is one.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { rotor, hub } = ends;
    why.pair(FIXING, rule.on, rotor.fixing, hub.mount);
    if rotor.fixing.is(rule.center_lock) == Some(true) {
        why.pair(LOCKRING, rule.rings, rotor.lockring, hub.axle);
    }
}
