//! The trade's formulas, one file each, with where it comes from and how its result is rounded.

pub mod bolt_circle;
pub mod chain_line;
pub mod indexing;
pub mod leverage;
pub mod tyre_section;
pub mod wheel_size;
