//! What keeps a chain tight that no derailleur keeps: slots the axle moves in, an eccentric bottom
//! bracket, or a sprung tensioner on the slack run.
//!
//! A tensioner works only while the slack run stays slack: with a hub that brakes by back-pedalling,
//! or a fixed one, that run pulls, and the brake is gone.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        frame { dropout: Name, eccentric: Name }
        hub { drive: Name }
        sprocket { teeth: Count }
        tensioner (optional) { kind: Name }
    }
    names {
        forward = "dropout.forward",
        rearward = "dropout.rearward",
        sliding = "dropout.sliding",
        eccentric = "eccentric.yes",
        freewheels = "hub_drive.freewheels",
    }
    codes {
        BACKWARD = "pulls-backward",
        MOVES = "axle-moves",
        TURNS = "bracket-turns",
        TENSIONED = "tensioner",
        NO_TENSIONER = "no-tensioner",
        NO_WAY = "no-way",
    }
}

/// A tensioner first, for what it must not be used with; then what else there is.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { frame, hub, tensioner, .. } = ends;
    let over = [
        frame.dropout.field,
        frame.eccentric.field,
        hub.drive.field,
    ];
    if tensioner.present {
        why.named(BACKWARD, hub.drive, &[rule.freewheels]);
        return why.grant(TENSIONED, &[hub.drive.field]);
    }
    let moves = [rule.forward, rule.rearward, rule.sliding];
    let slots = frame.dropout.label().map(|name| moves.contains(&Some(name)));
    match (slots, frame.eccentric.is(rule.eccentric)) {
        (Some(true), _) => why.grant(MOVES, &over),
        (_, Some(true)) => why.grant(TURNS, &over),
        (Some(false), Some(false)) if hub.drive.is(rule.freewheels) == Some(true) => why.mend(NO_TENSIONER, &over),
        _ => why.ask(NO_WAY, &over),
    }
}
