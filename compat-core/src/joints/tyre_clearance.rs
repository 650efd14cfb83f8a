//! A tyre between stays or fork legs and under bridge or crown.
//!
//! What counts is how wide and how tall the tyre stands on this rim, not the number on it. Measured
//! on the rim it is taken as measured; else it is worked out, as widely as the tables differ. A maker's
//! largest tyre vouches for a tyre where nobody measured the room.

use std::marker::PhantomData;

use super::compare::{Trace, Why};
use super::family::{Limit, LimitRow, family};
use crate::dim::{Length, Quantity, Span};
use crate::formula::tyre_section::{OnRim, above, beside, on_wider_rim, outside, widest};
use crate::verdict::{Field, Side};

family! {
    ends {
        tyre { width: Length, bead_seat: Length, mounted: Length }
        rim(optional) { inner_width: Length, flange: Name }
        place { room: Length, gap: Length, gap_tyre: Length, reach: Length, rated: Length, wheel: Length, class: Name, mount: Name }
        brake (optional) { mount: Name }
    }
    limits {
        touches: Length,
        racing: Length,
        other: Length,
        any_class: Length,
        wheel_smaller: Length,
        wheel_larger: Length,
        widens: Ratio,
        grows: Length,
        any_calliper: Length,
    }
    bands {
        measured_on: Length => Length,
        once_share: Length => Ratio,
        off: Length => Length,
        taller: Length => Length,
    }
    names {
        racing_bike = "bike_class.racing",
        tubular = "rim_flange.tubular",
        centre_bolt = "brake_mount.centre_bolt",
        direct_bosses = "brake_mount.direct_bosses",
    }
    codes {
        RATED = "larger-than-rated",
        RATED_RIM = "wider-rim-than-rated",
        SMALLER_WHEEL = "a-smaller-wheel",
        LARGER_WHEEL = "a-larger-wheel",
        SIDE_UNKNOWN = "room-beside",
        TOP_UNKNOWN = "room-above",
        SIDE_RUBS = "rubs-at-the-side",
        SIDE = "close-at-the-side",
        SIDE_CONTRADICTED = "side-rating-contradicted",
        TOP_RUBS = "rubs-above",
        TOP = "close-above",
        TOP_CONTRADICTED = "top-rating-contradicted",
        GAPS = "room-contradicted",
        NARROW = "mounted-narrow-contradicted",
        WIDE = "mounted-wide-contradicted",
        MOUNTED = "mounted-width",
        OWN = "width-of-a-tubular",
        OUTSIDE = "outside-diameter",
        WIDEST = "widest-tyre",
        CALLIPER = "under-a-calliper-not-listed",
    }
}

/// Compares the tyre on its rim with the room beside and above it, and its number with the maker's.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { tyre, place, .. } = ends;
    under_calliper(ends, rule, why);
    // A rating that ends nowhere is none: the page gives it where nobody stated another.
    let rated = place.rated.span().filter(|rated| rated.high != Span::MOST);
    let reckoned = reckon(ends, rule, why);
    let seats = tyre.bead_seat.span().zip(place.wheel.span());
    let same = seats.is_some_and(|(seat, wheel)| seat == wheel && seat.is_exact());
    // Room beside a tyre and a rating are those of one wheel size, and say nothing of another.
    if rated.is_some() || room(ends).is_some() {
        let other = tyre.bead_seat - place.wheel;
        why.at_least(SMALLER_WHEEL, &other, rule.wheel_smaller);
        why.at_most(LARGER_WHEEL, &other, rule.wheel_larger);
    }
    let vouched = same && rated.is_some_and(|rated| vouches(ends, rule, why, rated));
    // With another wheel the width says nothing yet; the tyre and the rim are part of what is open.
    at_the_sides(ends, rule, why, reckoned.filter(|_| same), vouched);
    above_it(ends, rule, why, vouched);
}

/// A frame or fork made for a calliper has one, written down or not, and it closes over the tyre.
fn under_calliper<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { tyre, place, brake, .. } = ends;
    let callipers = [rule.centre_bolt, rule.direct_bosses];
    let mount = place.mount.label();
    if brake.present || mount.is_some() && !callipers.contains(&mount) {
        return;
    }
    let any = tyre.width.span().zip(rule.any_calliper.span(why.strict));
    if any.is_none_or(|(width, any)| width.high > any.low) {
        why.ask(CALLIPER, &[tyre.width.field, place.mount.field]);
    }
}

