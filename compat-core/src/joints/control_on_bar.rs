//! A shifter or brake lever clamped on the bar: 22.2 mm on flat bars, 23.8 on drop bars.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        control { clamp: Bore }
        bar { grip_diameter: Shaft }
    }
    limits { tightest: Length, loosest: Length }
    codes { TOO_SMALL = "clamp-too-small", TOO_LARGE = "clamp-too-large" }
}

/// Compares the clamp with the bar.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let gap = ends.control.clamp - ends.bar.grip_diameter;
    why.at_least(TOO_SMALL, &gap, rule.tightest);
    why.at_most(TOO_LARGE, &gap, rule.loosest);
}
