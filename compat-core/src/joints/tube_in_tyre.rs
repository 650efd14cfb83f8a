//! A tube in its tyre: the range of widths and the wheel size printed on its box.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        tube { least_width: Length, most_width: Length, least_seat: Length, most_seat: Length }
        tyre { width: Length, bead_seat: Length }
    }
    limits { stretch: Length, fold: Length, seat_over: Length, seat_under: Length }
    codes {
        TUBE_SMALL = "tube-too-narrow",
        TUBE_LARGE = "tube-too-wide",
        SEAT_SMALL = "tube-for-a-smaller-wheel",
        SEAT_LARGE = "tube-for-a-larger-wheel",
    }
}

/// Compares the tyre with the tube's ranges.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { tube, tyre } = ends;
    why.at_most(TUBE_SMALL, &(tyre.width - tube.most_width), rule.stretch);
    why.at_most(TUBE_LARGE, &(tube.least_width - tyre.width), rule.fold);
    why.at_most(SEAT_SMALL, &(tyre.bead_seat - tube.most_seat), rule.seat_over);
    why.at_most(SEAT_LARGE, &(tube.least_seat - tyre.bead_seat), rule.seat_under);
}
