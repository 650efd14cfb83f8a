//! The saddle fully down over a rear wheel at the end of its travel: measured once on the bike with
//! the saddle up, the gap loses the drop of the post and what another tyre adds.

use super::compare::{Trace, Why};
use super::family::family;
use super::plain::halved;
use crate::dim::Length;
use crate::verdict::Side;

family! {
    ends {
        post { actuation: Name, drop: Length }
        frame { gap: Length, gap_tyre: Length, gap_wheel: Length, made_for: Length }
        tyre { width: Length, bead_seat: Length }
        shock { stroke: Length }
    }
    limits { margin: Length, none: Length, same: Length }
    codes { TOUCHES = "tyre-meets-saddle", STAYS_UP = "saddle-stays-up", STROKE = "longer-stroke" }
}

/// Takes the drop, and what the tyre is taller than the one measured with, from the gap.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { post, frame, tyre, shock } = ends;
    let none = rule.none.span(why.strict);
    if post.drop.span().zip(none).is_some_and(|(drop, none)| drop.high <= none.low) {
        return why.grant(STAYS_UP, &[post.drop.field]);
    }
    // A wider tyre is taller by about as much; a larger bead seat by half the difference.
    let wider = tyre.width.sum() - frame.gap_tyre.sum();
    let larger = tyre.bead_seat.sum() - frame.gap_wheel.sum();
    let room = frame.gap.sum() - post.drop.sum() - wider;
    let twice = room.clone() + room - larger;
    let clear = twice.span().map(halved);
    let over = [
        frame.gap.field,
        post.drop.field,
        tyre.width.field,
        frame.gap_tyre.field,
        tyre.bead_seat.field,
        frame.gap_wheel.field,
    ];
    why.computed::<Length>(TOUCHES, &over, clear, Side::AtLeast, rule.margin);
    // With more stroke the wheel comes up further than it was measured.
    let more = (shock.stroke.sum() - frame.made_for.sum()).span();
    let same = more.zip(rule.same.span(why.strict));
    let over = [shock.stroke.field, frame.made_for.field];
    match same.is_some_and(|(more, same)| more.high <= same.low) {
        true => why.grant(STROKE, &over),
        false => why.ask(STROKE, &over),
    }
}
