//! A thru axle or skewer of its own against frame or fork, and against the hub it goes through.
//!
//! Diameter and hub width do not make an axle: thread, length and head differ from maker to maker.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        axle { axle: Name, thread: Name, length: Length, head: Name }
        dropouts { axle: Name, thread: Name, length: Length, head: Name }
        hub (optional) { axle: Name, spacing: Length }
    }
    limits { shorter: Length, longer: Length, through_slots: Length }
    tables { kinds, hubs, threads, heads }
    names {
        qr_front = "axle.qr_front",
        qr_rear = "axle.qr_rear",
        nutted = "axle.nutted",
        bolt_9 = "axle.through_bolt_9",
        bolt_10 = "axle.through_bolt_10",
    }
    codes {
        KIND = "kind",
        HUB = "hub",
        THREAD = "thread",
        SHORT = "too-short",
        LONG = "too-long",
        HEAD = "head",
        SKEWER = "skewer-too-short",
    }
}

/// Looks the kind up, then thread and head, and compares the lengths.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { axle, dropouts, hub } = ends;
    why.pair(KIND, rule.kinds, axle.axle, dropouts.axle);
    if hub.present {
        why.pair(HUB, rule.hubs, axle.axle, hub.axle);
    }
    let slotted = [rule.qr_front, rule.qr_rear, rule.nutted, rule.bolt_9, rule.bolt_10];
    // What is held in slots by its own nut needs nothing of the dropouts but their slots, and which
    // it is comes before the rest.
    let Some(kind) = axle.axle.label() else { return };
    if hub.present && [rule.qr_front, rule.qr_rear].contains(&Some(kind)) {
        why.at_least(SKEWER, &(axle.length - hub.spacing), rule.through_slots);
    }
    if slotted.contains(&Some(kind)) {
        return;
    }
    why.pair(THREAD, rule.threads, axle.thread, dropouts.thread);
    let more = axle.length - dropouts.length;
    why.at_least(SHORT, &more, rule.shorter);
    why.at_most(LONG, &more, rule.longer);
    why.pair(HEAD, rule.heads, axle.head, dropouts.head);
}
