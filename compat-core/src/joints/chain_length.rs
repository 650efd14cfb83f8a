//! How long the chain must be, and how much of it may be left over.
//!
//! With a derailleur the chain must reach round the largest ring and the largest cog with something to
//! spare, and on the smallest of both the cage must still take up what hangs. A longer chain is cut.
//! With one ring, one cog and no derailleur the axle must find a place in its slot at which a whole
//! number of pairs is neither tight nor slack.

use super::compare::{Trace, Why};
use super::family::{Dim, Limit, family};
use crate::dim::{Count, Quantity, Span};
use crate::formula::belt::{
    Run, Slot, beyond_pairs, even_links, of_links, off_by, slack, spread, take_up,
};
use crate::verdict::{Field, Side};

family! {
    ends {
        chain { links: Count }
        rings { largest_ring: Count, smallest_ring: Count }
        cogs { largest_cog: Count, smallest_cog: Count }
        frame { centres: Length, growth: Length, slide: Length }
        derailleur (optional) { capacity: Count }
        shock (optional) { stroke: Length }
        tensioner (optional) { kind: Name }
    }
    limits {
        spare: Length,
        wide_cog: Count,
        spare_wide: Length,
        left_over: Length,
        left_over_wide: Length,
        odd: Count,
        new_chain: Ratio,
        tight: Length,
        play: Length,
    }
    codes {
        TOO_SHORT = "too-short",
        LEFT_OVER = "left-over",
        ODD = "odd",
        CUT = "cut",
        NEEDED = "needed",
        ADD = "links-to-add",
        HANGS = "hangs",
        ONE_GEAR = "one-gear",
        TIGHT = "tight",
        SLACK = "slack",
        GROWS = "grows",
        CUT_FIXED = "cut-for-the-slot",
        CLOSES_ODD = "closed-with-a-half-link",
        HALF_LINK = "half-link",
        NEEDED_FIXED = "needed-for-the-slot",
        OFF = "off-by",
        UNSPRUNG = "unsprung-contradicted",
        TAKEN_UP = "tensioner-takes-up",
    }
}

/// Which rule the drive wants, and that rule.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    // Only a frame with a shock grows.
    if !ends.shock.present && ends.frame.growth.span().is_some_and(|growth| growth.high > 0) {
        why.ask(UNSPRUNG, &[ends.frame.growth.field]);
    }
    if ends.derailleur.present {
        return sprung(ends, rule, why);
    }
    match one_gear(ends) {
        Some(true) if ends.tensioner.present => tensioned(ends, rule, why),
        Some(true) => fixed(ends, rule, why),
        Some(false) => sprung(ends, rule, why),
        None => why.ask(ONE_GEAR, &wheels(ends)),
    }
}

/// Whether there is one ring and one cog.
fn one_gear(ends: &Ends<'_>) -> Option<bool> {
    let same = |large: Dim<'_, Count>, small: Dim<'_, Count>| {
        let (large, small) = (large.span()?, small.span()?);
        match () {
            () if large.low > small.high => Some(false),
            () if large.is_exact() && large == small => Some(true),
            () => None,
        }
    };
    let rings = same(ends.rings.largest_ring, ends.rings.smallest_ring);
    let cogs = same(ends.cogs.largest_cog, ends.cogs.smallest_cog);
    match (rings, cogs) {
        (Some(false), _) | (_, Some(false)) => Some(false),
        (Some(true), Some(true)) => Some(true),
        _ => None,
    }
}

fn wheels(ends: &Ends<'_>) -> Vec<Field> {
    let Ends { rings, cogs, .. } = ends;
    vec![
        rings.largest_ring.field,
        rings.smallest_ring.field,
        cogs.largest_cog.field,
        cogs.smallest_cog.field,
    ]
}

/// The distance the chain must reach: on a frame with a shock, where it is longest. A frame without
/// one does not grow, unless somebody says so.
fn reach(ends: &Ends<'_>) -> Option<Span> {
    let grown = ends.frame.growth.span();
    let growth = match ends.shock.present {
        true => grown?,
        false => grown.unwrap_or(Span::exactly(0)),
    };
    Some(ends.frame.centres.span()?.plus(growth))
}

/// What a limit leaves surely on one side; `None` where it does not say.
fn beyond(value: Dim<'_, Count>, limit: Limit<Count>, strict: bool) -> Option<bool> {
    let (value, limit) = (value.span()?, limit.span(strict)?);
    match () {
        () if value.low > limit.high => Some(true),
        () if value.high <= limit.low => Some(false),
        () => None,
    }
}

