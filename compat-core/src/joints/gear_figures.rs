//! What the rings and cogs make of a turn of the crank. These figures decide nothing: they are told,
//! and compared with what they were.

use super::compare::{Trace, Why};
use super::family::{Dim, family};
use crate::dim::{Count, Linear, Quantity, Span};
use crate::formula::gears::{
    as_inches, as_length, as_percent, as_ratio, development, diameter, gain, inches, least_overlap,
    mean_step, overlaps, ratio,
};
use crate::verdict::Field;

family! {
    ends {
        rings { largest_ring: Count, middle_ring: Count, smallest_ring: Count }
        crank (optional) { length: Length }
        cogs { largest_cog: Count, smallest_cog: Count, speeds: Count }
        tyre (optional) { width: Length, bead_seat: Length }
        hub (optional) { gears: Count, system: Name }
    }
    limits { fewest_in_hub: Count }
    codes {
        RATIO = "ratio",
        RANGE = "range",
        STEP = "mean-step",
        OVERLAP = "overlap",
        GAP = "gap",
        DEVELOPMENT = "development",
        INCHES = "gear-inches",
        GAIN = "gain",
    }
}

/// One number, where it is one.
fn one<K: Linear>(dim: Dim<'_, K>) -> Option<i64> {
    dim.span().filter(|span| span.is_exact()).map(|span| span.low)
}

/// From the lowest gear to the highest, in the way a figure is rounded.
fn spread(low: Option<f64>, high: Option<f64>, shown: fn(f64) -> Option<i64>) -> Option<Span> {
    Some(Span::between(shown(low?)?, shown(high?)?))
}

/// Tells the figures for which enough is known.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { rings, crank, cogs, tyre, hub } = ends;
    let geared = hub.gears.span().zip(rule.fewest_in_hub.span(why.strict));
    if hub.system.label().is_some() || geared.is_some_and(|(has, least)| has.high >= least.low) {
        // The hub has gears of its own, and the wheel turns otherwise than its sprocket.
        return;
    }
    let gear = |ring: Dim<'_, Count>, cog: Dim<'_, Count>| ratio(one(ring)?, one(cog)?);
    let lowest = gear(rings.smallest_ring, cogs.largest_cog);
    let highest = gear(rings.largest_ring, cogs.smallest_cog);
    let over = [
        rings.largest_ring.field,
        rings.smallest_ring.field,
        cogs.largest_cog.field,
        cogs.smallest_cog.field,
    ];
    why.tell(RATIO, &over, Quantity::Ratio, spread(lowest, highest, as_ratio));
    let spread_out = lowest.zip(highest).filter(|(low, high)| low < high);
    let range = spread_out.and_then(|(low, high)| as_percent(high / low));
    why.tell(RANGE, &over, Quantity::Percent, range.map(Span::exactly));
    let cassette = [cogs.largest_cog.field, cogs.smallest_cog.field, cogs.speeds.field];
    let step = one(cogs.largest_cog)
        .zip(one(cogs.smallest_cog).zip(one(cogs.speeds)))
        .and_then(|(large, (small, cogs))| mean_step(large, small, cogs))
        .and_then(as_percent);
    why.tell(STEP, &cassette, Quantity::Percent, step.map(Span::exactly));
    overlap(ends, &over, why);
    let wheel = one(tyre.bead_seat).zip(one(tyre.width)).and_then(|(seat, width)| diameter(seat, width));
    let with_wheel = [over.as_slice(), &[tyre.width.field, tyre.bead_seat.field]].concat();
    let on = |gear: Option<f64>, make: fn(f64, f64) -> f64| Some(make(gear?, wheel?));
    let way = spread(on(lowest, development), on(highest, development), as_length);
    why.tell(DEVELOPMENT, &with_wheel, Quantity::Length, way);
    let in_inches = spread(on(lowest, inches), on(highest, inches), as_inches);
    why.tell(INCHES, &with_wheel, Quantity::Ratio, in_inches);
    let gained = |gear: Option<f64>| gain(gear?, wheel?, one(crank.length)?);
    let with_crank = [with_wheel.as_slice(), &[crank.length.field]].concat();
    why.tell(GAIN, &with_crank, Quantity::Ratio, spread(gained(lowest), gained(highest), as_ratio));
}

/// How far the highest gear of a ring lies above the lowest of the next larger one, where that is
/// least; or how far below it.
fn overlap<T: Trace>(ends: &Ends<'_>, over: &[Field], why: &mut Why<T>) {
    let Ends { rings, cogs, .. } = ends;
    let sizes = [rings.smallest_ring, rings.middle_ring, rings.largest_ring].map(one);
    let (Some(small), Some(large)) = (one(cogs.smallest_cog), one(cogs.largest_cog)) else {
        return;
    };
    let [Some(_), _, Some(_)] = sizes else {
        return;
    };
    let known: Vec<i64> = sizes.into_iter().flatten().collect();
    let Some(share) = least_overlap(&known, small, large) else {
        return;
    };
    let figure = as_percent(share).map(Span::exactly);
    let code = if overlaps(share) { OVERLAP } else { GAP };
    why.tell(code, over, Quantity::Percent, figure);
}
