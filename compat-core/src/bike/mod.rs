//! A bike as its parts in their slots, a swap set, a list of stock; and the graph of its joints.

mod complaint;
mod condition;
mod file;
mod graph;
mod ids;
mod look;
mod makes;
mod rows;
mod set;
mod stock;
mod stock_toml;
mod taken;
mod wish;
mod word;

pub use file::{read_bike, read_swap};
pub use graph::{Graph, JointAt};
pub use look::{COMPLAINT, Look};
pub use makes::Makes;
pub use set::{Setting, change, set, settings};
pub use stock::{Line, Piece, STOCK_COLUMNS, Stock, read_prices, read_stock};
pub use taken::{Taken, kind_called, taken};
pub use wish::{Wish, Wishes, read_wishes};

use crate::catalog::{Catalog, Part};
use crate::text::Place;

/// A bike: the part in each slot, by the number of the slot.
#[derive(Clone, Debug, Default)]
pub struct Bike {
    /// What it is called.
    pub title: String,
    /// The parts; `None` where there is none.
    pub parts: Vec<Option<Part>>,
    /// What somebody looked at.
    pub looks: Vec<Look>,
}

impl Bike {
    /// A bike of which nothing is known: every part that every bike has, and no dimension.
    pub fn unknown(catalog: &Catalog) -> Bike {
        let part = |slot: &crate::catalog::Slot| {
            slot.always
                .then(|| crate::catalog::PartReader::new(catalog, slot.kind, Place::default()).part)
        };
        Bike {
            title: String::new(),
            parts: catalog.slots().iter().map(part).collect(),
            looks: Vec::new(),
        }
    }

    /// The part in a slot.
    pub fn part(&self, slot: usize) -> Option<&Part> {
        self.parts.get(slot)?.as_ref()
    }

    /// The bike with the swap set applied, and the slots it touched.
    pub fn with(&self, swap: &Swap) -> (Bike, Vec<usize>) {
        let mut bike = self.clone();
        let mut touched = Vec::new();
        for slot in &swap.remove {
            if let Some(place) = bike.parts.get_mut(*slot) {
                *place = None;
                touched.push(*slot);
            }
        }
        for (slot, _) in swap.carried_off(self) {
            if let Some(place) = bike.parts.get_mut(slot) {
                *place = None;
                touched.push(slot);
            }
        }
        for (slot, part) in &swap.parts {
            if let Some(place) = bike.parts.get_mut(*slot) {
                *place = Some(part.clone());
                touched.push(*slot);
            }
        }
        touched.sort_unstable();
        touched.dedup();
        (bike, touched)
    }
}

/// What is to be changed.
#[derive(Clone, Debug, Default)]
pub struct Swap {
    /// What it is called.
    pub title: String,
    /// The new part for a slot.
    pub parts: Vec<(usize, Part)>,
    /// The slots to be emptied.
    pub remove: Vec<usize>,
    /// The slots that must stay as they are.
    pub keep: Vec<usize>,
    /// The slots whose parts leave with another's, and that other.
    pub carried: Vec<(usize, usize)>,
    /// What somebody looked at, with the new parts in hand.
    pub looks: Vec<Look>,
}

impl Swap {
    /// The parts that hang on others, and leave the bike with them unless they are kept.
    pub(crate) fn hang(&mut self, catalog: &Catalog) {
        self.carried.clear();
        for (carrier, _) in catalog.slots().iter().enumerate() {
            let hangs = catalog
                .carried(carrier)
                .filter(|slot| !self.keep.contains(slot));
            self.carried.extend(hangs.map(|slot| (slot, carrier)));
        }
    }

    /// The parts of a bike that leave it with another that is changed, and with which.
    pub fn carried_off(&self, bike: &Bike) -> Vec<(usize, usize)> {
        let new = |slot: usize| self.parts.iter().any(|(changed, _)| *changed == slot);
        let goes = |(slot, carrier): &(usize, usize)| {
            let leaves = new(*carrier) || self.remove.contains(carrier);
            let spoken = new(*slot) || self.remove.contains(slot);
            leaves && !spoken && bike.part(*slot).is_some()
        };
        self.carried.iter().copied().filter(goes).collect()
    }
}
