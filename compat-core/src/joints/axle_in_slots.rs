//! The axle of a hub gear in the slots of the frame: flats that go between the slot's edges, and
//! tabbed washers that keep the axle from turning.
//!
//! A hub gear drives its axle backward or forward with what it adds to the torque. The tabs are made
//! for one shape of slot, and at one angle to the chainstay.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        hub { hold: Name, flats: Shaft, freehub: Name, axle: Name }
        frame { dropout: Name, angle: Angle, width: Bore }
        washer (optional) { dropout: Name, least: Angle, most: Angle, tab: Shaft }
    }
    limits { tightest: Length }
    tables { shapes }
    names { washers = "axle_hold.washers" }
    codes {
        HOLD = "hold",
        FLATS = "flats-too-wide",
        MISSING = "washers-missing",
        SHAPE = "shape",
        ANGLE_SMALL = "angle-too-small",
        ANGLE_LARGE = "angle-too-large",
        TAB = "tab-too-wide",
    }
}

/// Compares flats, tabs and angle with the slot, where the hub is held by washers.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { hub, frame, washer } = ends;
    let held = hub.hold.is(rule.washers);
    match held {
        None => why.ask(HOLD, &[hub.hold.field]),
        Some(true) if !washer.present => why.mend(MISSING, &[hub.hold.field]),
        Some(_) => why.grant(HOLD, &[hub.hold.field]),
    }
    if held == Some(true) {
        why.at_least(FLATS, &(frame.width - hub.flats), rule.tightest);
    }
    // Washers that are there must go into the slots, whatever the hub.
    if washer.present {
        why.pair(SHAPE, rule.shapes, washer.dropout, frame.dropout);
        why.not_below(ANGLE_SMALL, &frame.angle.sum(), washer.least);
        why.not_above(ANGLE_LARGE, &frame.angle.sum(), washer.most);
        why.at_least(TAB, &(frame.width - washer.tab), rule.tightest);
    }
}
