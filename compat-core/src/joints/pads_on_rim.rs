//! The compound of rim brake pads on the track they are pressed against.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        pads { compound: Name }
        rim { track: Name }
    }
    tables { on }
    codes { COMPOUND = "compound" }
}

/// Looks the pair up.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    why.pair(COMPOUND, rule.on, ends.pads.compound, ends.rim.track);
}
