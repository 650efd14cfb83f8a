//! A seatpost in its seat tube: a round shaft in a round bore, clamped.
//!
//! A post thicker than the bore jams; one thinner than the clamp can close on slips, and works the
//! tube until it cracks. Sleeves bridge the larger steps, one at a time; one that is in the frame
//! already plays the tube for the post, and the post for the tube.

use super::compare::{Trace, Why};
use super::family::family;
use super::plain::wall;
use crate::dim::Quantity;

family! {
    ends {
        post { diameter: Shaft }
        tube { bore: Bore, out_of_round: Length }
    }
    limits { tightest: Length, loosest: Length, round: Length }
    codes {
        TOO_THICK = "too-thick",
        TOO_THIN = "too-thin",
        OVAL = "out-of-round",
        WALL = "wall",
    }
}

/// Compares the gap between post and tube with the tightest and the loosest that is clamped, and
/// asks that the tube is round.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { post, tube } = ends;
    let gap = tube.bore - post.diameter;
    why.at_least(TOO_THICK, &gap, rule.tightest);
    why.at_most(TOO_THIN, &gap, rule.loosest);
    why.at_most(OVAL, &tube.out_of_round.sum(), rule.round);
    let over = [tube.bore.field, post.diameter.field];
    why.tell(WALL, &over, Quantity::Length, wall(gap.span(), rule.loosest.span(why.strict)));
}
