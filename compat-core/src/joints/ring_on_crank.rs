//! Chainrings on a crank: the kind of mount, and for evenly spaced bolts their number and circle.
//!
//! A circle leaves no room for rings below a size: that is judged by the crank alone, for a ring so
//! small with holes on such a circle is not made.

use super::compare::{Trace, Why};
use super::family::{Dim, Limit, family};
use crate::dim::{Count, Length, Quantity};
use crate::formula::bolt_circle::{circle_of, room};

family! {
    ends {
        crank { mount: Name, arms: Count, circle: Length, gap: Length }
        rings { mount: Name, arms: Count, circle: Length, gap: Length, teeth: Count }
    }
    limits { smaller: Length, larger: Length, agree: Length }
    tables { holds }
    bands { least_ring: Length => Count }
    names {
        even = "ring_mount.even",
        uneven_110 = "ring_mount.uneven_110",
        uneven_96 = "ring_mount.uneven_96",
        it_110 = "ring_mount.it_110",
    }
    codes {
        MOUNT = "mount",
        FEWER = "fewer-bolts",
        MORE = "more-bolts",
        SMALLER = "circle-too-small",
        LARGER = "circle-too-large",
        CRANK = "crank-contradicted",
        RINGS = "rings-contradicted",
        RING = "ring-too-small",
        SIZE = "ring-size",
        ROOM = "room-at-the-bolts",
    }
}

/// Compares the mounts, the bolts, and the smallest ring with what the circle leaves room for.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { crank, rings } = ends;
    why.pair(MOUNT, rule.holds, crank.mount, rings.mount);
    let even = [crank.mount.is(rule.even), rings.mount.is(rule.even)];
    if even == [Some(true); 2] {
        why.not_below(FEWER, &rings.arms.sum(), crank.arms);
        why.not_above(MORE, &rings.arms.sum(), crank.arms);
        let off = rings.circle - crank.circle;
        why.at_least(SMALLER, &off, rule.smaller);
        why.at_most(LARGER, &off, rule.larger);
        agree(CRANK, (crank.circle, crank.gap, crank.arms), rule.agree, why);
        agree(RINGS, (rings.circle, rings.gap, rings.arms), rule.agree, why);
    }
    let bolted = [rule.even, rule.uneven_110, rule.uneven_96, rule.it_110];
    if bolted.iter().any(|bolted| crank.mount.is(*bolted) == Some(true)) {
        why.band((RING, SIZE), &rule.least_ring, crank.circle, rings.teeth);
        let known = crank.circle.span().zip(rings.teeth.span());
        let left = known.and_then(|(circle, teeth)| room(circle, teeth));
        why.tell(ROOM, &[crank.circle.field, rings.teeth.field], Quantity::Length, left);
    }
}

/// Asks again where the circle and the distance between neighbouring bolts tell different things.
fn agree<T: Trace>(
    code: u8,
    (circle, gap, arms): (Dim<'_, Length>, Dim<'_, Length>, Dim<'_, Count>),
    limit: Limit<Length>,
    why: &mut Why<T>,
) {
    let by_gap = gap.span().zip(arms.span()).and_then(|(gap, arms)| circle_of(gap, arms));
    let known = by_gap.zip(circle.span()).zip(limit.span(why.strict));
    let apart = known.is_some_and(|((by_gap, circle), limit)| {
        by_gap.low.saturating_sub(circle.high) > limit.high
            || circle.low.saturating_sub(by_gap.high) > limit.high
    });
    if apart {
        why.ask(code, &[circle.field, gap.field, arms.field]);
    }
}
