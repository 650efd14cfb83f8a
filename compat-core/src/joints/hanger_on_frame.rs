//! A derailleur hanger on its frame, and the axle that may screw into it.
//!
//! There are hundreds of shapes, and most frames take only their own: two hangers of that kind are
//! the same part or they are not, and no dimension tells. The universal hanger and the claw are the
//! ones that go by name.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        hanger { pattern: Name, axle_thread: Name }
        frame { pattern: Name, axle_thread: Name, hanger: Name }
    }
    tables { seats, threads }
    codes {
        SEAT = "seat",
        AXLE_THREAD = "axle-thread",
    }
}

/// Looks the place up, then the axle's thread.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { hanger, frame } = ends;
    why.pair(SEAT, rule.seats, hanger.pattern, frame.pattern);
    why.pair(AXLE_THREAD, rule.threads, hanger.axle_thread, frame.axle_thread);
}
