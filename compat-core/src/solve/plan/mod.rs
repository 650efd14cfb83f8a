//! The planner: the cheapest set of parts with which everything fits.

mod adapt;
mod alike;
mod asked;
mod boxes;
mod build;
mod conflict;
mod export;
mod ground;
mod lack;
mod plainly;
mod problem;
mod relax;
mod run;
mod search;
mod shelf;
mod sweep;
mod table;
mod tabled;
mod weigh;
mod weight;

pub use build::{Built, Choice, Demand, Place, Request};
pub use conflict::{Clash, Conflict, clash, conflict};
pub use export::{ChoiceRow, Export, NotExported, PlaceRow, RuleRow, export};
pub use lack::Lack;
pub use problem::{Found, Judge, Limits, MOST_PLACES, MOST_RULES, Problem};
pub use run::{Act, Asked, Bought, Plan, Planned, Relaxed, Step, Why, plan};
pub use search::search;
pub use shelf::{Class, Shelf, Supply, Unit};
pub use table::Table;
pub use tabled::Tabled;
pub use weight::Weight;
