//! How much a hub gear is turned down by ring and sprocket: the larger the sprocket, the harder the
//! chain pulls on its gears. Makers give the least ratio of ring to sprocket.

use super::compare::{Trace, Why};
use super::family::family;
use crate::dim::Quantity;
use crate::formula::input_ratio;
use crate::verdict::Side;

family! {
    ends {
        hub { least: Ratio, system: Name, freehub: Name }
        sprocket { teeth: Count }
        rings { smallest_ring: Count }
    }
    limits { margin: Ratio }
    codes { LOW = "geared-too-low", RATIO = "ratio" }
}

/// Works out the ratio and compares it with the hub's least.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { hub, sprocket, rings } = ends;
    let teeth = rings.smallest_ring.span().zip(sprocket.teeth.span());
    let ratio = teeth.and_then(|(ring, sprocket)| input_ratio::of(ring, sprocket));
    let more = ratio.zip(hub.least.span()).map(|(ratio, least)| ratio.plus(least.negated()));
    let over = [rings.smallest_ring.field, sprocket.teeth.field, hub.least.field];
    why.computed(LOW, &over, more, Side::AtLeast, rule.margin);
    why.tell(RATIO, &[rings.smallest_ring.field, sprocket.teeth.field], Quantity::Ratio, ratio);
}
