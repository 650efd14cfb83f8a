//! How the bike stands with its fork: angles, bottom bracket, trail, wheelbase, reach and stack. It
//! decides nothing; what it was before stands beside it.

use super::compare::{Trace, Why};
use super::family::family;
use crate::dim::{Quantity, Span};
use crate::formula::steering::Known;

family! {
    ends {
        fork { length: Length, offset: Length, sag: Length, travel: Length }
        frame {
            chainstay: Length,
            drop: Length,
            front_centre: Length,
            head_angle: Angle,
            seat_angle: Angle,
            reach: Length,
            stack: Length,
            fork_length: Length,
            fork_offset: Length,
        }
        front (optional) { width: Length, bead_seat: Length }
        rear (optional) { width: Length, bead_seat: Length }
    }
    codes {
        HEAD = "head-angle",
        HEAD_SUNK = "head-angle-sunk",
        SEAT = "seat-angle",
        BRACKET = "bracket-height",
        TRAIL = "trail",
        WHEELBASE = "wheelbase",
        REACH = "reach",
        STACK = "stack",
    }
}

/// Tells the figures for which enough is known.
pub fn check<T: Trace>(ends: &Ends<'_>, _: &Rule<'_>, why: &mut Why<T>) {
    let Ends { fork, frame, front, rear } = ends;
    let Some(known) = known(ends) else { return };
    let Some(figures) = known.figures() else { return };
    let over = [
        fork.length.field,
        fork.offset.field,
        frame.chainstay.field,
        frame.drop.field,
        frame.front_centre.field,
        frame.head_angle.field,
        frame.fork_length.field,
        frame.fork_offset.field,
        front.width.field,
        front.bead_seat.field,
        rear.width.field,
        rear.bead_seat.field,
    ];
    why.tell(HEAD, &over, Quantity::Angle, Some(figures.head_angle));
    let sunk = fork.sag.span().filter(|sag| sag.high > 0).and_then(|sag| {
        let length = known.fork.0.plus(sag.negated());
        Known { fork: (length, known.fork.1), ..known }.figures()
    });
    let with_sag = [over.as_slice(), &[fork.sag.field, fork.travel.field]].concat();
    why.tell(HEAD_SUNK, &with_sag, Quantity::Angle, sunk.map(|sunk| sunk.head_angle));
    let with_seat = [over.as_slice(), &[frame.seat_angle.field]].concat();
    let seat = frame.seat_angle.span().and_then(|drawn| figures.angle(drawn));
    why.tell(SEAT, &with_seat, Quantity::Angle, seat);
    why.tell(BRACKET, &over, Quantity::Length, Some(figures.bottom_bracket));
    why.tell(TRAIL, &over, Quantity::Length, Some(figures.trail));
    why.tell(WHEELBASE, &over, Quantity::Length, Some(figures.wheelbase));
    let place = frame.reach.span().zip(frame.stack.span());
    let place = place.and_then(|(reach, stack)| figures.reach_and_stack(reach, stack));
    let with_place = [over.as_slice(), &[frame.reach.field, frame.stack.field]].concat();
    why.tell(REACH, &with_place, Quantity::Length, place.map(|(reach, _)| reach));
    why.tell(STACK, &with_place, Quantity::Length, place.map(|(_, stack)| stack));
}

fn known(ends: &Ends<'_>) -> Option<Known> {
    let Ends { fork, frame, front, rear } = ends;
    let both = |one: Option<Span>, other: Option<Span>| one.zip(other);
    Some(Known {
        chainstay: frame.chainstay.span()?,
        drop: frame.drop.span()?,
        front_centre: frame.front_centre.span()?,
        head_angle: frame.head_angle.span()?,
        drawn: both(frame.fork_length.span(), frame.fork_offset.span())?,
        fork: both(fork.length.span(), fork.offset.span())?,
        front: both(front.bead_seat.span(), front.width.span())?,
        rear: both(rear.bead_seat.span(), rear.width.span())?,
    })
}
