//! A chain on the cogs and rings it runs on: how wide it is, and which rollers it has.
//!
//! The outer width must clear the next cog, the inner width must take the tooth, and large rollers
//! want valleys cut for them. Widths go by the number of speeds a chain is made for; from five to
//! eight cogs share one inner width, and so do nine to twelve.

use super::compare::{Trace, Why};
use super::family::{Dim, Limit, family};
use crate::dim::{Cases, Count, Label, Name, Origin, Reading, Span};
use crate::verdict::Side;

family! {
    ends {
        chain { speeds: Count, rollers: Name }
        cassette { speeds: Count, rollers: Name }
        rings (optional) { speeds: Count, rollers: Name }
    }
    limits {
        wide_cogs: Count,
        least_on_few: Count,
        least_on_wide: Count,
        most_on_wide: Count,
        least_more: Count,
        most_more: Count,
        last_usual: Count,
        large_from: Count,
        rings_apart: Count,
    }
    tables { on_cogs, on_rings }
    names { usual_rollers = "rollers.usual", usual_cut = "tooth_cut.usual" }
    codes {
        TOO_WIDE = "too-wide",
        TOO_NARROW = "too-narrow",
        NOT_COVERED = "not-covered",
        COG_TEETH = "cog-teeth",
        RING_TEETH = "ring-teeth",
        RING_SPEEDS = "ring-speeds",
    }
}

/// Compares speeds and rollers of the chain with cogs and rings.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { chain, cassette, rings } = ends;
    cogs(ends, rule, why);
    // Large rollers came with twelve speeds: before that chains and cogs have the usual ones.
    let rollers = known(rule.usual_rollers, rule.large_from);
    let cut = known(rule.usual_cut, rule.large_from);
    let chain_rollers = old(chain.speeds, chain.rollers, &rollers, rule.large_from);
    let cog_cut = old(cassette.speeds, cassette.rollers, &cut, rule.large_from);
    // Where the speeds are not known they are asked about already, and may tell the rollers too.
    let chain_told = chain.speeds.reading.is_some() || chain_rollers.reading.is_some();
    let cogs_told = cassette.speeds.reading.is_some() || cog_cut.reading.is_some();
    if chain_told && cogs_told {
        why.pair(COG_TEETH, rule.on_cogs, chain_rollers, cog_cut);
    }
    if !rings.present || !chain_told {
        return;
    }
    // Usual rollers run on any ring, so the ring is not asked about where the chain has them.
    if chain_rollers.is(rule.usual_rollers) != Some(true) || rings.rollers.label().is_some() {
        let ring_cut = old(rings.speeds, rings.rollers, &cut, rule.large_from);
        why.pair(RING_TEETH, rule.on_rings, chain_rollers, ring_cut);
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
    let few = cassette.span().map(|span| span.high < 5);
    match (few, up_to(cassette, rule.wide_cogs)) {
        // One to four cogs take chains of either of the older inner widths.
        (Some(true), _) | (_, None) => why.ask(NOT_COVERED, &both),
        (_, Some(true)) => {
            let six = cassette.span().is_some_and(|span| span.high <= 6);
            let least = if six { rule.least_on_few } else { rule.least_on_wide };
            why.at_least(TOO_WIDE, &chain.sum(), least);
            why.at_most(TOO_NARROW, &chain.sum(), rule.most_on_wide);
        }
        (_, Some(false)) => {
            let more = chain - cassette;
            why.at_least(TOO_WIDE, &more, rule.least_more);
            why.at_most(TOO_NARROW, &more, rule.most_more);
            if narrower_inside(chain, cassette, rule) {
                why.ask(NOT_COVERED, &both);
            }
        }
    }
}

/// Chains for more than twelve speeds are narrower inside than every other.
fn narrower_inside(chain: Dim<'_, Count>, on: Dim<'_, Count>, rule: &Rule<'_>) -> bool {
    up_to(chain, rule.last_usual) != Some(true) && up_to(on, rule.last_usual) != Some(false)
}

/// The inner width of the chain against the rings' teeth. Rings whose speeds nobody knows are not
/// asked about: a step either way runs.
fn ring_width<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let (chain, rings) = (ends.chain.speeds, ends.rings.speeds);
    let (Some(on), Some(made)) = (chain.span(), rings.span()) else {
        return;
    };
    let both = [chain.field, rings.field];
    if narrower_inside(chain, rings, rule) || made.low < 5 {
        return why.ask(RING_SPEEDS, &both);
    }
    let wide = |dim| up_to(dim, rule.wide_cogs);
    if wide(chain).is_some() && wide(chain) == wide(rings) {
        return why.grant(RING_SPEEDS, &both);
    }
    let last = rule.wide_cogs.row.map_or(0, |row| row.span.high);
    let class = |span: Span| Span { low: span.low.max(last), high: span.high.max(last) };
    let apart = class(on).plus(class(made).negated());
    let apart = if apart.high < 0 { apart.negated() } else { apart };
    why.computed(RING_SPEEDS, &both, Some(apart), Side::AtMost, rule.rings_apart);
}

/// A name as the catalogue knows it.
fn known(name: Option<Label>, limit: Limit<Count>) -> Option<Reading> {
    let fact = limit.row?.fact;
    let origin = Origin::Catalogue(fact.packed());
    Some(Reading { cases: Cases::Names(vec![name?]), origin })
}

/// The name on the part; where nobody looked and the part is from before the large rollers, the
/// usual one.
fn old<'a>(
    speeds: Dim<'_, Count>,
    stated: Dim<'a, Name>,
    usual: &'a Option<Reading>,
    from: Limit<Count>,
) -> Dim<'a, Name> {
    let before = speeds.span().zip(from.row).is_some_and(|(speeds, row)| speeds.high < row.span.low);
    match (stated.reading, before) {
        (None, true) => Dim { reading: usual.as_ref(), ..stated },
        _ => stated,
    }
}
