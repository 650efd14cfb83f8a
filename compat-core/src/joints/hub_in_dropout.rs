//! A hub between its dropouts: the axle that holds it, the seats its ends bear on, and the width.
//!
//! The same width with another axle does not fit, and the same axle with another width does not
//! either. In slots a hub that is a little too narrow takes washers, and stays of steel are set for
//! one that is a little too wide, or are made between two widths. Where the rotor then stands is
//! judged with the rotor.

use super::compare::{Sum, Trace, Why};
use super::family::{Limit, PairTable, Says, family};
use crate::dim::{Label, Length, Quantity, Span};
use crate::verdict::Grade;

family! {
    ends {
        hub { spacing: Length, axle: Name, cap: Shaft, seat: Name, thickness: Shaft }
        dropouts { spacing: Length, axle: Name, recess: Bore, seat: Name, material: Name, slot: Bore }
    }
    limits {
        tightest: Length,
        loosest: Length,
        most_set: Length,
        most_washers: Length,
        between_low: Length,
        between_high: Length,
        between_reach: Length,
        snug: Length,
        slot_tightest: Length,
        slot_loosest: Length,
    }
    tables { axles, seats }
    names {
        qr_front = "axle.qr_front",
        qr_rear = "axle.qr_rear",
        nutted = "axle.nutted",
        bolt_9 = "axle.through_bolt_9",
        bolt_10 = "axle.through_bolt_10",
        recessed = "axle_seat.recessed",
        steel = "frame_material.steel",
    }
    codes {
        AXLE = "axle",
        CAP = "end-cap",
        SEAT = "seat",
        TOO_WIDE = "too-wide",
        TOO_NARROW = "too-narrow",
        EDGE = "width-at-the-edge",
        NOT_SET = "never-spread",
        SET = "cold-setting",
        BETWEEN = "between-two-widths",
        WASHERS = "washers",
        THICK = "axle-too-thick",
        THIN = "axle-too-thin",
    }
}

/// Looks axle and seats up, then compares the widths.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { hub, dropouts } = ends;
    why.pair(AXLE, rule.axles, hub.axle, dropouts.axle);
    // Solid axles are made from 8 to 14 mm thick, and only a calliper tells whether one fills its slot.
    let slots = [rule.nutted, rule.qr_front, rule.qr_rear, rule.bolt_9, rule.bolt_10];
    let in_slots = dropouts.axle.label().is_some_and(|axle| slots.contains(&Some(axle)));
    if in_slots && hub.axle.is(rule.nutted) == Some(true) {
        let play = dropouts.slot - hub.thickness;
        why.at_least(THICK, &play, rule.slot_tightest);
        why.at_most(THIN, &play, rule.slot_loosest);
    }
    if hub.seat.is(rule.recessed) == Some(true) {
        why.at_least(CAP, &(dropouts.recess - hub.cap), rule.snug);
    }
    // Seats are those of one kind of axle; with another they have nothing to add.
    if !refused(rule.axles, hub.axle.label(), dropouts.axle.label()) {
        why.pair(SEAT, rule.seats, hub.seat, dropouts.seat);
    }
    width(ends, rule, why);
}

/// True where a table says that two names do not go together, and not from memory.
fn refused(table: Option<&PairTable>, a: Option<Label>, b: Option<Label>) -> bool {
    let (Some(table), Some(a), Some(b)) = (table, a, b) else {
        return false;
    };
    let (says, _, grade) = table.says(a, b);
    matches!(says, Says::Not(_)) && grade != Grade::Memory
}

/// The widths, and what takes up a difference.
fn width<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { hub, dropouts } = ends;
    let gap = dropouts.spacing - hub.spacing;
    let slots = [rule.qr_rear, rule.nutted, rule.bolt_10];
    // In slots the ends may be moved; a thru axle leaves no room for it.
    let slotted = hub.axle.label().map(|axle| slots.contains(&Some(axle)));
    let Some(span) = gap.span().filter(|_| slotted != Some(false)) else {
        return plain(&gap, rule, why);
    };
    let over = [hub.spacing.field, dropouts.spacing.field, hub.axle.field, dropouts.material.field];
    let limit = |limit: Limit<Length>, strict: bool| limit.span(strict).unwrap_or(Span::exactly(0));
    let strict = why.strict;
    let (tightest, loosest) = (limit(rule.tightest, strict), limit(rule.loosest, strict));
    let (set, washers) = (limit(rule.most_set, strict), limit(rule.most_washers, strict));
    let steel = dropouts.material.is(rule.steel);
    // Surely as wide, or off by more than anything makes up for.
    if (span.low >= tightest.high && span.high <= loosest.low)
        || span.high < set.negated().low
        || span.low > washers.high
    {
        return plain(&gap, rule, why);
    }
    if slotted.is_none() {
        return why.ask(if span.high <= loosest.high { TOO_WIDE } else { TOO_NARROW }, &over);
    }
    if span.high < tightest.low && steel == Some(false) {
        plain(&gap, rule, why);
        return why.refuse(NOT_SET, &over);
    }
    if span.low >= set.negated().high && span.high < tightest.low {
        return match steel {
            Some(_) if between(ends, rule, &gap, why) => why.grant(BETWEEN, &over),
            Some(_) => why.mend_with(SET, &over, Quantity::Length, Some(span.negated())),
            None => why.ask(SET, &over),
        };
    }
    if span.low > loosest.high && span.high <= washers.low {
        return match steel {
            Some(true) if between(ends, rule, &gap, why) => why.grant(BETWEEN, &over),
            _ => why.mend_with(WASHERS, &over, Quantity::Length, Some(span)),
        };
    }
    if span.low > loosest.high && span.is_exact() {
        // Nothing is left to measure: what is told of such a difference does not agree.
        return why.ask(EDGE, &over);
    }
    // Not known well enough to say which of them it is.
    why.ask(if span.high <= loosest.high { TOO_WIDE } else { TOO_NARROW }, &over);
}

/// True where the dropouts surely stand between two widths, to be pulled to either.
fn between<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, gap: &Sum<Length>, why: &Why<T>) -> bool {
    let limits = [rule.between_low, rule.between_high, rule.between_reach].map(|limit| limit.span(why.strict));
    let (Some(stands), Some(gap)) = (ends.dropouts.spacing.span(), gap.span()) else {
        return false;
    };
    matches!(limits, [Some(low), Some(high), Some(reach)]
        if stands.low >= low.high && stands.high <= high.low && gap.high <= reach.low && gap.low >= -reach.low)
}

fn plain<T: Trace>(gap: &Sum<Length>, rule: &Rule<'_>, why: &mut Why<T>) {
    why.at_least(TOO_WIDE, gap, rule.tightest);
    why.at_most(TOO_NARROW, gap, rule.loosest);
}
