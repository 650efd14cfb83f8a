//! Rim tape against the rim's inner width.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        tape { width: Length }
        rim { inner_width: Length }
    }
    limits { narrower: Length, wider: Length }
    codes { NARROW = "tape-narrow", WIDE = "tape-wide" }
}

/// Compares the widths.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let more = ends.tape.width - ends.rim.inner_width;
    why.at_least(NARROW, &more, rule.narrower);
    why.at_most(WIDE, &more, rule.wider);
}
