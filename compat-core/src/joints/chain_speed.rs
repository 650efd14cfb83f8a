//! A chain on the cogs and rings it runs on: how wide it is, and which rollers it has.
//!
//! The outer width must clear the next cog, the inner width must take the tooth, and large rollers
//! want valleys cut for them. Widths go by the number of speeds a chain is made for; from five to
//! eight cogs share one inner width, and so do nine to twelve. A chain known by the calliper alone is
//! given its speeds by the page. On a single cog, and on up to four, only the tooth counts.

use super::compare::{Trace, Why};
use super::family::{Dim, Limit, family};
use crate::dim::{Count, Length, Quantity};

family! {
    ends {
        chain { speeds: Count, outer_width: Length, inner_width: Length, rollers: Name }
        cassette { speeds: Count, tooth_width: Length, rollers: Name, fitting: Name }
        rings (optional) { speeds: Count, tooth_width: Length, rollers: Name, largest_ring: Count, smallest_ring: Count, profile: Name }
    }
    limits {
        fewest_cogs: Count,
        few_cogs: Count,
        wide_cogs: Count,
        least_on_few: Count,
        least_on_wide: Count,
        most_on_wide: Count,
        least_more: Count,
        most_more: Count,
        last_usual: Count,
        last_common: Count,
        thin_rings: Count,
        narrow_rings: Count,
        room_for_tooth: Length,
        marked_tooth: Length,
    }
    tables { on_cogs, on_rings }
    bands { widths: Count => Length, insides: Count => Length }
    names { usual_rollers = "rollers.usual" }
    codes {
        TOO_WIDE = "too-wide",
        TOO_NARROW = "too-narrow",
        NOT_COVERED = "not-covered",
        COG_TEETH = "cog-teeth",
        RING_TEETH = "ring-teeth",
        RING_CUT = "ring-cut-contradicted",
        THICK_RING = "ring-too-thick",
        RING_SPEEDS = "ring-speeds",
        TWO_RINGS = "two-rings",
        THICK_TOOTH = "tooth-too-thick",
        WIDTH = "width-contradicted",
        INSIDE = "inside-contradicted",
    }
}

/// Compares speeds and rollers of the chain with cogs and rings.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { chain, cassette, rings } = ends;
    cogs(ends, rule, why);
    // A chain that measures otherwise than one made for so many speeds is not the one it is
    // marked as.
    if chain.outer_width.span().is_some() && chain.speeds.span().is_some() {
        why.band((WIDTH, WIDTH), &rule.widths, chain.speeds, chain.outer_width);
    }
    if chain.inner_width.span().is_some() && chain.speeds.span().is_some() {
        why.band((INSIDE, INSIDE), &rule.insides, chain.speeds, chain.inner_width);
    }
    why.pair(COG_TEETH, rule.on_cogs, chain.rollers, cassette.rollers);
    if !rings.present {
        return;
    }
    // Up to eleven speeds there was one make of rollers and plates, and it runs on any ring that does
    // not say otherwise.
    let common = chain.rollers.is(rule.usual_rollers) == Some(true)
        && up_to(chain.speeds, rule.last_common) == Some(true);
    match common {
        true if rings.rollers.label().is_none() => {}
        true => why.pair(RING_CUT, rule.on_rings, chain.rollers, rings.rollers),
        false => why.pair(RING_TEETH, rule.on_rings, chain.rollers, rings.rollers),
    }
    ring_width(ends, rule, why);
}

/// Whether a number lies wholly at or below a limit, wholly above it, or neither.
fn up_to(speeds: Dim<'_, Count>, limit: Limit<Count>) -> Option<bool> {
    let (speeds, row) = (speeds.span()?, limit.row?);
    match () {
        () if speeds.high <= row.span.low => Some(true),
        () if speeds.low > row.span.high => Some(false),
        () => None,
    }
}

