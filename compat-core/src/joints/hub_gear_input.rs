//! How much a hub gear is turned down by ring and sprocket: the larger the sprocket, the harder the
//! chain pulls on its gears. Makers give the least ratio of ring to sprocket; one asks for more of heavy
//! riders, and of small sprockets.

use super::compare::{Trace, Why};
use super::family::{Dim, family};
use crate::dim::{Linear, Quantity, Span};
use crate::formula::input_ratio;
use crate::verdict::Side;

family! {
    ends {
        hub { least: Ratio, least_heavy: Ratio, least_small: Ratio, system: Name, freehub: Name }
        sprocket { teeth: Count }
        rings { smallest_ring: Count }
        rider (optional) { weight: Mass }
    }
    limits { margin: Ratio, light: Mass, small: Count }
    codes { LOW = "geared-too-low", RATIO = "ratio" }
}

/// Works out the ratio and compares it with the hub's least.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { hub, sprocket, rings, rider } = ends;
    let teeth = rings.smallest_ring.span().zip(sprocket.teeth.span());
    let ratio = teeth.and_then(|(ring, sprocket)| input_ratio::of(ring, sprocket));
    let heavy = above(rider.weight, rule.light.span(why.strict));
    let small = above(sprocket.teeth, rule.small.span(why.strict)).map(|large| !large);
    let by_weight = match heavy {
        Some(false) => hub.least.span(),
        Some(true) => hub.least_heavy.span(),
        None => either(hub.least.span(), hub.least_heavy.span()),
    };
    // What small sprockets ask for stands in one of the maker's papers, and not in another.
    let least = match small {
        Some(false) => by_weight,
        _ => either(by_weight, hub.least_small.span()),
    };
    let more = ratio.zip(least).map(|(ratio, least)| ratio.plus(least.negated()));
    let mut over = vec![rings.smallest_ring.field, sprocket.teeth.field, hub.least.field, hub.least_heavy.field];
    if hub.least.span() != hub.least_heavy.span() {
        over.push(rider.weight.field);
    }
    if small != Some(false) {
        over.push(hub.least_small.field);
    }
    why.computed(LOW, &over, more, Side::AtLeast, rule.margin);
    why.tell(RATIO, &[rings.smallest_ring.field, sprocket.teeth.field], Quantity::Ratio, ratio);
}

/// Whether a reading lies above a limit; `None` where that is not known.
fn above<K: Linear>(value: Dim<'_, K>, limit: Option<Span>) -> Option<bool> {
    let (value, limit) = (value.span()?, limit?);
    match () {
        () if value.high <= limit.low => Some(false),
        () if value.low > limit.high => Some(true),
        () => None,
    }
}

/// From the least of both to the most of both.
fn either(one: Option<Span>, other: Option<Span>) -> Option<Span> {
    let (one, other) = (one?, other?);
    Some(Span { low: one.low.min(other.low), high: one.high.max(other.high) })
}
