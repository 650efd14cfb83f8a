//! Pedals in the cranks: three threads, two of which look alike.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        pedal { thread: Name }
        crank { thread: Name, spindle: Name }
    }
    tables { screws_in }
    codes { THREAD = "thread" }
}

/// Looks the pair up.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    why.pair(THREAD, rule.screws_in, ends.pedal.thread, ends.crank.thread);
}
