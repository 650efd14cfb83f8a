//! The room a shock takes beside its length: reservoir, coil, valve and lever. No number tells it; it
//! is looked at through the whole travel.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        shock { shape: Name }
        place { shape: Name }
    }
    tables { clears }
    codes { SHAPE = "shape" }
}

/// Looks up whether a shock of this shape is known to clear the frame.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    why.pair(SHAPE, rule.clears, ends.shock.shape, ends.place.shape);
}
