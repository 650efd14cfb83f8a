//! The condition of a part of stock, as far as anything is made of it.

use crate::text::{Fault, FaultKind, Place};

/// The conditions that say nothing against a part.
const SOUND: [&str; 9] = [
    "new",
    "unused",
    "as new",
    "good",
    "used",
    "second-hand",
    "worn",
    "old",
    "?",
];

/// What is said where a condition is none of those that are known: no rule reads it.
pub(super) fn odd_condition(written: &str, place: Place) -> Option<Fault> {
    let wanted = written.trim().to_lowercase();
    if wanted.is_empty() || SOUND.contains(&wanted.as_str()) {
        return None;
    }
    let message = format!(
        "nothing is made of the condition `{}`; what is wrong with a part is said as `complaint`, so that it counts",
        written.trim()
    );
    Some(Fault::new(place, FaultKind::Unused, written, message))
}
