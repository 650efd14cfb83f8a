//! The front derailleur's cable: from which side the derailleur is pulled, and how the frame brings
//! the cable to it.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        derailleur { pull: Name }
        frame { route: Name }
    }
    tables { ways }
    codes { PULL = "pull" }
}

/// Looks the pair up.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    why.pair(PULL, rule.ways, ends.derailleur.pull, ends.frame.route);
}
