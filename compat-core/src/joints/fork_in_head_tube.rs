//! A fork's steerer and crown in a frame's head tube: whether there is a headset that joins them.
//!
//! The bores of the head tube say how thick a steerer and a crown race seat go in with a bearing
//! round them. Which cups and races do it is the headset's matter.

use super::band::{BandRow, Bands};
use super::compare::{Trace, Why};
use super::family::family;
use crate::dim::{Bore, Shaft, Span};

family! {
    ends {
        fork { steerer: Shaft, seat: Shaft }
        tube { upper: Name, lower: Name, upper_bore: Bore, lower_bore: Bore }
    }
    bands {
        upper: Bore => Shaft,
        lower: Bore => Shaft,
        upper_plain: Bore => Shaft,
        lower_plain: Bore => Shaft,
    }
    codes {
        STEERER_THIN = "steerer-thin-for-bore",
        STEERER_THICK = "steerer-thick-for-bore",
        SEAT_THIN = "crown-thin-for-bore",
        SEAT_THICK = "crown-thick-for-bore",
        REDUCED_ABOVE = "reduced-above",
        REDUCED_BELOW = "reduced-below",
        EXTERNAL_BELOW = "external-below",
    }
}

/// Compares both ends of the steerer with both ends of the head tube.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { fork, tube } = ends;
    why.band((STEERER_THIN, STEERER_THICK), &rule.upper, tube.upper_bore, fork.steerer);
    why.band((SEAT_THIN, SEAT_THICK), &rule.lower, tube.lower_bore, fork.seat);
    let above = (tube.upper_bore.span(), fork.steerer.span());
    if let Some((wide, plain, steerer)) = sizes(&rule.upper, &rule.upper_plain, above, why.strict)
        && (wide.least.low..plain.least.low).contains(&steerer.low)
    {
        why.mend(REDUCED_ABOVE, &[tube.upper_bore.field, fork.steerer.field]);
    }
    let over = [tube.lower_bore.field, fork.seat.field];
    let below = (tube.lower_bore.span(), fork.seat.span());
    if let Some((wide, plain, seat)) = sizes(&rule.lower, &rule.lower_plain, below, why.strict) {
        if (wide.least.low..plain.least.low).contains(&seat.low) {
            why.mend(REDUCED_BELOW, &over);
        }
        if seat.high > plain.most.high && seat.low <= wide.most.high {
            why.mend(EXTERNAL_BELOW, &over);
        }
    }
}

/// What goes into a bore at all, what goes in plainly, and what is to go in.
fn sizes(
    wide: &Bands<'_, Bore, Shaft>,
    plain: &Bands<'_, Bore, Shaft>,
    (bore, shaft): (Option<Span>, Option<Span>),
    strict: bool,
) -> Option<(BandRow, BandRow, Span)> {
    Some((wide.row(bore, strict)?, plain.row(bore, strict)?, shaft?))
}
