//! The length of a threadless steerer: head tube, headset, spacers and the stem's clamp stand on it.
//!
//! Too short cannot be made longer. What is too long takes spacers or is cut, and a cut stays. Where
//! the spacers are chosen the sum must come out; where they are not, what is left over is told.

use super::compare::{Sum, Trace, Why};
use super::family::family;
use crate::dim::{Length, Quantity, Span};

family! {
    ends {
        fork { length: Length, top: Name, taper: Length, material: Name, steerer: Shaft, seat: Shaft, most_below: Length, most_above: Length, crowns: Name }
        tube { length: Length }
        headset { stack: Length }
        stem { height: Length, fixing: Name }
        spacers (optional) { below: Length, above: Length }
    }
    limits {
        clamp_short: Length,
        clamp_short_carbon: Length,
        cap_gap: Length,
        tallest_carbon: Length,
        above_any: Length,
    }
    names {
        threadless = "steerer_top.threadless",
        clamp = "stem_fixing.clamp",
        carbon = "steerer_material.carbon",
        sleeved = "steerer_material.carbon_sleeved",
        dual = "crowns.dual",
    }
    codes {
        QUILL = "held-by-a-quill",
        RINGS = "rings-without-a-clamp",
        WHICH = "clamped-or-quill",
        SHORT = "steerer-short",
        SHORT_CARBON = "carbon-steerer-short",
        MATERIAL = "steerer-material",
        CAP = "no-room-for-the-cap",
        LEFT_OVER = "left-over",
        MORE_RINGS = "more-spacers",
        TALL = "spacers-too-tall",
        ABOVE = "spacers-above",
        TAPER = "taper-above-the-bearing",
        TOTAL = "stack",
        UPPER_CROWN = "upper-crown",
    }
}

/// Adds up what stands on the steerer.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { fork, tube, headset, stem, spacers } = ends;
    let (top, fixing) = (fork.top.is(rule.threadless), stem.fixing.is(rule.clamp));
    if top == Some(false) || fixing == Some(false) {
        let over = [fork.top.field, stem.fixing.field];
        if spacers.present {
            why.ask(RINGS, &over);
        }
        return why.grant(QUILL, &over);
    }
    if top.is_none() || fixing.is_none() {
        let over = [
            fork.top.field,
            stem.fixing.field,
            stem.height.field,
            fork.length.field,
            headset.stack.field,
            tube.length.field,
            spacers.below.field,
        ];
        return why.ask(WHICH, &over);
    }
    why.grant(WHICH, &[fork.top.field, stem.fixing.field]);
    if fork.crowns.is(rule.dual) == Some(true) {
        return why.ask(UPPER_CROWN, &[fork.crowns.field]);
    }
    why.not_below(TAPER, &tube.length.sum(), fork.taper);
    let stack = tube.length.sum() + headset.stack.sum() + stem.height.sum();
    let fields = [tube.length.field, headset.stack.field, stem.height.field];
    if spacers.present {
        let all = stack.clone() + spacers.below.sum() + spacers.above.sum();
        let rings = [spacers.below.field, spacers.above.field];
        let fields: Vec<_> = fields.into_iter().chain(rings).collect();
        why.tell(TOTAL, &fields, Quantity::Length, all.span());
    } else {
        why.tell(TOTAL, &fields, Quantity::Length, stack.span());
    }
    let over = fork.length.sum() - stack;
    // Above the clamp's lower face less the clamp: what stands out over the clamp.
    let out = if spacers.present { over - spacers.below.sum() } else { over };
    clamped(ends, rule, &out, why);
    if spacers.present {
        cap(ends, rule, &(out - spacers.above.sum()), why);
        tall(ends, rule, why);
    } else if let Some((much, gap)) = out.span().zip(rule.cap_gap.span(why.strict)) {
        let much = much.plus(gap.negated());
        if much.high > 0 {
            let over = [fork.length.field, tube.length.field, headset.stack.field, stem.height.field];
            let least = Span { low: much.low.max(0), high: much.high };
            why.mend_with(LEFT_OVER, &over, Quantity::Length, Some(least));
        }
    }
}

/// Whether the steerer is of carbon, with a sleeve in it or not.
fn carbon(ends: &Ends<'_>, rule: &Rule<'_>) -> Option<bool> {
    let material = ends.fork.material;
    Some(material.is(rule.carbon)? || material.is(rule.sleeved)?)
}

/// The whole clamp must stand on the steerer; carbon wants more than metal.
fn clamped<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, out: &Sum<Length>, why: &mut Why<T>) {
    let material = ends.fork.material;
    if let Some(carbon) = carbon(ends, rule) {
        why.grant(MATERIAL, &[material.field]);
        let least = if carbon { rule.clamp_short_carbon } else { rule.clamp_short };
        return why.at_least(if carbon { SHORT_CARBON } else { SHORT }, out, least);
    }
    why.at_least(SHORT, out, rule.clamp_short);
    let enough = rule.clamp_short_carbon.span(why.strict);
    if out.span().zip(enough).is_none_or(|(out, enough)| out.low < enough.high) {
        why.ask(MATERIAL, &[material.field]);
    }
}

/// The cap must press on stem and rings: on metal what stands out takes more of them; on carbon those
/// count against what the fork's maker allows.
fn cap<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, out: &Sum<Length>, why: &mut Why<T>) {
    let known = out.span().zip(rule.cap_gap.span(why.strict));
    let proud = known.filter(|(out, gap)| out.low > gap.high);
    let fork = &ends.fork;
    let over = [fork.length.field, ends.spacers.below.field, ends.spacers.above.field];
    match (proud, carbon(ends, rule)) {
        (Some((out, gap)), Some(false)) => {
            let more = Span {
                low: out.low.saturating_sub(gap.high),
                high: out.high.saturating_sub(gap.low),
            };
            why.mend_with(MORE_RINGS, &over, Quantity::Length, Some(more));
        }
        (Some(_), None) => why.ask(CAP, &[fork.material.field, fork.length.field]),
        _ => why.at_most(CAP, out, rule.cap_gap),
    }
}

/// How many spacers a steerer may carry below the stem and above it.
fn tall<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let (fork, spacers) = (&ends.fork, &ends.spacers);
    let little = |rings: Option<Span>, limit: Option<Span>| {
        let known = rings.zip(limit);
        known.is_some_and(|(rings, limit)| rings.high <= limit.low)
    };
    let few = little(spacers.below.span(), rule.tallest_carbon.span(why.strict))
        && little(spacers.above.span(), rule.above_any.span(why.strict));
    if carbon(ends, rule).is_none() && !few {
        let over = [fork.material.field, spacers.below.field, spacers.above.field];
        return why.ask(MATERIAL, &over);
    }
    why.not_above(TALL, &spacers.below.sum(), fork.most_below);
    why.not_above(ABOVE, &spacers.above.sum(), fork.most_above);
}
