//! What closes the chain: a connecting link, a pin, or the chain's own pin pressed back.
//!
//! A link joins two inner ends of a chain that is not wider than it; a narrower link does not go on. Some
//! may be opened and closed again, most of the narrow ones not. Links for plates of their own make go
//! with that make alone.

use super::compare::{Trace, Why};
use super::family::{Dim, family};
use crate::dim::Count;
use crate::verdict::Side;

family! {
    ends {
        link { speeds: Count, kind: Name, state: Name, rollers: Name }
        chain { speeds: Count, rollers: Name }
    }
    limits {
        shared_cogs: Count,
        narrower: Count,
        narrower_shared: Count,
        wider: Count,
        last_own_pin: Count,
    }
    tables { again, plates }
    names { own_pin = "chain_closing.own_pin" }
    codes {
        NARROW = "link-too-narrow",
        WIDE = "link-too-wide",
        AGAIN = "used-again",
        PLATES = "link-plates",
        OWN_PIN = "own-pin",
    }
}

/// Compares the widths by speeds, then whether it may be closed again.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { link, chain } = ends;
    // Pressing its own pin back brings no part of another width; what speaks against it is how
    // little of the pin is left in the plates of a narrow chain.
    match link.kind.is(rule.own_pin) {
        Some(true) => {
            let over = [chain.speeds.field, link.kind.field];
            let speeds = chain.speeds.span();
            return why.computed(OWN_PIN, &over, speeds, Side::AtMost, rule.last_own_pin);
        }
        Some(false) => {}
        None => return why.ask(AGAIN, &[link.kind.field, link.state.field]),
    }
    why.pair(AGAIN, rule.again, link.kind, link.state);
    let strict = why.strict;
    let shared = |speeds: Dim<'_, Count>| {
        let (speeds, limit) = (speeds.span()?, rule.shared_cogs.span(strict)?);
        match () {
            () if speeds.high <= limit.low => Some(true),
            () if speeds.low > limit.high => Some(false),
            () => None,
        }
    };
    let more = chain.speeds - link.speeds;
    match (shared(chain.speeds), shared(link.speeds)) {
        (Some(true), None) => why.ask(NARROW, &[chain.speeds.field, link.speeds.field]),
        (Some(true), Some(true)) => why.at_least(NARROW, &more, rule.narrower_shared),
        _ => why.at_least(NARROW, &more, rule.narrower),
    }
    why.at_most(WIDE, &more, rule.wider);
    why.pair(PLATES, rule.plates, link.rollers, chain.rollers);
}
