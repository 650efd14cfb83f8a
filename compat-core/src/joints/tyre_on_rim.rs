//! A tyre on its rim: the bead seat to the millimetre, the width within the published table.
//!
//! Sizes are compared by their ISO numbers. Names in inches stand for several bead seats and are
//! never compared.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        tyre { width: Length, bead_seat: Length, seal: Name }
        rim { inner_width: Length, bead_seat: Length, flange: Name }
    }
    tables { held }
    bands { widths: Length => Length }
    codes {
        BEAD_SMALLER = "bead-smaller",
        BEAD_LARGER = "bead-larger",
        TOO_NARROW = "too-narrow",
        TOO_WIDE = "too-wide",
        HELD = "held",
    }
}

/// Compares bead seats, then the tyre's width with what the rim's width allows.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { tyre, rim } = ends;
    why.not_below(BEAD_SMALLER, &tyre.bead_seat.sum(), rim.bead_seat);
    why.not_above(BEAD_LARGER, &tyre.bead_seat.sum(), rim.bead_seat);
    why.band((TOO_NARROW, TOO_WIDE), &rule.widths, rim.inner_width, tyre.width);
    why.pair(HELD, rule.held, tyre.seal, rim.flange);
}