/// A chain that a derailleur keeps taut.
fn sprung<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { chain, rings, cogs, frame, derailleur, shock, .. } = ends;
    let mut over = vec![chain.links.field, rings.largest_ring.field, cogs.largest_cog.field, frame.centres.field];
    if shock.present || frame.growth.span().is_some() {
        over.push(frame.growth.field);
    }
    // Without a derailleur it was the wheels that said which rule is wanted.
    if !derailleur.present {
        over.extend(wheels(ends));
        over.sort_unstable();
        over.dedup();
    }
    let (spare, left_over) = match beyond(cogs.largest_cog, rule.wide_cog, why.strict) {
        Some(true) => (rule.spare_wide, rule.left_over_wide),
        Some(false) => (rule.spare, rule.left_over),
        None => return why.ask(TOO_SHORT, &over),
    };
    let round = |ring: Dim<'_, Count>, cog: Dim<'_, Count>, centres: Option<Span>| {
        Run { ring: ring.span()?, cog: cog.span()?, centres: centres? }.length()
    };
    let largest = round(rings.largest_ring, cogs.largest_cog, reach(ends));
    let links = chain.links.span();
    let over_it = |around: Option<Span>| Some(of_links(links?).plus(around?.negated()));
    why.computed(TOO_SHORT, &over, over_it(largest), Side::AtLeast, spare);
    odd(ends, rule, why);
    let needed = largest.zip(spare.span(why.strict)).and_then(|(around, spare)| {
        Some(Span {
            low: even_links(around.low.saturating_add(spare.high))?,
            high: even_links(around.high.saturating_add(spare.high))?,
        })
    });
    why.tell(NEEDED, &over, Quantity::Count, needed);
    let missing = needed.zip(links).and_then(|(needed, links)| {
        let missing = needed.plus(links.negated());
        (missing.low > 0).then_some(missing)
    });
    why.tell(ADD, &over, Quantity::Count, missing);
    if !derailleur.present {
        return;
    }
    let largest_wheels = over;
    let over = [
        chain.links.field,
        rings.smallest_ring.field,
        cogs.smallest_cog.field,
        frame.centres.field,
        derailleur.capacity.field,
    ];
    let smallest = round(rings.smallest_ring, cogs.smallest_cog, frame.centres.span());
    let hangs = over_it(smallest);
    let taken = derailleur.capacity.span().map(take_up);
    let left = |hangs: Option<Span>| Some(hangs?.plus(taken?.negated()));
    let kept = left(hangs).zip(left_over.span(why.strict)).is_some_and(|(left, most)| left.high <= most.low);
    let both = needed.zip(links);
    let short = both.is_some_and(|(needed, links)| links.high <= needed.low);
    let spare_links = both.filter(|(needed, links)| links.low > needed.high);
    if kept || short {
        why.tell(HANGS, &over, Quantity::Length, hangs);
        return why.computed(LEFT_OVER, &over, left(hangs), Side::AtMost, left_over);
    }
    // A chain that is longer than it need be is cut, and then less hangs.
    let Some((needed, links)) = spare_links else {
        return why.ask(LEFT_OVER, &[over.as_slice(), largest_wheels.as_slice()].concat());
    };
    let surplus = links.plus(needed.negated());
    why.mend_with(CUT, &over, Quantity::Count, Some(surplus));
    let hangs = smallest.map(|around| of_links(needed).plus(around.negated()));
    why.tell(HANGS, &over, Quantity::Length, hangs);
    why.computed(LEFT_OVER, &over, left(hangs), Side::AtMost, left_over);
}

/// A chain joins inner links to outer ones, so that their number is even.
fn odd<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let links = ends.chain.links;
    let rest = links.span().map(beyond_pairs);
    why.computed(ODD, &[links.field], rest, Side::AtMost, rule.odd);
}

