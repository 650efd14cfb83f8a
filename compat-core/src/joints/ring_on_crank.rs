//! Chainrings on a crank: the kind of mount, and for evenly spaced bolts their number and circle; the
//! same once more for an innermost ring on a circle of its own.
//!
//! A circle leaves no room for rings below a size: that is judged by the crank alone, for a ring so
//! small with holes on such a circle is not made.

use super::compare::{Trace, Why};
use super::family::{Dim, family};
use crate::dim::{Count, Length, Name, Quantity};
use crate::formula::bolt_circle::{circle_of, room};

family! {
    ends {
        crank {
            mount: Name, arms: Count, circle: Length, gap: Length,
            inner_mount: Name, inner_arms: Count, inner_circle: Length, inner_gap: Length,
        }
        rings {
            mount: Name, arms: Count, circle: Length, gap: Length, teeth: Count,
            inner_mount: Name, inner_arms: Count, inner_circle: Length, inner_gap: Length,
            innermost: Count,
        }
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
        HOW_MANY = "rings-on-one-circle",
        INNER_MOUNT = "inner-mount",
        INNER_FEWER = "inner-fewer-bolts",
        INNER_MORE = "inner-more-bolts",
        INNER_SMALLER = "inner-circle-too-small",
        INNER_LARGER = "inner-circle-too-large",
        INNER_CRANK = "inner-crank-contradicted",
        INNER_RINGS = "inner-ring-contradicted",
        INNER_RING = "inner-ring-too-small",
        INNER_SIZE = "inner-ring-size",
        INNER_ROOM = "room-at-the-inner-bolts",
    }
}

/// The codes for one circle of bolts.
struct Codes {
    mount: u8,
    bolts: (u8, u8),
    circle: (u8, u8),
    contradicted: (u8, u8),
    ring: (u8, u8),
    room: u8,
}

const OUTER: Codes = Codes {
    mount: MOUNT,
    bolts: (FEWER, MORE),
    circle: (SMALLER, LARGER),
    contradicted: (CRANK, RINGS),
    ring: (RING, SIZE),
    room: ROOM,
};

const INNER: Codes = Codes {
    mount: INNER_MOUNT,
    bolts: (INNER_FEWER, INNER_MORE),
    circle: (INNER_SMALLER, INNER_LARGER),
    contradicted: (INNER_CRANK, INNER_RINGS),
    ring: (INNER_RING, INNER_SIZE),
    room: INNER_ROOM,
};

/// What there is of bolts on one circle.
#[derive(Clone, Copy)]
struct Bolts<'a> {
    mount: Dim<'a, Name>,
    arms: Dim<'a, Count>,
    circle: Dim<'a, Length>,
    gap: Dim<'a, Length>,
}

/// Compares the larger circle, and the inner one where a ring hangs on it.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { crank, rings } = ends;
    let of = |mount, arms, circle, gap| Bolts { mount, arms, circle, gap };
    let outer = (
        of(crank.mount, crank.arms, crank.circle, crank.gap),
        of(rings.mount, rings.arms, rings.circle, rings.gap),
    );
    circle(&OUTER, outer, rings.teeth, rule, why);
    let over = [rings.teeth.field, rings.innermost.field];
    match (rings.teeth - rings.innermost).span() {
        Some(step) if step.high <= 0 => why.grant(HOW_MANY, &over),
        Some(step) if step.low > 0 => {
            why.grant(HOW_MANY, &over);
            let inner = (
                of(crank.inner_mount, crank.inner_arms, crank.inner_circle, crank.inner_gap),
                of(rings.inner_mount, rings.inner_arms, rings.inner_circle, rings.inner_gap),
            );
            circle(&INNER, inner, rings.innermost, rule, why);
        }
        _ => why.ask(HOW_MANY, &over),
    }
}

/// Compares the mounts, the bolts, and the smallest ring with what the circle leaves room for.
fn circle<T: Trace>(
    codes: &Codes,
    (crank, rings): (Bolts<'_>, Bolts<'_>),
    teeth: Dim<'_, Count>,
    rule: &Rule<'_>,
    why: &mut Why<T>,
) {
    why.pair(codes.mount, rule.holds, crank.mount, rings.mount);
    let even = [crank.mount.is(rule.even), rings.mount.is(rule.even)];
    if even == [Some(true); 2] {
        why.not_below(codes.bolts.0, &rings.arms.sum(), crank.arms);
        why.not_above(codes.bolts.1, &rings.arms.sum(), crank.arms);
        let off = rings.circle - crank.circle;
        why.at_least(codes.circle.0, &off, rule.smaller);
        why.at_most(codes.circle.1, &off, rule.larger);
        agree(codes.contradicted.0, crank, rule, why);
        agree(codes.contradicted.1, rings, rule, why);
    }
    let bolted = [rule.even, rule.uneven_110, rule.uneven_96, rule.it_110];
    if bolted.iter().any(|bolted| crank.mount.is(*bolted) == Some(true)) {
        why.band(codes.ring, &rule.least_ring, crank.circle, teeth);
        let known = crank.circle.span().zip(teeth.span());
        let left = known.and_then(|(circle, teeth)| room(circle, teeth));
        why.tell(codes.room, &[crank.circle.field, teeth.field], Quantity::Length, left);
    }
}

/// Asks again where the circle and the distance between neighbouring bolts tell different things.
fn agree<T: Trace>(code: u8, bolts: Bolts<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Bolts { arms, circle, gap, .. } = bolts;
    let by_gap = gap.span().zip(arms.span()).and_then(|(gap, arms)| circle_of(gap, arms));
    let known = by_gap.zip(circle.span()).zip(rule.agree.span(why.strict));
    let apart = known.is_some_and(|((by_gap, circle), limit)| {
        by_gap.low.saturating_sub(circle.high) > limit.high
            || circle.low.saturating_sub(by_gap.high) > limit.high
    });
    if apart {
        why.ask(code, &[circle.field, gap.field, arms.field]);
    }
}
