//! A mudguard over its tyre, between stays or fork legs.
//!
//! Its maker's largest tyre decides; without one, how much wider the guard is than the tyre.

use super::compare::{Trace, Why};
use super::family::family;
use crate::dim::Span;
use crate::formula::tyre_section::{above, outside};
use crate::verdict::Side;

family! {
    ends {
        tyre { width: Length, bead_seat: Length }
        guard { width: Length, rated: Length, wheel: Length }
        place { guard_room: Length, reach: Length }
    }
    limits { wider: Length, over_tyre: Length, wheel_smaller: Length, wheel_larger: Length }
    bands { taller: Length => Length }
    codes {
        RATED = "tyre-larger-than-rated",
        CONTRADICTED = "guard-rating-contradicted",
        NARROW = "guard-narrow",
        NARROWER = "guard-narrower-than-tyre",
        NARROWER_CONTRADICTED = "guard-width-contradicted",
        SMALLER_WHEEL = "guard-for-a-larger-wheel",
        LARGER_WHEEL = "guard-for-a-smaller-wheel",
        BETWEEN = "guard-too-wide",
        OVER = "guard-over-tyre",
        OVER_UNKNOWN = "room-for-the-guard",
    }
}

/// Compares the guard with the tyre, and both with the room.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { tyre, guard, place } = ends;
    let wider = guard.width - tyre.width;
    let least = rule.wider.span(why.strict);
    let surely = wider.span().zip(least).is_some_and(|(wider, least)| wider.low >= least.high);
    let inside = tyre.width.span().zip(guard.rated.span());
    let vouched = inside.is_some_and(|(width, rated)| width.high <= rated.low);
    if guard.rated.span().is_some() {
        let code = if surely { CONTRADICTED } else { RATED };
        why.not_above(code, &tyre.width.sum(), guard.rated);
    } else {
        why.at_least(NARROW, &wider, rule.wider);
    }
    if !vouched || guard.width.span().is_some() {
        let code = if vouched { NARROWER_CONTRADICTED } else { NARROWER };
        why.not_below(code, &guard.width.sum(), tyre.width);
    }
    let other = tyre.bead_seat - guard.wheel;
    why.at_least(SMALLER_WHEEL, &other, rule.wheel_smaller);
    why.at_most(LARGER_WHEEL, &other, rule.wheel_larger);
    why.not_above(BETWEEN, &guard.width.sum(), place.guard_room);
    let taller = rule.taller.row(tyre.width.span(), why.strict);
    let out = tyre.bead_seat.span().zip(tyre.width.span()).zip(taller);
    let out = out.and_then(|((seat, width), row)| {
        let taller = Span { low: row.least.low.min(row.most.low), high: row.least.high.max(row.most.high) };
        outside(seat, width, taller)
    });
    let left = place.reach.span().zip(out).and_then(|(reach, out)| above(reach, out));
    let over = [place.reach.field, tyre.width.field, tyre.bead_seat.field];
    if left.is_none() {
        return why.ask(OVER_UNKNOWN, &over);
    }
    why.computed(OVER, &over, left, Side::AtLeast, rule.over_tyre);
}
