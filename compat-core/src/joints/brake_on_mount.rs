//! A brake on the mount of frame or fork, with or without an adaptor between them.
//!
//! Where a disc brake sits is the mount's own rotor, and an adaptor's raise on top of it; tabs with
//! cross bolts have no rotor of their own, there the adaptor alone says which one. What the rotor is
//! larger than that must be made up, and a rotor that is smaller leaves the pads over its edge.

use super::compare::{Sum, Trace, Why};
use super::family::{Dim, Limit, family};
use crate::dim::{Label, Length, Name, Quantity, Span};
use crate::formula::brake_adaptor::lift;

family! {
    ends {
        place { mount: Name, bolt: Name, native: Length, room: Name }
        brake { mount: Name, bolt: Name }
        rotor (optional) { diameter: Length }
        adaptor (optional) { foot: Name, head: Name, raise: Length, rotor: Length }
    }
    limits {
        raise_one: Length,
        raise_one_more: Length,
        raise_two: Length,
        raise_two_more: Length,
        plate: Length,
        least_on_tabs: Length,
        overhang: Length,
        washers: Length,
    }
    tables { direct, bolts }
    names {
        post = "brake_mount.post",
        flat = "brake_mount.flat",
        tabs = "brake_mount.is",
        centre_bolt = "brake_mount.centre_bolt",
        clear = "adaptor_room.clear",
    }
    codes {
        MOUNT = "mount",
        FOOT = "adaptor-foot",
        HEAD = "adaptor-head",
        BOLT = "centre-bolt",
        ROOM = "no-room-for-adaptor",
        SMALL = "rotor-below-mount",
        RAISE = "raise",
        PLATE = "plate",
        WASHERS = "washers",
        TABS = "tab-adaptor",
        TABS_SMALL = "rotor-below-tabs",
        TALL = "adaptor-too-tall",
        LOW = "adaptor-too-low",
    }
}

/// Looks the mounts up, then works out what is missing between mount and rotor.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { place, brake, adaptor, .. } = ends;
    if adaptor.present {
        why.same(FOOT, adaptor.foot, place.mount);
        why.same(HEAD, adaptor.head, brake.mount);
        return with_adaptor(ends, rule, why);
    }
    why.pair(MOUNT, rule.direct, place.mount, brake.mount);
    if brake.mount.is(rule.centre_bolt) == Some(true) {
        why.pair(BOLT, rule.bolts, brake.bolt, place.bolt);
    }
    without(ends, rule, why);
}

fn both(a: Dim<'_, Name>, b: Dim<'_, Name>, name: Option<Label>) -> bool {
    a.is(name) == Some(true) && b.is(name) == Some(true)
}

/// The rotor against the bare mount.
fn without<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { place, brake, rotor, .. } = ends;
    let both = |name| both(place.mount, brake.mount, name);
    let is = |dim: Dim<'_, Name>, name| dim.is(name) == Some(true);
    if both(rule.post) {
        let made = [rule.raise_one, rule.raise_one_more, rule.raise_two, rule.raise_two_more];
        above(ends, rule, (RAISE, &made), why);
    } else if both(rule.flat) {
        above(ends, rule, (PLATE, &[rule.plate]), why);
    } else if is(place.mount, rule.tabs) && is(brake.mount, rule.post) {
        why.at_least(TABS_SMALL, &rotor.diameter.sum(), rule.least_on_tabs);
        let over = [rotor.diameter.field, place.mount.field];
        match rotor.diameter.span() {
            Some(size) => why.mend_with(TABS, &over, Quantity::Length, Some(size)),
            None => why.ask(TABS, &over),
        }
    }
}

/// How far the rotor is larger than the mount's own, and which of the adaptors that are made makes that
/// up.
fn above<T: Trace>(
    ends: &Ends<'_>,
    rule: &Rule<'_>,
    (code, made): (u8, &[Limit<Length>]),
    why: &mut Why<T>,
) {
    let (size, native) = (ends.rotor.diameter, ends.place.native);
    why.not_below(SMALL, &size.sum(), native);
    let over = [size.field, native.field];
    let Some(more) = (size - native).span() else { return };
    if more.high <= 0 {
        return;
    }
    let few = rule.washers.span(why.strict).is_some_and(|most| more.high <= most.low);
    if more.low > 0 && few {
        return why.mend_with(WASHERS, &over, Quantity::Length, Some(lift(more)));
    }
    if !made.iter().any(|made| made.span(why.strict) == Some(more)) {
        return why.ask(code, &over);
    }
    why.mend_with(code, &over, Quantity::Length, Some(more));
}

/// The rotor against what mount and adaptor come to.
fn with_adaptor<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { place, rotor, adaptor, .. } = ends;
    let off: Sum<Length> = match adaptor.foot.is(rule.tabs) {
        None => return,
        Some(true) => rotor.diameter - adaptor.rotor,
        Some(false) if disc(adaptor.foot, rule) => {
            // An adaptor of another shape than the mount stands out where the brake would not.
            match adaptor.head.label() {
                head if head == adaptor.foot.label() => {}
                None if place.room.is(rule.clear) != Some(true) => {
                    why.ask(ROOM, &[place.room.field, adaptor.head.field, adaptor.foot.field]);
                }
                _ => why.named(ROOM, place.room, &[rule.clear]),
            }
            rotor.diameter.sum() - place.native.sum() - adaptor.raise.sum()
        }
        Some(false) => return,
    };
    why.at_least(TALL, &off, rule.overhang);
    why.at_most(LOW, &off, rule.washers);
    let over = [rotor.diameter.field, adaptor.raise.field, adaptor.rotor.field];
    let Some(more) = off.span() else { return };
    match more {
        Span { low, .. } if low > 0 => {
            why.mend_with(WASHERS, &over, Quantity::Length, Some(lift(more)));
        }
        Span { high, .. } if high > 0 => why.ask(WASHERS, &over),
        _ => {}
    }
}

fn disc(mount: Dim<'_, Name>, rule: &Rule<'_>) -> bool {
    mount.is(rule.post) == Some(true) || mount.is(rule.flat) == Some(true)
}
