//! A stem on a fork's steerer: clamped round it, or as a quill inside a threaded one.
//!
//! The inside of a steerer is seldom written down. Where it is not, the page gives it by the
//! trade's rule: an eighth of an inch less than the outside.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        fork { steerer: Shaft, top: Name, bore: Bore }
        stem { fixing: Name, clamp: Bore, quill: Shaft }
    }
    limits {
        tightest: Length,
        loosest: Length,
        quill_tightest: Length,
        quill_loosest: Length,
    }
    names {
        threadless = "steerer_top.threadless",
        threaded = "steerer_top.threaded",
        thick = "steerer_top.threaded_thick",
        clamped = "stem_fixing.clamp",
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

/// Compares as the stem holds the steerer; where nobody looked, that is asked.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    match ends.stem.fixing.is(rule.clamped) {
        Some(true) => clamp(ends, rule, why),
        Some(false) => quill(ends, rule, why),
        None => why.ask(WHICH, &[ends.stem.fixing.field]),
    }
}

fn clamp<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    why.grant(WHICH, &[ends.stem.fixing.field]);
    why.named(THREADED, ends.fork.top, &[rule.threadless]);
    let gap = ends.stem.clamp - ends.fork.steerer;
    why.at_least(TOO_THICK, &gap, rule.tightest);
    why.at_most(TOO_THIN, &gap, rule.loosest);
}

fn quill<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { fork, stem } = ends;
    why.grant(WHICH, &[stem.fixing.field]);
    why.named(THREADLESS, fork.top, &[rule.threaded, rule.thick]);
    if fork.top.is(rule.threadless) == Some(true) {
        return;
    }
    let room = fork.bore - stem.quill;
    why.at_least(QUILL_THICK, &room, rule.quill_tightest);
    why.at_most(QUILL_THIN, &room, rule.quill_loosest);
}
