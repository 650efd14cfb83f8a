//! What the work costs: minutes for each slot, and what an hour costs.

use super::Catalog;
use crate::dim::read_money;
use crate::text::{Fault, FaultKind, Faults, FileId, Files, Is, Node, Place, Texts, nearest};

/// What the work costs.
#[derive(Clone, Debug, Default)]
pub struct Labour {
    minutes: Vec<Option<i64>>,
    other: i64,
    hour: i64,
    /// What an adaptor costs that no list has a price for.
    pub adaptor: i64,
}

impl Labour {
    /// The table of the catalogue.
    pub fn usual(catalog: &Catalog) -> Labour {
        let mut labour = Labour {
            minutes: vec![None; catalog.slots().len()],
            ..Labour::default()
        };
        if let Some((file, node)) = catalog.labour() {
            labour.take(catalog, file, &node, &mut Faults::default());
        }
        labour
    }

    /// The same with what a shop's own table says instead.
    ///
    /// # Errors
    ///
    /// Every fault of the file, each with its place.
    pub fn with(
        mut self,
        catalog: &Catalog,
        files: &mut Files,
        name: &str,
        bytes: &[u8],
    ) -> Result<Labour, Faults> {
        let mut texts = Texts::new(files);
        let read = texts.toml(name, bytes);
        let mut faults = texts.faults;
        if let Some((file, root)) = read {
            self.take(catalog, file, &root, &mut faults);
        }
        faults.or(self)
    }

    /// What an hour costs, in hundredths.
    pub fn hour(&self) -> i64 {
        self.hour
    }

    /// The minutes that the work on a slot takes.
    pub fn minutes(&self, slot: usize) -> i64 {
        self.minutes
            .get(slot)
            .copied()
            .flatten()
            .unwrap_or(self.other)
    }

    /// The minutes that the work on a slot takes of which nothing is said.
    pub fn other(&self) -> i64 {
        self.other
    }

    /// What the work on a slot costs, in hundredths, rounded up.
    pub fn cost(&self, slot: usize) -> i64 {
        let minutes = self.minutes(slot);
        (minutes.saturating_mul(self.hour).saturating_add(59)) / 60
    }

    pub(super) fn take(
        &mut self,
        catalog: &Catalog,
        file: FileId,
        root: &Node,
        faults: &mut Faults,
    ) {
        for (key, node) in root.rows() {
            let place = Place { file, at: node.at };
            match (&*key.name, &node.is) {
                ("hour", _) => self.hour = money(node, place, faults).unwrap_or(0),
                ("adaptor", _) => self.adaptor = money(node, place, faults).unwrap_or(0),
                ("grade" | "note", Is::Text(_)) => {}
                ("other", _) => {
                    if let Some(minutes) = minutes(node, place, faults) {
                        self.other = minutes;
                    }
                }
                ("minutes", Is::Table(rows)) => {
                    for (key, node) in rows {
                        let minutes = minutes(node, Place { file, at: node.at }, faults);
                        match catalog.slot_named(&key.name) {
                            Some(slot) => {
                                let known = self.minutes.get_mut(slot);
                                if let (Some(known), Some(minutes)) = (known, minutes) {
                                    *known = Some(minutes);
                                }
                            }
                            None => {
                                let place = Place { file, at: key.at };
                                let names = catalog.slots().iter().map(|slot| slot.name.as_str());
                                let near = nearest(&key.name, names);
                                let message = format!("`{}` is no slot of a bike", key.name);
                                let fault =
                                    Fault::new(place, FaultKind::UnknownName, &key.name, message);
                                faults.push(fault.near(near));
                            }
                        }
                    }
                }
                ("minutes" | "grade" | "note", _) => {
                    let should = match &*key.name {
                        "minutes" => "the minutes of each slot should stand, as in `[minutes]`",
                        _ => "text should stand",
                    };
                    let written = node.as_written().unwrap_or_default();
                    let message = format!("{} where {should}", node.kind());
                    faults.push(Fault::new(place, FaultKind::WrongKind, &written, message));
                }
                _ => {
                    let place = Place { file, at: key.at };
                    let message = format!("`{}` means nothing here", key.name);
                    let known = ["hour", "adaptor", "other", "minutes", "note"];
                    let near = nearest(&key.name, known);
                    let fault = Fault::new(place, FaultKind::UnknownName, &key.name, message);
                    faults.push(fault.near(near));
                }
            }
        }
    }
}

/// Reads a sum of money.
pub(crate) fn money(node: &Node, place: Place, faults: &mut Faults) -> Option<i64> {
    let Some(written) = node.as_written() else {
        let message = format!("{} where a price should stand, as in 12.50", node.kind());
        faults.push(Fault::new(place, FaultKind::WrongKind, "", message));
        return None;
    };
    match read_money(&written) {
        Ok(money) => Some(money),
        Err(message) => {
            faults.push(Fault::new(place, FaultKind::BadValue, &written, message));
            None
        }
    }
}

fn minutes(node: &Node, place: Place, faults: &mut Faults) -> Option<i64> {
    match node.is {
        Is::Whole(minutes) if (0..=10_000).contains(&minutes) => Some(minutes),
        _ => {
            let written = node.as_written().unwrap_or_default();
            let message = "whole minutes of work should stand here, from 0 to 10000";
            faults.push(Fault::new(place, FaultKind::BadValue, &written, message));
            None
        }
    }
}
