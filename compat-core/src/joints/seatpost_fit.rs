//! A seatpost in its seat tube: a round shaft in a round bore, clamped.
//!
//! A post thicker than the bore jams; one thinner than the clamp can close on slips, and works the
//! tube until it cracks. Sleeves bridge the larger steps.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        post { diameter: Shaft }
        tube { bore: Bore }
    }
    limits { tightest: Length, loosest: Length }
    codes { TOO_THICK = "too-thick", TOO_THIN = "too-thin" }
}

/// Compares the gap between post and tube with the tightest and the loosest that is clamped.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let gap = ends.tube.bore - ends.post.diameter;
    why.at_least(TOO_THICK, &gap, rule.tightest);
    why.at_most(TOO_THIN, &gap, rule.loosest);
}
