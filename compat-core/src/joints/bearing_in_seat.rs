//! A cartridge bearing in its seat, in a pivot of the frame or in a hub: outer ring, axle, and the
//! widths of both rings. What the number on it says of its size stands on the page.

use super::compare::{Sum, Trace, Why};
use super::family::{Limit, family};
use crate::dim::Length;

family! {
    ends {
        bearing {
            designation: Name,
            bore: Bore,
            outside: Shaft,
            width: Length,
            inner_width: Length,
            seal: Name,
        }
        seat {
            designation: Name,
            bore: Bore,
            axle: Shaft,
            width: Length,
            inner_width: Length,
            seal: Name,
        }
    }
    limits {
        tightest: Length,
        loosest: Length,
        axle_tightest: Length,
        axle_loosest: Length,
        wider: Length,
        narrower: Length,
    }
    codes {
        TOO_LARGE = "outside-too-large",
        TOO_SMALL = "outside-too-small",
        BORE_SMALL = "bore-too-small",
        BORE_LARGE = "bore-too-large",
        TOO_WIDE = "too-wide",
        TOO_NARROW = "too-narrow",
        INNER_WIDE = "inner-too-wide",
        INNER_NARROW = "inner-too-narrow",
    }
}

/// Compares the outer ring with the seat, the bore with the axle, and the two widths.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { bearing, seat } = ends;
    let mut between = |value: Sum<Length>, low: (u8, Limit<Length>), high: (u8, Limit<Length>)| {
        why.at_least(low.0, &value, low.1);
        why.at_most(high.0, &value, high.1);
    };
    between(
        seat.bore - bearing.outside,
        (TOO_LARGE, rule.tightest),
        (TOO_SMALL, rule.loosest),
    );
    between(
        bearing.bore - seat.axle,
        (BORE_SMALL, rule.axle_tightest),
        (BORE_LARGE, rule.axle_loosest),
    );
    between(
        bearing.width - seat.width,
        (TOO_NARROW, rule.narrower),
        (TOO_WIDE, rule.wider),
    );
    between(
        bearing.inner_width - seat.inner_width,
        (INNER_NARROW, rule.narrower),
        (INNER_WIDE, rule.wider),
    );
}
