//! The left lever, the front derailleur and the number of rings.
//!
//! Nobody publishes pulls for the front, so only pairs that somebody has published as working are
//! called fits. A lever without clicks follows whatever it pulls.

use super::compare::{Trace, Why};
use super::family::family;
use crate::dim::Quantity;

family! {
    ends {
        shifter { rings: Count, system: Name }
        derailleur { system: Name }
        rings { count: Count, middle_ring: Count }
    }
    tables { together }
    names { friction = "front_system.friction", electric = "front_system.electric" }
    codes {
        TOGETHER = "together",
        CLICKS = "clicks",
        NO_CLICKS = "no-clicks",
        SPARE = "spare-click",
    }
}

/// Looks the systems up and counts the positions, where the lever has any.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { shifter, derailleur, rings } = ends;
    why.pair(TOGETHER, rule.together, shifter.system, derailleur.system);
    let Some(name) = shifter.system.label() else { return };
    if Some(name) == rule.friction || Some(name) == rule.electric {
        return why.grant(NO_CLICKS, &[shifter.system.field]);
    }
    why.not_below(CLICKS, &shifter.rings.sum(), rings.count);
    let spare = (shifter.rings - rings.count).span().filter(|spare| spare.low > 0);
    why.tell(SPARE, &[shifter.rings.field, rings.count.field], Quantity::Count, spare);
}
