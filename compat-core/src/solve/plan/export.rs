//! The problem of a plan as data, so that any other solver can be asked the same.

use serde::{Deserialize, Serialize};

use super::build::{Built, Choice, Demand};
use super::run::{Asked, request};
use super::shelf::{Shelf, Supply};
use crate::catalog::Catalog;
use crate::text::{Faults, clean_line};

/// The most combinations of one rule that are written out.
const MOST_ROWS: usize = 4_000_000;

/// A problem: choose one choice for each place, so that every rule allows what is chosen, no more
/// than the budget is spent, and the sum of all weights is the least, compared from left to right.
#[derive(Clone, Debug, Deserialize, Serialize)]
pub struct Export {
    /// The version of this form.
    pub version: u32,
    /// The most that may be spent, in hundredths.
    pub budget: Option<i64>,
    /// The places.
    pub places: Vec<PlaceRow>,
    /// The rules.
    pub rules: Vec<RuleRow>,
}

/// A place and its choices.
#[derive(Clone, Debug, Deserialize, Serialize)]
pub struct PlaceRow {
    /// The slot.
    pub slot: String,
    /// What can be done, the first being to leave it as it is.
    pub choices: Vec<ChoiceRow>,
}

/// A choice and what it adds.
#[derive(Clone, Debug, Deserialize, Serialize)]
pub struct ChoiceRow {
    /// `stays`, `empty`, or the id of the cheapest line.
    pub what: String,
    /// Things to be measured first, money in hundredths, parts changed, place in the list.
    pub weight: [i64; 4],
}

/// A rule over some places. It tells the choices of a place apart only by their sort.
#[derive(Clone, Debug, Deserialize, Serialize)]
pub struct RuleRow {
    /// What it is.
    pub name: String,
    /// The numbers of its places.
    pub places: Vec<usize>,
    /// For each of its places the sort of each choice.
    pub sorts: Vec<Vec<u32>>,
    /// The sorts allowed together, one for each of its places; whatever is not listed is not.
    pub allowed: Vec<Vec<u32>>,
    /// Where a row adds something: the number of the row, and what it adds.
    pub adds: Vec<(usize, [i64; 4])>,
}

/// Why a problem was not written out.
#[derive(Debug, thiserror::Error)]
pub enum NotExported {
    /// Prices that are none.
    #[error("faults in the prices")]
    Faults(Faults),
    /// A rule with too many combinations.
    #[error("`{0}` has more combinations than can be written out")]
    TooLarge(String),
}

/// Writes out the problem that a plan solves.
///
/// # Errors
///
/// Every price that is none; a rule too large to be written out.
pub fn export<'a>(catalog: &'a Catalog, asked: &Asked<'a>) -> Result<Export, NotExported> {
    let wanted = Built::wanted(catalog, asked.wishes);
    let shelf = Shelf::new(catalog, asked.bin, asked.list, asked.worth, &wanted)
        .map_err(NotExported::Faults)?;
    let mut built = Built::new(catalog, request(asked, asked.unmeasured), &shelf);
    let name = |slot: usize| {
        catalog
            .slots()
            .get(slot)
            .map_or("", |slot| slot.name.as_str())
    };
    let mut export = Export {
        version: 1,
        budget: built.problem.budget,
        places: Vec::new(),
        rules: Vec::new(),
    };
    for (number, place) in built.places.iter().enumerate() {
        let weights = built.problem.places.get(number);
        let choices = place.choices.iter().zip(weights.into_iter().flatten());
        let kind = catalog
            .slots()
            .get(place.slot)
            .map_or(usize::MAX, |slot| slot.kind);
        export.places.push(PlaceRow {
            slot: name(place.slot).to_owned(),
            choices: choices
                .map(|(choice, weight)| ChoiceRow {
                    what: match choice {
                        Choice::AsItIs => "stays".to_owned(),
                        Choice::Empty => "empty".to_owned(),
                        Choice::Take(class) => {
                            let class = shelf.class(kind, *class);
                            let unit = class.and_then(|class| class.units.first());
                            unit.map_or(String::new(), |unit| {
                                let list = match unit.from {
                                    Supply::Bin => "bin",
                                    Supply::List => "list",
                                };
                                format!("{list} {}", clean_line(shelf.id(unit)))
                            })
                        }
                    },
                    weight: weight.row(),
                })
                .collect(),
        });
    }
    for rule in 0..built.count() {
        let Some(demand) = built.demand_at(rule).cloned() else {
            continue;
        };
        let title = match &demand {
            Demand::Joint(at) => {
                let title = built.joint(*at).map_or("", |joint| joint.title.as_str());
                format!("joint: {title}")
            }
            Demand::Ends(slot) => format!("ends: {}", name(*slot)),
            Demand::Wish(wish) => format!("wish: {}", name(wish.slot)),
            Demand::Keep(slot) => format!("keep: {}", name(*slot)),
            Demand::Change(slot) => format!("change: {}", name(*slot)),
            Demand::Remove(slot) => format!("remove: {}", name(*slot)),
            Demand::Carried(slot, carrier) => {
                format!("goes: {} with {}", name(*slot), name(*carrier))
            }
            Demand::Enough(kind) => {
                format!(
                    "enough: {}",
                    catalog.kind(*kind).map_or("", |kind| kind.name.as_str())
                )
            }
            Demand::Shared(family) => {
                let family = crate::joints::FAMILIES.get(*family);
                format!("shared: {}", family.map_or("", |family| family.name))
            }
            Demand::Not(_) => "not".to_owned(),
        };
        let Some(table) = built.table(rule, MOST_ROWS) else {
            return Err(NotExported::TooLarge(title));
        };
        let all: usize = table
            .sorts
            .iter()
            .map(|sorts| sorts.iter().max().map_or(0, |most| *most as usize + 1))
            .product();
        let adds: Vec<(usize, [i64; 4])> = (table.allowed.iter().enumerate())
            .filter(|(_, (_, weight))| *weight != super::Weight::NOTHING)
            .map(|(number, (_, weight))| (number, weight.row()))
            .collect();
        // A rule that allows everything for nothing says nothing.
        if table.allowed.len() == all && adds.is_empty() {
            continue;
        }
        export.rules.push(RuleRow {
            name: title,
            places: built.problem.rules.get(rule).cloned().unwrap_or_default(),
            sorts: table.sorts,
            allowed: table.allowed.into_iter().map(|(sorts, _)| sorts).collect(),
            adds,
        });
    }
    Ok(export)
}
