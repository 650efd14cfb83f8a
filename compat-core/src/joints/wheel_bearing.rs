//! The kind of bearing in a hub: one of the right size may still be made for a pivot.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        bearing { designation: Name, make: Name, seal: Name }
        seat { designation: Name, make: Name, seal: Name }
    }
    tables { kind, seals }
    codes { KIND = "kind", SEALS = "seals" }
}

/// Looks kind and seals of the bearing up against those the place is made for.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    why.pair(KIND, rule.kind, ends.bearing.make, ends.seat.make);
    why.pair(SEALS, rule.seals, ends.bearing.seal, ends.seat.seal);
}
