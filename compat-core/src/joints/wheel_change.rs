//! What the wheels' size does to the bike: how high the bottom bracket stands, what room the toe has,
//! how far a turn rolls. It decides nothing; what it was before stands beside it.

use super::compare::{Trace, Why};
use super::family::family;
use crate::dim::{Quantity, Span};
use crate::formula::tyre_section::{half, outside};
use crate::formula::wheel_size::{bottom_bracket, circumference, toe_room};

family! {
    ends {
        front(optional) { width: Length, bead_seat: Length }
        rear(optional) { width: Length, bead_seat: Length }
        frame { drop: Length, front_centre: Length }
    }
    bands { taller: Length => Length }
    codes {
        HEIGHT = "bottom-bracket-height",
        TOE = "toe-room",
        RIM_FRONT = "front-rim-radius",
        RIM_REAR = "rear-rim-radius",
        ROLLS = "rolls",
    }
}

/// Tells what the wheels' size comes to.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { front, rear, frame } = ends;
    let size = |width: Option<Span>, seat: Option<Span>| {
        let row = rule.taller.row(width, why.strict)?;
        let taller = Span { low: row.least.low.min(row.most.low), high: row.most.high.max(row.least.high) };
        outside(seat?, width?, taller)
    };
    let front_size = size(front.width.span(), front.bead_seat.span());
    let rear_size = size(rear.width.span(), rear.bead_seat.span());
    let height = front_size.zip(rear_size).zip(frame.drop.span());
    let height = height.and_then(|((front, rear), drop)| bottom_bracket(half(front), half(rear), drop));
    let seats = [front.bead_seat.field, front.width.field, rear.bead_seat.field, rear.width.field, frame.drop.field];
    why.tell(HEIGHT, &seats, Quantity::Length, height);
    let toe = frame.front_centre.span().zip(front_size);
    let toe = toe.and_then(|(centre, size)| toe_room(centre, half(size)));
    let over = [frame.front_centre.field, front.bead_seat.field, front.width.field];
    why.tell(TOE, &over, Quantity::Length, toe);
    why.tell(RIM_FRONT, &[front.bead_seat.field], Quantity::Length, front.bead_seat.span().map(half));
    why.tell(RIM_REAR, &[rear.bead_seat.field], Quantity::Length, rear.bead_seat.span().map(half));
    let over = [front.bead_seat.field, front.width.field];
    why.tell(ROLLS, &over, Quantity::Length, front_size.and_then(circumference));
}
