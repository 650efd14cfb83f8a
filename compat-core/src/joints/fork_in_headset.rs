//! A fork's steerer in the upper end of a headset: its thickness, and its thread where it has one.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        fork { steerer: Shaft, top: Name, thread: Name, seat: Shaft, material: Name }
        headset { steerer: Bore, thread: Name }
    }
    limits { tightest: Length, loosest: Length }
    tables { threads }
    codes {
        TOO_THICK = "steerer-too-thick-for-headset",
        TOO_THIN = "steerer-too-thin-for-headset",
        THREAD = "steerer-thread",
    }
}

/// The upper end is made for one steerer, and screws on or slides on.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { fork, headset } = ends;
    let gap = headset.steerer - fork.steerer;
    why.at_least(TOO_THICK, &gap, rule.tightest);
    why.at_most(TOO_THIN, &gap, rule.loosest);
    why.pair(THREAD, rule.threads, headset.thread, fork.thread);
}
