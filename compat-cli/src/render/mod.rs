//! How answers look. Every text that comes from outside has already been made safe to print.

pub mod audit;
pub mod check;
pub mod identify;
pub mod layout;
pub mod measure;
pub mod plan;
pub mod trouble;

/// An answer as JSON, with a line break at the end.
pub fn json(value: &impl serde::Serialize) -> String {
    // The types that are shown hold texts and whole numbers only, so this cannot fail.
    serde_json::to_string_pretty(value).unwrap_or_default() + "\n"
}
