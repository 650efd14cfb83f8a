//! Front and rear derailleur of one bike, where both are electronic: a closed group.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        front { system: Name, group: Name }
        rear { system: Name, group: Name }
    }
    tables { together }
    names { cable = "electronics.cable" }
    codes { TOGETHER = "together", APART = "apart" }
}

/// Looks the two up, unless one of them takes a cable.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let (front, rear) = (ends.front.group, ends.rear.group);
    let cabled = [front, rear]
        .into_iter()
        .find(|group| group.label().is_some() && group.label() == rule.cable);
    match cabled {
        Some(group) => why.grant(APART, &[group.field]),
        None => why.pair(TOGETHER, rule.together, front, rear),
    }
}