/// The width of the chain against the cassette.
fn cogs<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let (chain, cassette) = (ends.chain.speeds, ends.cassette.speeds);
    let both = [chain.field, cassette.field];
    // One to four cogs take chains of either of the older inner widths, so nothing is told of them;
    // a count that is not sure to lie on one side of a border is asked for.
    let more_than = |limit| up_to(cassette, limit).map(|below| !below);
    match (more_than(rule.fewest_cogs), up_to(cassette, rule.wide_cogs)) {
        (Some(true), Some(true)) => {
            let least = match up_to(cassette, rule.few_cogs) {
                Some(true) => rule.least_on_few,
                Some(false) => rule.least_on_wide,
                None => return why.ask(NOT_COVERED, &both),
            };
            why.at_least(TOO_WIDE, &chain.sum(), least);
            why.at_most(TOO_NARROW, &chain.sum(), rule.most_on_wide);
        }
        (Some(true), Some(false)) => {
            let more = chain - cassette;
            why.at_least(TOO_WIDE, &more, rule.least_more);
            why.at_most(TOO_NARROW, &more, rule.most_more);
            if narrower_inside(chain, cassette, rule) {
                why.ask(NOT_COVERED, &both);
            }
        }
        (Some(false), _) => tooth(chain_and(ends, ends.cassette.tooth_width), rule, why),
        (None, _) => why.ask(NOT_COVERED, &both),
        (Some(true), None) => why.ask(NOT_COVERED, &both),
    }
}

type Inside<'a> = (Dim<'a, Length>, Dim<'a, Count>, Dim<'a, Length>);

fn chain_and<'a>(ends: &Ends<'a>, tooth: Dim<'a, Length>) -> Inside<'a> {
    (ends.chain.inner_width, ends.chain.speeds, tooth)
}

/// The inner width of the chain against a tooth that stands alone.
fn tooth<T: Trace>((inside, speeds, tooth): Inside<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    // Chains for five to eight speeds and teeth up to a width are marked with the same number, and run.
    let thin = tooth.span().zip(rule.marked_tooth.span(why.strict)).is_some_and(|(tooth, most)| tooth.high <= most.low);
    let marked = up_to(speeds, rule.fewest_cogs) == Some(false) && up_to(speeds, rule.wide_cogs) == Some(true);
    if thin && marked {
        return why.grant(THICK_TOOTH, &[speeds.field, tooth.field]);
    }
    // What the chain is made for counts only where it tells how wide the chain is inside.
    let room = match inside.span() {
        Some(_) => inside - tooth,
        None => (inside - tooth).resting_on(speeds),
    };
    why.at_least(THICK_TOOTH, &room, rule.room_for_tooth);
}

/// Chains for more than twelve speeds are narrower inside than every other.
fn narrower_inside(chain: Dim<'_, Count>, on: Dim<'_, Count>, rule: &Rule<'_>) -> bool {
    up_to(chain, rule.last_usual) != Some(true) && up_to(on, rule.last_usual) != Some(false)
}

/// The inner width of the chain against the rings' teeth. A step either way runs, and is only told.
fn ring_width<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let (chain, rings) = (ends.chain.speeds, ends.rings.speeds);
    // Chains for one to four speeds come in either of the older widths: only the tooth tells.
    match up_to(chain, rule.fewest_cogs) {
        Some(true) => return tooth(chain_and(ends, ends.rings.tooth_width), rule, why),
        Some(false) => {}
        None => return why.ask(THICK_RING, &[chain.field, rings.field]),
    }
    let least = match up_to(chain, rule.last_usual) {
        Some(false) => rule.narrow_rings,
        _ => rule.thin_rings,
    };
    // Rings that a chain is shifted between are thin enough for every chain of up to twelve speeds.
    let (large, small) = (ends.rings.largest_ring, ends.rings.smallest_ring);
    let over = [chain.field, rings.field, large.field, small.field];
    let step = (large - small).span();
    let usual = up_to(chain, rule.last_usual);
    let thin = rings.span().zip(least.span(why.strict)).is_some_and(|(rings, least)| rings.low >= least.high);
    match step {
        Some(step) if usual == Some(true) && step.low > 0 => why.grant(TWO_RINGS, &over),
        Some(step) if step.high <= 0 => {
            let one = rings.sum().resting_on(chain).resting_on(large).resting_on(small);
            why.at_least(THICK_RING, &one, least);
        }
        _ if thin || usual == Some(false) => {
            why.at_least(THICK_RING, &rings.sum().resting_on(chain), least);
        }
        _ => why.ask(THICK_RING, &over),
    }
    let apart = (chain - rings).span().filter(|apart| apart.is_exact() && apart.low != 0);
    why.tell(RING_SPEEDS, &[chain.field, rings.field], Quantity::Count, apart);
}
