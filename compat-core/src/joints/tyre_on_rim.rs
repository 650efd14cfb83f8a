//! A tyre on its rim: the bead seat to the millimetre, the width within the published table, and what
//! holds and seals it.
//!
//! Sizes are compared by their ISO numbers. A name in inches stands for all the bead seats it is sold
//! for.

use super::compare::{Trace, Why};
use super::family::family;
use crate::dim::{Quantity, Span};

family! {
    ends {
        tyre { width: Length, bead_seat: Length, seal: Name, least_pressure: Pressure, most_pressure: Pressure, hookless: Name }
        rim { inner_width: Length, bead_seat: Length, flange: Name, track: Name, most_pressure: Pressure }
    }
    limits { over_hookless: Length, any_rim: Pressure }
    tables { held }
    bands { widths: Length => Length }
    names { hookless = "rim_flange.hookless", tubular = "tyre_seal.tubular", yes = "allowed.yes" }
    codes {
        BEAD_SMALLER = "bead-smaller",
        BEAD_LARGER = "bead-larger",
        TOO_NARROW = "too-narrow",
        TOO_WIDE = "too-wide",
        GLUED = "glued",
        HELD = "held",
        HOOKLESS_NARROW = "too-narrow-without-hooks",
        NAMED = "named-for-no-hooks",
        PRESSURE = "least-pressure",
        MOST_PRESSURE = "most-pressure",
    }
}

/// Compares bead seats, then the tyre's width with what the rim's width allows, how it is held, and
/// the pressures printed on both.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { tyre, rim } = ends;
    why.not_below(BEAD_SMALLER, &tyre.bead_seat.sum(), rim.bead_seat);
    why.not_above(BEAD_LARGER, &tyre.bead_seat.sum(), rim.bead_seat);
    if tyre.seal.is(rule.tubular) == Some(true) {
        // Nothing of it is between flanges, and the table of widths is one for beads.
        why.grant(GLUED, &[tyre.width.field, tyre.seal.field]);
    } else {
        why.band((TOO_NARROW, TOO_WIDE), &rule.widths, rim.inner_width, tyre.width);
    }
    why.pair(HELD, rule.held, tyre.seal, rim.flange);
    if rim.flange.is(rule.hookless) == Some(true) {
        why.at_least(HOOKLESS_NARROW, &(tyre.width - rim.inner_width), rule.over_hookless);
        // Not every tubeless tyre is made for it, and the sidewall's size does not say which. Whether it is
        // one is asked first.
        if tyre.seal.label().is_some() {
            why.named(NAMED, tyre.hookless, &[rule.yes]);
        }
    }
    let least = tyre.least_pressure.span();
    let any = rule.any_rim.span(why.strict);
    if least.is_some_and(|least| any.is_none_or(|any| least.high > any.low)) {
        why.not_above(PRESSURE, &tyre.least_pressure.sum(), rim.most_pressure);
    }
    // The lower of the two is the most; an open end is no figure.
    let printed = [tyre.most_pressure.span(), rim.most_pressure.span()];
    let most = printed.into_iter().flatten().min_by_key(|span| (span.high, span.low));
    // Of a rim that bears so much at most, that is what is said.
    let most = most.map(|most| match most.low {
        Span::LEAST => Span::exactly(most.high),
        _ => most,
    });
    let over = [tyre.most_pressure.field, rim.most_pressure.field];
    why.tell(MOST_PRESSURE, &over, Quantity::Pressure, most);
}
