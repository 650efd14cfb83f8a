//! Whether the pads of a rim brake come to stand on the brake track.
//!
//! The drop is taped with some wheel in; another wheel changes it by half the difference of the bead
//! seats. Brakes on bosses are the same sum turned round: how far the rim stands above the bosses.

use super::compare::{Trace, Why};
use super::family::family;
use crate::dim::{Label, Quantity};
use crate::formula::rim_brake::{above_boss, drop_with};
use crate::verdict::Side;

family! {
    ends {
        place { mount: Name, drop: Length, wheel: Length, boss_height: Length, boss_spacing: Length }
        brake { mount: Name, least: Length, most: Length, low: Length, high: Length }
        rim (optional) { bead_seat: Length }
    }
    limits { even: Length, direct_wheel: Length, least_apart: Length, most_apart: Length }
    names {
        centre_bolt = "brake_mount.centre_bolt",
        bosses = "brake_mount.bosses",
        u_bosses = "brake_mount.u_bosses",
        direct_bosses = "brake_mount.direct_bosses",
    }
    codes {
        WHICH = "which-brake",
        NOT_A_RIM_BRAKE = "not-a-rim-brake",
        DIRECT = "direct-mount-wheel",
        U_BRAKE = "u-brake-height",
        SAME = "same-wheel",
        NEEDED = "reach-needed",
        TOO_LONG = "reach-too-long",
        TOO_SHORT = "reach-too-short",
        LOW = "rim-below-pads",
        HIGH = "rim-above-pads",
        NARROW = "bosses-narrow",
        WIDE = "bosses-wide",
    }
}

/// Compares by the kind of brake; where nobody looked, that is asked.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { brake, rim, .. } = ends;
    let mount = brake.mount;
    let is = |name: Option<Label>| mount.is(name) == Some(true);
    if mount.label().is_none() {
        return why.ask(WHICH, &[mount.field]);
    }
    if is(rule.centre_bolt) {
        return calliper(ends, rule, why);
    }
    if is(rule.bosses) {
        return bosses(ends, rule, why);
    }
    if is(rule.u_bosses) {
        return why.ask(U_BRAKE, &[mount.field, rim.bead_seat.field]);
    }
    if is(rule.direct_bosses) {
        let wheel = rule.direct_wheel.span(why.strict);
        let over = [mount.field, rim.bead_seat.field];
        return match rim.bead_seat.span().zip(wheel) {
            Some((rim, wheel)) if wheel.holds(rim) => why.grant(DIRECT, &over),
            _ => why.ask(DIRECT, &over),
        };
    }
    why.grant(NOT_A_RIM_BRAKE, &[mount.field]);
}

/// A calliper's reach against the drop with this wheel.
fn calliper<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { place, brake, rim } = ends;
    let fields = [place.drop.field, place.wheel.field, rim.bead_seat.field];
    let needed = drop_with(place.drop.span(), place.wheel.span(), rim.bead_seat.span());
    let beyond = |end: Option<crate::dim::Span>| Some(needed?.plus(end?.negated()));
    // With a wheel of the size the hole was measured with, the rim does not count in the sum: what
    // stood with it before stands.
    let same = rim.bead_seat.span().zip(place.wheel.span());
    let same = same.is_some_and(|(rim, wheel)| rim == wheel && rim.is_exact());
    why.tell(NEEDED, &fields, Quantity::Length, needed);
    if same {
        // Read backwards, a calliper that stands with its wheel says between what the drop lies.
        why.grant(SAME, &[rim.bead_seat.field, place.wheel.field]);
        why.not_below(TOO_LONG, &place.drop.sum(), brake.least);
        return why.not_above(TOO_SHORT, &place.drop.sum(), brake.most);
    }
    let over = |more| -> Vec<_> { fields.iter().copied().chain([more]).collect() };
    why.computed(TOO_LONG, &over(brake.least.field), beyond(brake.least.span()), Side::AtLeast, rule.even);
    why.computed(TOO_SHORT, &over(brake.most.field), beyond(brake.most.span()), Side::AtMost, rule.even);
}

/// The rim above the bosses against the slot of the pads, and the bosses' distance apart.
fn bosses<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { place, brake, rim } = ends;
    let over = |more| vec![rim.bead_seat.field, place.boss_height.field, more];
    let height = above_boss(rim.bead_seat.span(), place.boss_height.span());
    let beyond = |end: Option<crate::dim::Span>| Some(height?.plus(end?.negated()));
    why.computed(LOW, &over(brake.low.field), beyond(brake.low.span()), Side::AtLeast, rule.even);
    why.computed(HIGH, &over(brake.high.field), beyond(brake.high.span()), Side::AtMost, rule.even);
    why.at_least(NARROW, &place.boss_spacing.sum(), rule.least_apart);
    why.at_most(WIDE, &place.boss_spacing.sum(), rule.most_apart);
}
