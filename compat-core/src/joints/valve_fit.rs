//! A valve in the rim's hole. A thin valve goes in a wide hole with a grommet; a thick one in a thin
//! hole does not.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        valve { stem: Shaft }
        rim { hole: Bore }
    }
    limits { tightest: Length, loosest: Length }
    codes { TOO_THICK = "valve-too-thick", TOO_THIN = "valve-too-thin" }
}

/// Compares stem and hole.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let gap = ends.rim.hole - ends.valve.stem;
    why.at_least(TOO_THICK, &gap, rule.tightest);
    why.at_most(TOO_THIN, &gap, rule.loosest);
}
