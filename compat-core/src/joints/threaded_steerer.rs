//! The length of a threaded steerer and of its thread: head tube and headset stand on it, and the
//! locknut closes it.

use super::compare::{Trace, Why};
use super::family::family;
use crate::dim::{Quantity, Span};

family! {
    ends {
        fork { length: Length, top: Name, thread: Length, steerer: Shaft, seat: Shaft, material: Name }
        tube { length: Length }
        headset { stack: Length }
    }
    limits { locknut_short: Length, locknut_long: Length, thread_above: Length }
    names { threadless = "steerer_top.threadless" }
    codes {
        CLAMPED = "held-by-a-clamp",
        WHICH = "threaded-or-not",
        SHORT = "threaded-steerer-short",
        LEFT_OVER = "threaded-steerer-long",
        THREAD = "thread-short",
    }
}

/// Adds up what stands on the steerer, and looks whether the thread comes down far enough.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { fork, tube, headset } = ends;
    match fork.top.is(rule.threadless) {
        Some(true) => return why.grant(CLAMPED, &[fork.top.field]),
        None => {
            let (length, thread) = (fork.length.field, fork.thread.field);
            let over = [fork.top.field, length, thread, tube.length.field, headset.stack.field];
            return why.ask(WHICH, &over);
        }
        Some(false) => why.grant(WHICH, &[fork.top.field]),
    }
    let out = fork.length.sum() - tube.length.sum() - headset.stack.sum();
    why.at_least(SHORT, &out, rule.locknut_short);
    let much = out.span().zip(rule.locknut_long.span(why.strict));
    let much = much.map(|(out, limit)| out.plus(limit.negated()));
    if let Some(much) = much.filter(|much| much.high > 0) {
        let over = [fork.length.field, tube.length.field, headset.stack.field];
        let least = Span { low: much.low.max(0), high: much.high };
        why.mend_with(LEFT_OVER, &over, Quantity::Length, Some(least));
    }
    // The plain part of the steerer, from the crown race seat to where the thread begins, against the
    // top of the head tube.
    let plain = fork.length.sum() - fork.thread.sum() - tube.length.sum();
    why.at_most(THREAD, &plain, rule.thread_above);
}