/// Compares the tyre's number with the rating; true where the rating surely allows the tyre on this
/// rim. On a rim wider than the tyre is measured on, a rating of its number may be too little.
fn vouches<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>, rated: Span) -> bool {
    let Ends { tyre, rim, place, .. } = ends;
    let number = tyre.width.sum().resting_on(tyre.bead_seat).resting_on(place.wheel);
    why.not_above(RATED, &number, place.rated);
    let on = tyre.width.span().and_then(|width| {
        // A tubular has its own section, and no flanges spread it.
        if rim.flange.is(rule.tubular) == Some(true) {
            return Some(width);
        }
        let row = rule.measured_on.row(Some(width), why.strict)?;
        let widens = rule.widens.span(why.strict)?;
        on_wider_rim(width, rim.inner_width.span()?, across(row.least, row.most), widens)
    });
    if room(ends).is_none() && on.is_some() {
        let most = Limit::<Length> {
            row: rule.widens.row.map(|row| LimitRow { span: Span::at_least(rated.low), ..row }),
            kind: PhantomData,
        };
        let over = [tyre.width.field, rim.inner_width.field, place.rated.field, place.room.field];
        why.computed(RATED_RIM, &over, on, Side::AtMost, most);
    }
    let number = tyre.width.span().is_some_and(|width| width.high <= rated.low);
    number && on.is_some_and(|on| on.high <= rated.low)
}

/// The width the tyre stands on its rim by the tables; says so, and compares it with what was
/// measured.
fn reckon<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) -> Option<Span> {
    let Ends { tyre, rim, .. } = ends;
    let width = tyre.width.span();
    let tubular = rim.flange.is(rule.tubular) == Some(true);
    let own = [tyre.width.field, rim.flange.field];
    let spread = [tyre.width.field, rim.inner_width.field];
    let over = if tubular { own } else { spread };
    let own = width.filter(|_| tubular).and_then(|width| {
        let off = rule.off.row(Some(width), why.strict)?;
        Some(width.plus(across(off.least, off.most)).plus(rule.grows.span(why.strict)?))
    });
    let spread = width.zip(rim.inner_width.span()).filter(|_| !tubular);
    let spread = spread.and_then(|(width, inner)| {
        let on = rule.measured_on.row(Some(width), why.strict)?;
        let once = rule.once_share.row(Some(width), why.strict)?;
        let off = rule.off.row(Some(width), why.strict)?;
        let known = OnRim {
            width,
            inner,
            measured_on: across(on.least, on.most),
            once_share: across(once.least, once.most),
            widens: rule.widens.span(why.strict)?,
            off: across(off.least, off.most),
            grows: rule.grows.span(why.strict)?,
        };
        known.mounted()
    });
    let found = own.or(spread);
    if tyre.mounted.span().is_none() {
        why.tell(if tubular { OWN } else { MOUNTED }, &over, Quantity::Length, found);
        return found;
    }
    // Measured far from what the tables give, one of the two is another tyre or a slip of the pen.
    if let Some((found, row)) = found.zip(rule.widens.row) {
        let least = LimitRow { span: Span::at_most(found.low), ..row };
        let most = LimitRow { span: Span::at_least(found.high), ..row };
        let limit = |row: LimitRow| Limit { row: Some(row), kind: PhantomData };
        let mounted = tyre.mounted.sum().resting_on(tyre.width).resting_on(rim.inner_width);
        why.at_least(NARROW, &mounted, limit(least));
        why.at_most(WIDE, &mounted, limit(most));
    }
    tyre.mounted.span()
}

/// The width of the room: measured across, or twice the gap and the tyre that was in.
fn room(ends: &Ends<'_>) -> Option<Span> {
    match (ends.place.room.span(), beside_the_last(ends)) {
        (Some(room), Some(last)) => Some(room.meet(last).unwrap_or(room)),
        (room, last) => room.or(last),
    }
}

