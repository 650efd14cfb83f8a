//! A hub between its dropouts: the spacing, and the kind of axle that holds it.
//!
//! The same spacing with another axle does not fit, and the same axle with another spacing does
//! not either. Where rotor, cassette and rim then stand is not judged here.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        hub { spacing: Length, axle: Name }
        dropouts { spacing: Length, axle: Name }
    }
    limits { tightest: Length, loosest: Length }
    tables { axles }
    codes { TOO_WIDE = "too-wide", TOO_NARROW = "too-narrow", AXLE = "axle" }
}

/// Compares the spacing and looks the axle up.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { hub, dropouts } = ends;
    why.pair(AXLE, rule.axles, hub.axle, dropouts.axle);
    let gap = dropouts.spacing - hub.spacing;
    why.at_least(TOO_WIDE, &gap, rule.tightest);
    why.at_most(TOO_NARROW, &gap, rule.loosest);
}
