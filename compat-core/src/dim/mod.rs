//! Dimensions: exact quantities, readings with tolerance, range, either-or and unknown, and the
//! reading of what a mechanic writes.
//!
//! Every quantity is a whole number of a small unit (a length is whole nanometres), so sums and
//! comparisons are exact: 1/64 inch is 396,875 nm, and 31.6 − 30.9 mm is 0.7 mm.

mod money;
mod parse;
mod quantity;
mod reading;
mod roles;
mod show;
mod span;

pub use money::{read_money, show_money};
pub(crate) use parse::sides;
pub use parse::{Unreadable, read, read_span};
pub use quantity::Quantity;
pub use reading::{Cases, Entry, Label, Origin, Reading};
pub use roles::{
    Angle, Bore, Count, Difference, Force, Kind, Length, Linear, Mass, Name, Percent, Pressure,
    Ratio, Shaft, Stiffness,
};
pub use show::{show_cases, show_span, show_value};
pub use span::Span;
