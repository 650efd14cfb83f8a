//! The kind of bearing in a pivot of the frame: caged, full of balls, or angular contact.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        bearing { designation: Name, make: Name }
        seat { designation: Name, make: Name }
    }
    tables { kind }
    codes { KIND = "kind" }
}

/// Looks the kind of bearing up against the kind the place is made for.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    why.pair(KIND, rule.kind, ends.bearing.make, ends.seat.make);
}
