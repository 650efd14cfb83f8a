//! The spoke holes of hub and rim, whether or not the spokes are written down.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        hub { holes: Count }
        rim { holes: Count }
    }
    codes { FEWER = "rim-has-fewer-holes", MORE = "rim-has-more-holes" }
}

/// As many in the one as in the other.
pub fn check<T: Trace>(ends: &Ends<'_>, _: &Rule<'_>, why: &mut Why<T>) {
    why.not_below(FEWER, &ends.rim.holes.sum(), ends.hub.holes);
    why.not_above(MORE, &ends.rim.holes.sum(), ends.hub.holes);
}
