//! What keeps a chain tight that no derailleur keeps: slots the axle moves in, an eccentric bottom
//! bracket, or a sprung tensioner on the slack run.
//!
//! A tensioner works only while the slack run stays slack: with a hub that brakes by back-pedalling,
//! or a fixed one, that run pulls, and the brake is gone. A derailleur that stays on is a tensioner.
//! Between two rings there is slack that only a sprung one takes up.

use super::compare::{Trace, Why};
use super::family::family;
use crate::dim::{Quantity, Span};

family! {
    ends {
        frame { dropout: Name, eccentric: Name }
        hub { drive: Name, freehub: Name, behind_derailleur: Name }
        sprocket { cogs: Count }
        tensioner (optional) { kind: Name, capacity: Count }
        derailleur (optional) { system: Name }
        rings (optional) { largest_ring: Count, smallest_ring: Count }
    }
    limits { fewest_of_many: Count }
    names {
        forward = "dropout.forward",
        rearward = "dropout.rearward",
        sliding = "dropout.sliding",
        eccentric = "eccentric.yes",
        freewheels = "hub_drive.freewheels",
        sprung = "tensioner.sprung",
    }
    codes {
        BACKWARD = "pulls-backward",
        MOVES = "axle-moves",
        TURNS = "bracket-turns",
        TENSIONED = "tensioner",
        NO_TENSIONER = "no-tensioner",
        NO_WAY = "no-way",
        STAYS_ON = "derailleur-tensions",
        HOW_MANY = "how-many-cogs",
        SEVERAL = "several-cogs",
        OF_NO_USE = "tensioner-beside-several",
        HOW_MANY_RINGS = "how-many-rings",
        ONE_RING = "one-ring",
        SEVERAL_RINGS = "several-rings",
        LOWER_RUN_PULLS = "several-rings-pull-backward",
        BETWEEN_RINGS = "slack-between-rings",
        UNSPRUNG = "unsprung-tensioner",
        TAKES_UP = "tensioner-takes-up",
    }
}

/// A derailleur or a tensioner first, for what they must not be used with; then what else there is.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { frame, hub, sprocket, tensioner, derailleur, .. } = ends;
    if derailleur.present && !tensioner.present {
        why.named(BACKWARD, hub.behind_derailleur, &[rule.freewheels]);
        return why.grant(STAYS_ON, &[hub.behind_derailleur.field]);
    }
    let several = several(sprocket.cogs.span(), rule.fewest_of_many.span(why.strict));
    let over = [
        frame.dropout.field,
        frame.eccentric.field,
        hub.drive.field,
        sprocket.cogs.field,
    ];
    match several {
        None => return why.ask(HOW_MANY, &[sprocket.cogs.field]),
        // It takes a derailleur, and others judge that.
        Some(true) if tensioner.present => return why.ask(OF_NO_USE, &[sprocket.cogs.field]),
        Some(true) => return why.grant(SEVERAL, &[sprocket.cogs.field]),
        Some(false) => {}
    }
    let of_rings = [ends.rings.largest_ring.field, ends.rings.smallest_ring.field];
    match more_rings(ends) {
        None => why.ask(HOW_MANY_RINGS, &of_rings),
        Some(true) => return between_rings(ends, rule, why),
        Some(false) if ends.rings.present => why.grant(ONE_RING, &of_rings),
        Some(false) => {}
    }
    if tensioner.present {
        why.named(BACKWARD, hub.drive, &[rule.freewheels]);
        return why.grant(TENSIONED, &[hub.drive.field, sprocket.cogs.field]);
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

/// Whether there is more than one ring; `None` where it is not known. Where nobody wrote down any rings
/// nothing is said of them.
fn more_rings(ends: &Ends<'_>) -> Option<bool> {
    if !ends.rings.present {
        return Some(false);
    }
    let apart = (ends.rings.largest_ring - ends.rings.smallest_ring).span()?;
    let sure = apart.low > 0;
    (sure || apart.high <= 0).then_some(sure)
}

/// Several rings before one cog: the chain that reaches round the largest hangs on the smallest, and
/// what takes that up must be sprung, on a run that stays slack.
fn between_rings<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { hub, sprocket, tensioner, rings, .. } = ends;
    let over = [rings.largest_ring.field, rings.smallest_ring.field, sprocket.cogs.field];
    why.grant(SEVERAL_RINGS, &over);
    why.named(LOWER_RUN_PULLS, hub.drive, &[rule.freewheels]);
    let apart = rings.largest_ring - rings.smallest_ring;
    if tensioner.present {
        why.named(UNSPRUNG, tensioner.kind, &[rule.sprung]);
        return why.not_above(TAKES_UP, &apart, tensioner.capacity);
    }
    if hub.drive.is(rule.freewheels) == Some(true) {
        let over = [rings.largest_ring.field, rings.smallest_ring.field, hub.drive.field];
        why.mend_with(BETWEEN_RINGS, &over, Quantity::Count, apart.span());
    }
}

/// Whether there are several cogs, where their number is known.
fn several(cogs: Option<Span>, least: Option<Span>) -> Option<bool> {
    let (cogs, least) = (cogs?, least?);
    let sure = cogs.low >= least.high;
    (sure || cogs.high < least.low).then_some(sure)
}
