//! Spokes between a hub and a rim: whether the two can be laced together so, and how long the
//! spokes must be on either side.

use super::compare::{Trace, Why};
use super::family::{Dim, family};
use crate::dim::{Count, Label, Quantity, Span};
use crate::formula::spokes::Known;
use crate::verdict::Side;

family! {
    ends {
        spokes {
            left: Length,
            right: Length,
            left_crosses: Count,
            right_crosses: Count,
            head: Name,
        }
        hub {
            holes: Count,
            seat: Name,
            left_circle: Length,
            right_circle: Length,
            left_offset: Length,
            right_offset: Length,
            hole: Length,
            torque: Name,
            radial: Name,
        }
        rim { circle: Length, ends: Name, shift: Length }
        caps (optional) { left: Length, right: Length }
    }
    limits { shortest: Length, longest: Length }
    tables { heads }
    bands { crossing: Count => Count }
    names {
        even = "spoke_seat.even",
        spoke_ends = "circle_ends.spoke_ends",
        torque_none = "torque_side.none",
        torque_left = "torque_side.left",
        torque_right = "torque_side.right",
        yes = "allowed.yes",
    }
    codes {
        HEADS = "heads",
        LEFT_FEW = "left-crosses-few",
        LEFT_MANY = "left-crosses-many",
        RIGHT_FEW = "right-crosses-few",
        RIGHT_MANY = "right-crosses-many",
        TORQUE = "radial-with-torque",
        RADIAL = "radial",
        OWN_PLAN = "own-plan",
        CIRCLE = "rim-diameter",
        LEFT_SHORT = "left-short",
        LEFT_LONG = "left-long",
        RIGHT_SHORT = "right-short",
        RIGHT_LONG = "right-long",
        NEED_LEFT = "left-length",
        NEED_RIGHT = "right-length",
        TENSION = "left-tension",
    }
}

/// Compares lacing and lengths, and tells the lengths and the balance of tension.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { spokes, hub, rim, .. } = ends;
    why.pair(HEADS, rule.heads, spokes.head, hub.seat);
    why.band((LEFT_FEW, LEFT_MANY), &rule.crossing, hub.holes, spokes.left_crosses);
    why.band((RIGHT_FEW, RIGHT_MANY), &rule.crossing, hub.holes, spokes.right_crosses);
    radial(ends, rule, (spokes.left_crosses, rule.torque_right), why);
    radial(ends, rule, (spokes.right_crosses, rule.torque_left), why);
    // Of other flanges than evenly drilled ones the hub's maker has the lengths; where nobody looked,
    // they are told and decide nothing.
    let even = hub.seat.is(rule.even);
    if even != Some(true) {
        why.ask(OWN_PLAN, &[hub.seat.field, spokes.left.field, spokes.right.field]);
    }
    if even == Some(false) {
        return;
    }
    if rim.ends.is(rule.spoke_ends) != Some(true) {
        return why.ask(CIRCLE, &[rim.ends.field, rim.circle.field]);
    }
    why.grant(CIRCLE, &[rim.ends.field]);
    lengths(ends, rule, why);
}

/// A side without crosses: not where brake or drive turns the flange, and elsewhere only where the
/// hub's maker allows it.
fn radial<T: Trace>(
    ends: &Ends<'_>,
    rule: &Rule<'_>,
    (crosses, other_side): (Dim<'_, Count>, Option<Label>),
    why: &mut Why<T>,
) {
    let hub = &ends.hub;
    let Some(count) = crosses.span() else { return };
    if count.low > 0 {
        return;
    }
    let over = [crosses.field, hub.torque.field];
    let free = hub.torque.label().map(|torque| {
        Some(torque) == rule.torque_none || Some(torque) == other_side
    });
    let [crossed, turned] = over;
    let asked = [crossed, turned, hub.radial.field];
    let surely = count.high <= 0;
    match (free, hub.radial.is(rule.yes)) {
        (Some(true), Some(true)) => why.grant(RADIAL, &asked),
        (Some(true), Some(false)) if surely => why.refuse(RADIAL, &asked),
        (Some(true), _) => why.ask(RADIAL, &asked),
        (Some(false), _) if surely => why.refuse(TORQUE, &over),
        _ => why.ask(TORQUE, &over),
    }
}

fn lengths<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { spokes, hub, rim, caps } = ends;
    let sides = [
        (LEFT_SHORT, LEFT_LONG, spokes.left, spokes.left_crosses, hub.left_circle, hub.left_offset),
        (RIGHT_SHORT, RIGHT_LONG, spokes.right, spokes.right_crosses, hub.right_circle, hub.right_offset),
    ];
    // Caps of another length on one side leave the rim's middle between the dropouts and the hub half as
    // much beside it.
    let caps_shift = match caps.present {
        true => caps.right.span().zip(caps.left.span()).map(|(right, left)| half(right.plus(left.negated()))),
        false => Some(Span::exactly(i64::default())),
    };
    let shifts = rim.shift.span().zip(caps_shift);
    let shifts = shifts.map(|(rim, caps)| caps.plus(rim.negated())).map(|left| [left, left.negated()]);
    let known = |index: usize| {
        let (.., crosses, circle, offset) = sides.get(index)?;
        Some(Known {
            rim: rim.circle.span()?,
            circle: circle.span()?,
            offset: offset.span()?.plus(*shifts?.get(index)?),
            hole: hub.hole.span()?,
            crosses: one(*crosses)?,
            spokes: one(hub.holes)?,
        })
    };
    for (index, (short, long, has, crosses, circle, offset)) in sides.into_iter().enumerate() {
        let over = [
            has.field,
            crosses.field,
            hub.holes.field,
            circle.field,
            offset.field,
            hub.hole.field,
            rim.circle.field,
            rim.shift.field,
        ];
        let over: Vec<_> = match caps.present {
            true => over.into_iter().chain([caps.left.field, caps.right.field]).collect(),
            false => over.to_vec(),
        };
        let needs = known(index).and_then(|known| known.length());
        let off = has.span().zip(needs).map(|(has, needs)| has.plus(needs.negated()));
        if hub.seat.is(rule.even) == Some(true) {
            why.computed(short, &over, off, Side::AtLeast, rule.shortest);
            why.computed(long, &over, off, Side::AtMost, rule.longest);
        }
        let code = if index == 0 { NEED_LEFT } else { NEED_RIGHT };
        why.tell(code, &over, Quantity::Length, needs);
    }
    let over = [hub.left_offset.field, hub.right_offset.field, rim.shift.field];
    let share = known(0).zip(known(1)).and_then(|(left, right)| left.tension(&right));
    why.tell(TENSION, &over, Quantity::Ratio, share.filter(|share: &Span| share.low > 0));
}

/// Half of a span, rounded outwards.
fn half(span: Span) -> Span {
    Span { low: span.low.div_euclid(2), high: -(-span.high).div_euclid(2) }
}

/// A count, where it is one number.
fn one(count: Dim<'_, Count>) -> Option<i64> {
    count.span().filter(|span| span.is_exact()).map(|span| span.low)
}
