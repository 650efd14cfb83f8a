//! What works a dropper post: the way its line takes through the frame, and the lever that pulls
//! it.
//!
//! Only a line that enters the post from below asks anything of the frame, and only a cable has a
//! head that must hang at the same end for both.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        post { actuation: Name, cable_head: Name, drop: Length }
        tube { routing: Name }
        remote (optional) { actuation: Name, cable_head: Name }
    }
    tables { way, lever, wants }
    names {
        rigid = "actuation.rigid",
        cable_inside = "actuation.cable_inside",
        cable_outside = "actuation.cable_outside",
        hydraulic_inside = "actuation.hydraulic_inside",
        under_saddle = "actuation.under_saddle",
        cable = "remote.cable",
    }
    codes {
        WAY = "no-way-inside",
        LEVER = "wrong-lever",
        NO_LEVER = "no-lever",
        NOT_NEEDED = "no-lever-needed",
        HEAD = "cable-head",
    }
}

/// Asks the frame for a way where the post needs one, then compares post and lever.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { post, tube, remote } = ends;
    let is = |name| post.actuation.is(name) == Some(true);
    let known = post.actuation.label().is_some();
    // Nothing else needs the frame, so the frame need not be known for it.
    if is(rule.cable_inside) || is(rule.hydraulic_inside) || !known {
        why.pair(WAY, rule.way, post.actuation, tube.routing);
    }
    if is(rule.rigid) || is(rule.under_saddle) {
        return why.grant(NOT_NEEDED, &[post.actuation.field]);
    }
    if !remote.present {
        // The post's own name says which lever is missing.
        return why.pair(NO_LEVER, rule.wants, post.actuation, post.actuation);
    }
    why.pair(LEVER, rule.lever, post.actuation, remote.actuation);
    let cable = is(rule.cable_inside) || is(rule.cable_outside);
    if cable && remote.actuation.is(rule.cable) != Some(false) {
        why.same(HEAD, post.cable_head, remote.cable_head);
    }
}
