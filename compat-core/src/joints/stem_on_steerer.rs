//! A stem on a fork's steerer: clamped round it, or as a quill inside a threaded one.
//!
//! The inside of a steerer is seldom written down. Where it is not, the trade's rule stands in: a
//! quill is an eighth of an inch thinner than the steerer's outside.

use super::compare::{Sum, Trace, Why};
use super::family::family;
use crate::dim::Length;

family! {
    ends {
        fork { steerer: Shaft, top: Name, bore: Bore }
        stem { clamp: Bore, quill: Shaft }
    }
    limits {
        tightest: Length,
        loosest: Length,
        thinnest_wall: Length,
        thickest_wall: Length,
        quill_tightest: Length,
        quill_loosest: Length,
    }
    names {
        threadless = "steerer_top.threadless",
        threaded = "steerer_top.threaded",
        thick = "steerer_top.threaded_thick",
    }
    codes {
        WHICH = "which-stem",
        THREADED = "threaded-steerer",
        THREADLESS = "threadless-steerer",
        TOO_THICK = "steerer-too-thick",
        TOO_THIN = "steerer-too-thin",
        QUILL_THICK = "quill-too-thick",
        QUILL_THIN = "quill-too-thin",
    }
}

/// Finds out which of the two stems it is, and compares accordingly.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { fork, stem } = ends;
    if stem.quill.reading.is_some() {
        return quill(ends, rule, why);
    }
    if stem.clamp.reading.is_some() {
        return clamp(ends, rule, why);
    }
    // A stem nobody described is of the make that the steerer takes.
    match fork.top.is(rule.threadless) {
        Some(true) => clamp(ends, rule, why),
        Some(false) => quill(ends, rule, why),
        None => why.ask(WHICH, &[stem.clamp.field, stem.quill.field, fork.top.field]),
    }
}

fn clamp<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    why.named(THREADED, ends.fork.top, &[rule.threadless]);
    let gap = ends.stem.clamp - ends.fork.steerer;
    why.at_least(TOO_THICK, &gap, rule.tightest);
    why.at_most(TOO_THIN, &gap, rule.loosest);
}

fn quill<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { fork, stem } = ends;
    why.named(THREADLESS, fork.top, &[rule.threaded, rule.thick]);
    if fork.top.is(rule.threadless) == Some(true) {
        return;
    }
    // Where it is not known how thick the wall is, only the bore tells anything.
    if fork.bore.reading.is_some() || fork.top.label().is_none() {
        let room = fork.bore - stem.quill;
        why.at_least(QUILL_THICK, &room, rule.quill_tightest);
        return why.at_most(QUILL_THIN, &room, rule.quill_loosest);
    }
    let outside: Sum<Length> = fork.steerer.sum().cast();
    let walls = outside - stem.quill.sum().cast();
    why.at_least(QUILL_THICK, &walls, rule.thinnest_wall);
    why.at_most(QUILL_THIN, &walls, rule.thickest_wall);
}
