//! A fork's steerer and crown in a frame's head tube: whether there is a headset that joins them.
//!
//! The bores of the head tube say how thick a steerer and a crown race seat go in with a bearing
//! round them. Which cups and races do it is the headset's matter.

use super::compare::{Trace, Why};
use super::family::family;

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
    let plain = rule.upper_plain.row(tube.upper_bore.span(), why.strict);
    let above = [tube.upper_bore.field, fork.steerer.field];
    if plain.zip(fork.steerer.span()).is_some_and(|(plain, steerer)| steerer.low < plain.least.low) {
        why.mend(REDUCED_ABOVE, &above);
    }
    let plain = rule.lower_plain.row(tube.lower_bore.span(), why.strict);
    let Some((plain, seat)) = plain.zip(fork.seat.span()) else {
        return;
    };
    let below = [tube.lower_bore.field, fork.seat.field];
    if seat.low < plain.least.low {
        why.mend(REDUCED_BELOW, &below);
    }
    if seat.high > plain.most.high {
        why.mend(EXTERNAL_BELOW, &below);
    }
}
