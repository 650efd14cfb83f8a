//! A valve long enough for the rim's depth, so that a pump holds on. A core that comes out takes an
//! extender.

use super::compare::{Trace, Why};
use super::family::family;
use crate::dim::{Quantity, Span};

family! {
    ends {
        valve { length: Length, core: Name }
        rim { depth: Length }
    }
    limits { beyond: Length }
    names { removable = "valve_core.removable" }
    codes { SHORT = "valve-too-short", EXTENDER = "valve-extender" }
}

/// Compares length and depth; a valve that is surely too short may take an extender.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { valve, rim } = ends;
    let out = valve.length - rim.depth;
    let wants = rule.beyond.span(why.strict);
    let short = out.span().zip(wants).filter(|(out, wants)| out.high < wants.low);
    let Some((out, wants)) = short else {
        return why.at_least(SHORT, &out, rule.beyond);
    };
    let over = [valve.core.field, valve.length.field, rim.depth.field];
    match valve.core.is(rule.removable) {
        Some(true) => {
            let more = Span::at_least(wants.high.saturating_sub(out.low));
            why.mend_with(EXTENDER, &over, Quantity::Length, Some(more));
        }
        Some(false) => why.refuse(SHORT, &over),
        None => why.ask(EXTENDER, &over),
    }
}
