//! A brake hose along frame or fork: long enough from lever to brake, and let through where the way
//! is inside.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        hose { length: Length, outside: Shaft }
        way { run: Length, hole: Bore, inside: Name }
    }
    limits { even: Length }
    names { inside = "routing.inside" }
    codes { SHORT = "hose-too-short", WAY = "way", HOLE = "hole-too-small" }
}

/// Compares the lengths, and inside a frame the hole with the hose.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { hose, way } = ends;
    why.not_below(SHORT, &hose.length.sum(), way.run);
    match way.inside.is(rule.inside) {
        Some(false) => why.grant(WAY, &[way.inside.field]),
        Some(true) => {
            why.grant(WAY, &[way.inside.field]);
            why.at_least(HOLE, &(way.hole - hose.outside), rule.even);
        }
        None => why.ask(WAY, &[way.inside.field]),
    }
}
