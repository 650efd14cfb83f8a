//! A single sprocket on what drives the hub: the lugs or splines of a hub gear, or a thread.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        sprocket { fitting: Name }
        hub { driver: Name, freehub: Name, system: Name }
    }
    tables { on }
    codes { FITTING = "fitting" }
}

/// Looks the pair up.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    why.pair(FITTING, rule.on, ends.sprocket.fitting, ends.hub.driver);
}
