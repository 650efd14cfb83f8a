//! What a shock makes of the frame's travel and the rider's weight: leverage, sag, and the rate of a
//! coil. These figures decide nothing: they are told, and compared with what they were.

use super::compare::{Trace, Why};
use super::family::{Dim, family};
use crate::dim::{Length, Quantity, Span};
use crate::formula::leverage::{ratio_of, sag, spring_rate};

family! {
    ends {
        shock { stroke: Length, spring: Name }
        frame { travel: Length, stroke: Length }
        rider (optional) { weight: Mass }
    }
    limits { sag: Percent, rear_share: Percent }
    names { coil = "shock_spring.coil" }
    codes { LEVERAGE = "leverage", SAG = "sag", RATE = "spring-rate" }
}

/// One number, where it is one.
fn one(dim: Dim<'_, Length>) -> Option<i64> {
    dim.span().filter(|span| span.is_exact()).map(|span| span.low)
}

/// Tells the figures for which enough is known.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { shock, frame, rider } = ends;
    let (stroke, shares) = (one(shock.stroke), rule.sag.span(why.strict));
    let ratio = one(frame.travel).zip(one(frame.stroke)).and_then(|(travel, own)| ratio_of(travel, own));
    let two = [frame.travel.field, frame.stroke.field];
    why.tell(LEVERAGE, &two, Quantity::Ratio, ratio.map(Span::exactly));
    let sags = stroke
        .zip(shares)
        .and_then(|(stroke, share)| Some(Span::between(sag(stroke, share.low)?, sag(stroke, share.high)?)));
    why.tell(SAG, &[shock.stroke.field], Quantity::Length, sags);
    if shock.spring.is(rule.coil) != Some(true) {
        return;
    }
    let over = [
        frame.travel.field,
        frame.stroke.field,
        shock.stroke.field,
        rider.weight.field,
    ];
    let weight = rider.weight.span().filter(|span| span.is_exact());
    let rear = rule.rear_share.span(why.strict);
    let rates = ratio.zip(stroke).zip(shares.zip(rear)).zip(weight);
    let rate = rates.and_then(|(((ratio, stroke), (sag, rear)), weight)| {
        let softest = spring_rate(weight.low, rear.low, ratio, stroke, sag.high)?;
        let stiffest = spring_rate(weight.low, rear.high, ratio, stroke, sag.low)?;
        Some(Span::between(softest, stiffest))
    });
    why.tell(RATE, &over, Quantity::Stiffness, rate);
}
