//! The shifter of a hub gear: the steps of such hubs are uneven and each maker's own, so the shifter
//! is the one made for the hub.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        shifter { gears: Count, system: Name }
        hub { gears: Count, system: Name }
    }
    tables { together }
    codes { TOGETHER = "together", TOO_FEW = "too-few-positions", TOO_MANY = "too-many-positions" }
}

/// Looks the pair up and compares the number of gears.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { shifter, hub } = ends;
    why.pair(TOGETHER, rule.together, shifter.system, hub.system);
    why.not_below(TOO_FEW, &shifter.gears.sum(), hub.gears);
    why.not_above(TOO_MANY, &shifter.gears.sum(), hub.gears);
}
