//! A fork's length, travel and crowns against what the frame is drawn and allowed for.
//!
//! A fork of the length the frame is drawn for asks nothing of it. A longer one pulls harder at the
//! head tube: the frame maker's limit decides, and where there is none known, asking the maker. A
//! shorter one does the frame no harm and changes how the bike rides. Where a fork's travel can be set
//! by spacers inside, its length goes down with it, as far as its maker gives.

use super::compare::{Sum, Trace, Why};
use super::family::family;
use crate::dim::{Length, Quantity, Span};
use crate::formula::travel_spacers::to_fit;

family! {
    ends {
        fork { length: Length, travel: Length, least_travel: Length, spacers: Name, crowns: Name, crown_room: Length }
        frame { drawn: Length, longest: Length, travel: Length, dual: Name, head_tube: Length }
        headset (optional) { stack: Length }
    }
    limits { same_length: Length, far_shorter: Length, spacer: Length }
    names { takes = "stroke_spacers.takes", single = "crowns.single", dual = "crowns.dual", allowed = "dual_crown.allowed" }
    codes {
        LENGTH = "fork-length",
        LONGEST = "fork-too-long",
        CONTRADICTED = "fork-rating-contradicted",
        SHORTER = "fork-shorter",
        FAR = "fork-far-shorter",
        LONGER = "fork-longer",
        MORE = "fork-length-change",
        TRAVEL = "fork-travel",
        SPACERS = "travel-spacers",
        REACH = "spacer-reach",
        CROWNS = "crowns",
        DUAL = "two-crowns",
        CROWN_ROOM = "between-the-crowns",
    }
}

/// Compares the length with the drawing and the limit, then travel and crowns.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { fork, frame, .. } = ends;
    let more = fork.length - frame.drawn;
    let same = rule.same_length.span(why.strict);
    let over = [fork.length.field, frame.drawn.field];
    why.tell(MORE, &over, Quantity::Length, more.span());
    crowns(ends, rule, why);
    if fork.spacers.is(rule.takes) == Some(true) {
        let over = [
            fork.spacers.field,
            fork.travel.field,
            fork.least_travel.field,
            fork.length.field,
            frame.travel.field,
            frame.longest.field,
        ];
        match reduced(ends, rule, why.strict) {
            Some(Reduced::By(much)) => {
                if surely_at_most(&more, same) && frame.longest.span().is_some() {
                    why.not_above(CONTRADICTED, &fork.length.sum(), frame.longest);
                }
                return why.mend_with(SPACERS, &over, Quantity::Length, Some(Span::exactly(much)));
            }
            Some(Reduced::No) => {}
            None => return why.ask(REACH, &over),
        }
    }
    if surely_at_most(&more, same) {
        why.at_most(LENGTH, &more, rule.same_length);
        if frame.longest.span().is_some() {
            why.not_above(CONTRADICTED, &fork.length.sum(), frame.longest);
        }
    } else {
        // With neither known, either answers: the length the frame is drawn for, or its limit.
        let length = fork.length.sum();
        let length = match frame.longest.span().or(frame.drawn.span()) {
            None => length.resting_on(frame.drawn),
            Some(_) => length,
        };
        why.not_above(LONGEST, &length, frame.longest);
        let longer = more.span().zip(same).is_some_and(|(more, same)| more.high > same.low);
        if longer && frame.longest.span().is_some() {
            why.mend(LONGER, &over);
        }
    }
    if more.span().zip(same).is_some_and(|(more, same)| more.low < -same.high) {
        why.mend(SHORTER, &over);
    }
    let far = rule.far_shorter.span(why.strict);
    if more.span().zip(far).is_some_and(|(more, far)| more.low < -far.high) {
        why.mend(FAR, &over);
    }
    why.not_above(TRAVEL, &fork.travel.sum(), frame.travel);
}

/// One crown or two, and what two ask of the frame.
fn crowns<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { fork, frame, headset } = ends;
    match fork.crowns.is(rule.dual) {
        Some(true) => {
            why.grant(CROWNS, &[fork.crowns.field]);
            why.named(DUAL, frame.dual, &[rule.allowed]);
            let stack = headset.stack.sum() + frame.head_tube.sum();
            why.not_above(CROWN_ROOM, &stack, fork.crown_room);
        }
        _ => why.named(CROWNS, fork.crowns, &[rule.single]),
    }
}

/// What spacers inside can do for a fork with too much travel, or too long for it.
enum Reduced {
    By(i64),
    /// Nothing is wanted, or spacers do not reach so far.
    No,
}

/// How much less travel brings the fork within what the frame's maker allows, in steps of the fork's
/// spacers; `None` where that is not known.
fn reduced(ends: &Ends<'_>, rule: &Rule<'_>, strict: bool) -> Option<Reduced> {
    let Ends { fork, frame, .. } = ends;
    let step = rule.spacer.span(strict)?;
    let steps = |over: Span| match over.high <= 0 {
        true => Some(i64::default()),
        false => to_fit(over, i64::default(), step.low),
    };
    let drawn = surely_at_most(&(fork.length - frame.drawn), rule.same_length.span(strict));
    let long = match drawn {
        true => i64::default(),
        false => steps((fork.length - frame.longest).span()?)?,
    };
    let much = long.max(steps((fork.travel - frame.travel).span()?)?);
    if much <= 0 {
        return Some(Reduced::No);
    }
    let left = fork.travel.span()?.plus(Span::exactly(much).negated());
    let least = fork.least_travel.span()?;
    match (left.low >= least.high, left.high < least.low) {
        (true, _) => Some(Reduced::By(much)),
        (_, true) => Some(Reduced::No),
        _ => None,
    }
}

/// True where the value keeps to the limit whatever the readings.
fn surely_at_most(value: &Sum<Length>, limit: Option<Span>) -> bool {
    let known = value.span().zip(limit);
    known.is_some_and(|(value, limit)| value.high <= limit.low)
}