fn beside_the_last(ends: &Ends<'_>) -> Option<Span> {
    let place = &ends.place;
    (place.gap.sum() + place.gap.sum() + place.gap_tyre.sum()).span()
}

fn at_the_sides<T: Trace>(
    ends: &Ends<'_>,
    rule: &Rule<'_>,
    why: &mut Why<T>,
    mounted: Option<Span>,
    vouched: bool,
) {
    let Ends { tyre, rim, place, .. } = ends;
    let room = room(ends);
    if room.is_none() && vouched {
        return;
    }
    // The tyre and the rim are part of what is open, though the room is asked first: with another
    // tyre the question is another one.
    let mut over = vec![tyre.width.field, rim.inner_width.field, tyre.bead_seat.field];
    if rim.flange.is(rule.tubular) == Some(true) {
        over = vec![tyre.width.field, rim.flange.field, tyre.bead_seat.field];
    }
    if place.room.span().is_some() || room.is_none() {
        over.push(place.room.field);
    }
    if room.is_some() {
        over.push(place.wheel.field);
    }
    if room.is_some() && mounted.is_some() {
        over.extend([tyre.mounted.field, place.class.field]);
    }
    if beside_the_last(ends).is_some() {
        over.extend([place.gap.field, place.gap_tyre.field]);
    }
    let left = room.zip(mounted).and_then(|(room, mounted)| beside(room, mounted));
    let codes = if vouched { (SIDE_CONTRADICTED, SIDE_CONTRADICTED) } else { (SIDE_RUBS, SIDE) };
    if left.is_none() {
        why.ask(SIDE_UNKNOWN, &over);
    } else {
        clears(ends, rule, why, &over, left, codes);
    }
    let both = place.room.span().zip(beside_the_last(ends));
    if both.is_some_and(|(room, last)| room.meet(last).is_none()) {
        why.ask(GAPS, &[place.room.field, place.gap.field, place.gap_tyre.field]);
    }
    let most = mounted.and(room).zip(clear(ends, rule).span(why.strict));
    let most = most.and_then(|(room, clear)| widest(room, Span::exactly(clear.high)));
    why.tell(WIDEST, &over, Quantity::Length, most);
}

fn above_it<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>, vouched: bool) {
    let Ends { tyre, place, .. } = ends;
    let taller = rule.taller.row(tyre.width.span(), why.strict);
    let out = tyre.bead_seat.span().zip(tyre.width.span()).zip(taller);
    let out = out.and_then(|((seat, width), row)| outside(seat, width, across(row.least, row.most)));
    why.tell(OUTSIDE, &[tyre.width.field, tyre.bead_seat.field], Quantity::Length, out);
    if place.reach.span().is_none() && vouched {
        return;
    }
    let mut over = vec![tyre.width.field, tyre.bead_seat.field, place.reach.field];
    if place.reach.span().is_some() {
        over.push(place.class.field);
    }
    let left = place.reach.span().zip(out).and_then(|(reach, out)| above(reach, out));
    let codes = if vouched { (TOP_CONTRADICTED, TOP_CONTRADICTED) } else { (TOP_RUBS, TOP) };
    if left.is_none() {
        why.ask(TOP_UNKNOWN, &over);
    } else {
        clears(ends, rule, why, &over, left, codes);
    }
}

/// A clearance that is less than nothing rubs; any other must keep to what is published.
fn clears<T: Trace>(
    ends: &Ends<'_>,
    rule: &Rule<'_>,
    why: &mut Why<T>,
    over: &[Field],
    left: Option<Span>,
    (rubs, close): (u8, u8),
) {
    if left.is_some_and(|left| left.high < 0) {
        return why.computed(rubs, over, left, Side::AtLeast, rule.touches);
    }
    why.computed(close, over, left, Side::AtLeast, clear(ends, rule));
}

/// The clearance published for the class of bike.
fn clear(ends: &Ends<'_>, rule: &Rule<'_>) -> Limit<Length> {
    match ends.place.class.is(rule.racing_bike) {
        Some(true) => rule.racing,
        Some(false) => rule.other,
        None => rule.any_class,
    }
}

fn across(a: Span, b: Span) -> Span {
    Span {
        low: a.low.min(b.low),
        high: a.high.max(b.high),
    }
}
