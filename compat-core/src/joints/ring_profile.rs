//! The shape of a ring's teeth: narrow-wide teeth hold the chain on one ring, and let no front
//! derailleur move it.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        rings { profile: Name, largest_ring: Count, smallest_ring: Count }
        chain (optional) { speeds: Count }
        front (optional) { mount: Name }
    }
    limits { fewest: Count, most: Count }
    names { narrow_wide = "tooth_profile.narrow_wide" }
    codes {
        PROFILE = "tooth-shape",
        SINGLE = "single-ring-only",
        PAIRS = "even-teeth",
        FRONT = "front-derailleur",
        WIDE_CHAIN = "chain-for-too-few",
        NARROW_CHAIN = "chain-for-too-many",
    }
}

/// Looks at narrow-wide rings only; of the others nothing is asked.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { rings, chain, front } = ends;
    match rings.profile.is(rule.narrow_wide) {
        Some(true) => {}
        Some(false) => return why.grant(PROFILE, &[rings.profile.field]),
        None => return why.ask(PROFILE, &[rings.profile.field]),
    }
    why.not_above(SINGLE, &rings.largest_ring.sum(), rings.smallest_ring);
    let over = [rings.profile.field, rings.largest_ring.field];
    match rings.largest_ring.span().filter(|teeth| teeth.is_exact()) {
        Some(teeth) if teeth.low % 2 == 0 => why.grant(PAIRS, &over),
        Some(_) => why.refuse(PAIRS, &over),
        None => why.ask(PAIRS, &over),
    }
    if front.present {
        why.refuse(FRONT, &[rings.profile.field]);
    }
    if chain.present {
        why.at_least(WIDE_CHAIN, &chain.speeds.sum(), rule.fewest);
        why.at_most(NARROW_CHAIN, &chain.speeds.sum(), rule.most);
    }
}
