//! Nipples on their spokes and in the rim's holes.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        nipple { thread: Name, shank: Shaft, head_width: Shaft }
        spokes { thread: Name }
        rim (optional) { nipple_hole: Bore }
    }
    limits { least_play: Length, most_play: Length, least_hold: Length }
    tables { threads }
    codes { THREAD = "thread", TIGHT = "hole-too-small", LOOSE = "hole-too-large", HEAD = "head-pulls-through" }
}

/// Looks the thread up and compares the hole with shank and head.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { nipple, spokes, rim } = ends;
    why.pair(THREAD, rule.threads, nipple.thread, spokes.thread);
    if !rim.present {
        return;
    }
    let play = rim.nipple_hole - nipple.shank;
    why.at_least(TIGHT, &play, rule.least_play);
    why.at_most(LOOSE, &play, rule.most_play);
    let hold = nipple.head_width.sum().cast::<crate::dim::Length>() - rim.nipple_hole.sum().cast();
    why.at_least(HEAD, &hold, rule.least_hold);
}
