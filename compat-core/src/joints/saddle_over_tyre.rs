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
        frame { gap: Length, gap_tyre: Length, gap_wheel: Length, made_for: Length, travel: Length }
        tyre { width: Length, bead_seat: Length }
        shock (optional) { stroke: Length }
    }
    limits { margin: Length, none: Length, same: Length, plenty: Length }
    codes {
        TOUCHES = "tyre-meets-saddle",
        STAYS_UP = "saddle-stays-up",
        WHEEL_STAYS = "wheel-stays-down",
        STROKE = "longer-stroke",
    }
}

/// Takes the drop, and what the tyre is taller than the one measured with, from the gap.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { post, frame, tyre, shock } = ends;
    let none = rule.none.span(why.strict);
    if post.drop.span().zip(none).is_some_and(|(drop, none)| drop.high <= none.low) {
        return why.grant(STAYS_UP, &[post.drop.field]);
    }
    // Where the wheel does not come up, no drop and no tyre close a gap as wide as that.
    let still = frame.travel.span().zip(none);
    let still = still.is_some_and(|(travel, none)| travel.high <= none.low);
    let plenty = frame.gap.span().zip(rule.plenty.span(why.strict));
    if still && !shock.present && plenty.is_some_and(|(gap, plenty)| gap.low >= plenty.high) {
        return why.grant(WHEEL_STAYS, &[frame.travel.field, frame.gap.field]);
    }
    // A wider tyre is taller by about as much; a larger bead seat by half the difference.
    let wider = tyre.width.sum() - frame.gap_tyre.sum();
    let larger = tyre.bead_seat.sum() - frame.gap_wheel.sum();
    let room = frame.gap.sum() - post.drop.sum() - wider;
    let twice = room.clone() + room - larger;
    let clear = twice.span().map(halved);
    let mut over = vec![
        frame.gap.field,
        post.drop.field,
        tyre.width.field,
        frame.gap_tyre.field,
        tyre.bead_seat.field,
        frame.gap_wheel.field,
    ];
    // Without rear suspension the wheel would stay where it is.
    if !shock.present {
        over.push(frame.travel.field);
    }
    why.computed::<Length>(TOUCHES, &over, clear, Side::AtLeast, rule.margin);
    // With more stroke the wheel comes up further than it was measured; one that is not written down
    // is the one it was measured with.
    if !shock.present {
        return;
    }
    let more = (shock.stroke.sum() - frame.made_for.sum()).span();
    let same = more.zip(rule.same.span(why.strict));
    let over = [shock.stroke.field, frame.made_for.field];
    match same.is_some_and(|(more, same)| more.high <= same.low) {
        true => why.grant(STROKE, &over),
        false => why.ask(STROKE, &over),
    }
}