/// One ring and one cog with a tensioner on the slack run: the chain must go round, and what is left
/// over when no pair of links can be taken out is for the tensioner.
fn tensioned<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { chain, rings, cogs, frame, .. } = ends;
    let mut over = wheels(ends);
    over.extend([chain.links.field, frame.centres.field]);
    if ends.shock.present || frame.growth.span().is_some() {
        over.push(frame.growth.field);
    }
    odd(ends, rule, why);
    let run = rings.largest_ring.span().zip(cogs.largest_cog.span()).zip(reach(ends));
    let around = run.and_then(|((ring, cog), centres)| Run { ring, cog, centres }.length());
    let links = chain.links.span();
    let over_it = links.zip(around).map(|(links, around)| of_links(links).plus(around.negated()));
    why.computed(TIGHT, &over, over_it, Side::AtLeast, rule.tight);
    let needed = around.and_then(|around| Some(Span { low: even_links(around.low)?, high: even_links(around.high)? }));
    why.tell(NEEDED_FIXED, &over, Quantity::Count, needed);
    match links.zip(needed) {
        Some((links, needed)) if links.low > needed.high => {
            why.mend_with(CUT_FIXED, &over, Quantity::Count, Some(links.plus(needed.negated())));
        }
        Some((links, needed)) if links.high <= needed.low => why.grant(TAKEN_UP, &over),
        _ => why.ask(TAKEN_UP, &over),
    }
}

/// One ring, one cog, and nothing that keeps the chain taut but the place of the axle.
fn fixed<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { chain, rings, cogs, frame, .. } = ends;
    let over = [
        chain.links.field,
        rings.largest_ring.field,
        rings.smallest_ring.field,
        cogs.largest_cog.field,
        cogs.smallest_cog.field,
        frame.centres.field,
        frame.slide.field,
    ];
    let at = |centres: Option<Span>| {
        let run = Run { ring: rings.largest_ring.span()?, cog: cogs.largest_cog.span()?, centres: centres? };
        run.length()
    };
    let front = at(frame.centres.span());
    let back = at(frame.centres.span().zip(frame.slide.span()).map(|(centres, slide)| centres.plus(slide)));
    let new = rule.new_chain.span(why.strict);
    let slot = front.zip(back).zip(new).map(|((front, back), new)| Slot { front, back, new });
    let links = chain.links.span();
    why.tell(NEEDED_FIXED, &over, Quantity::Count, slot.and_then(|slot| slot.links(true)).map(Span::exactly));
    // A distance that changes wants something that takes the change up.
    if ends.shock.present {
        let grown = frame.growth.sum().resting_on(rings.smallest_ring);
        let grown = grown.resting_on(rings.largest_ring).resting_on(cogs.largest_cog);
        why.at_most(GROWS, &grown.resting_on(cogs.smallest_cog), rule.tight);
    }
    let length = links.zip(new).and_then(|(links, new)| spread(of_links(links), new));
    let less = |around: Option<Span>| Some(length?.plus(around?.negated()));
    why.computed(TIGHT, &over, less(front), Side::AtLeast, rule.tight);
    let play = frame.centres.span().zip(rule.play.span(why.strict)).and_then(|(centres, play)| {
        Some(Span { low: slack(play.low, centres.low)?, high: slack(play.high, centres.low)? })
    });
    let surely_longer = |wanted: &i64| links.is_some_and(|links| links.low > *wanted);
    let held = less(back).zip(play).is_some_and(|(loose, play)| loose.high <= play.low);
    if !held {
        let whole = slot.and_then(|slot| slot.links(true)).filter(surely_longer);
        let half = slot.and_then(|slot| slot.links(false)).filter(surely_longer);
        let cut = |wanted: i64| links.map(|links| links.plus(Span::exactly(wanted).negated()));
        match (whole, half) {
            (Some(wanted), _) => return why.mend_with(CUT_FIXED, &over, Quantity::Count, cut(wanted)),
            (None, Some(wanted)) => return why.mend_with(HALF_LINK, &over, Quantity::Count, cut(wanted)),
            (None, None) => {}
        }
    }
    // An odd number of links closes with a half link, which a single speed may have.
    if links.map(beyond_pairs).is_some_and(|rest| rest.low > 0) {
        why.mend(CLOSES_ODD, &[chain.links.field]);
    }
    why.tell(OFF, &over, Quantity::Length, front.and_then(off_by));
    let loose = less(back).zip(play).map(|(loose, play)| loose.plus(play.negated()));
    // Refused only where no shorter chain can lie taut either.
    let other = slot.zip(links).is_some_and(|(slot, links)| slot.may_below(links.high));
    if other && loose.is_some_and(|loose| loose.low > 0) {
        return why.ask(SLACK, &over);
    }
    why.computed(SLACK, &over, loose, Side::AtMost, rule.tight);
}
