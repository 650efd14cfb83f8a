//! A coil spring on a rear shock: long enough in its stroke, wide enough for the shock's body, and no
//! longer than there is room between the seats.

use super::compare::{Trace, Why};
use super::family::family;
use crate::dim::Quantity;

family! {
    ends {
        coil { stroke: Length, inside: Bore, length: Length, rate: Stiffness }
        shock { spring: Name, stroke: Length, seat: Shaft, room: Length }
    }
    limits { tightest: Length, loosest: Length, shortest: Length }
    names { sprung = "shock_spring.coil" }
    codes {
        AIR = "air-shock",
        STROKE = "spring-binds",
        TIGHT = "spring-too-narrow",
        LOOSE = "spring-too-wide",
        LENGTH = "spring-too-long",
        SHORT = "spring-too-short",
        RATE = "rate",
    }
}

/// Compares stroke, inside and free length, and tells the rate.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { coil, shock } = ends;
    why.named(AIR, shock.spring, &[rule.sprung]);
    why.not_below(STROKE, &coil.stroke.sum(), shock.stroke);
    let play = coil.inside - shock.seat;
    why.at_least(TIGHT, &play, rule.tightest);
    why.at_most(LOOSE, &play, rule.loosest);
    why.not_above(LENGTH, &coil.length.sum(), shock.room);
    why.at_most(SHORT, &(shock.room.sum() - coil.length.sum()), rule.shortest);
    why.tell(RATE, &[coil.rate.field], Quantity::Stiffness, coil.rate.span());
}
