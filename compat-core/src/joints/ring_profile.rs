//! The shape of a ring's teeth: narrow-wide teeth hold the chain on one ring, and let no front
//! derailleur move it.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        rings { profile: Name, count: Count, largest_ring: Count, smallest_ring: Count, tooth_width: Length }
        chain (optional) { speeds: Count }
        front (optional) { mount: Name }
    }
    limits { fewest: Count, most: Count, single: Count }
    names { narrow_wide = "tooth_profile.narrow_wide" }
    codes {
        PROFILE = "tooth-shape",
        EITHER = "either-shape",
        SINGLE = "single-ring-only",
        PAIRS = "even-teeth",
        FRONT = "front-derailleur",
        WIDE_CHAIN = "chain-for-too-few",
        NARROW_CHAIN = "chain-for-too-many",
        SINGLE_CHAIN = "chain-for-one-cog",
    }
}

/// Looks at narrow-wide rings; where nobody says what a ring is, it is asked only if that matters.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { rings, chain, front } = ends;
    match rings.profile.is(rule.narrow_wide) {
        Some(true) => {}
        Some(false) => return why.grant(PROFILE, &[rings.profile.field]),
        None => return either(ends, rule, why),
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
    if !chain.present {
        return;
    }
    let single = chain.speeds.span().zip(rule.single.span(why.strict));
    match single {
        Some((speeds, single)) if speeds.high <= single.low => why.grant(SINGLE_CHAIN, &[chain.speeds.field]),
        Some((speeds, single)) if speeds.low <= single.high => why.ask(SINGLE_CHAIN, &[chain.speeds.field]),
        _ => {
            why.at_least(WIDE_CHAIN, &chain.speeds.sum(), rule.fewest);
            why.at_most(NARROW_CHAIN, &chain.speeds.sum(), rule.most);
        }
    }
}

/// A single ring of either shape: both do alone, with an even number of teeth and a chain that
/// narrow-wide teeth are cut for, or one for a single cog.
fn either<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { rings, chain, front } = ends;
    let over = [rings.profile.field, rings.largest_ring.field, rings.smallest_ring.field, chain.speeds.field];
    let step = (rings.largest_ring - rings.smallest_ring).span();
    let alone = step.is_some_and(|step| step.low == 0 && step.high == 0);
    let teeth = rings.largest_ring.span().filter(|teeth| teeth.is_exact());
    let even = teeth.is_some_and(|teeth| teeth.low % 2 == 0);
    let limits = rule.fewest.span(why.strict).zip(rule.most.span(why.strict));
    let cut_for = chain.speeds.span().zip(limits);
    let between = cut_for.is_some_and(|(speeds, (fewest, most))| speeds.low >= fewest.high && speeds.high <= most.low);
    let single = chain.speeds.span().zip(rule.single.span(why.strict));
    let suits = between || single.is_some_and(|(speeds, single)| speeds.high <= single.low);
    if alone && even && !front.present && (suits || !chain.present) {
        return why.grant(EITHER, &over);
    }
    why.ask(PROFILE, &over);
}
