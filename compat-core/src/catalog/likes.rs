//! Kinds of bike to begin a page with: the parts such a bike has, and what to write down first. No
//! dimension is given: what a page leaves unknown stays unknown.

use super::{Catalog, Entry, Piece};
use crate::joints::FAMILIES;
use crate::text::{At, Fault, FaultKind, Faults, Place, Row, nearest};

/// A kind of bike.
#[derive(Clone, Debug)]
pub struct Like {
    /// Its name: that of its file.
    pub name: String,
    /// In words.
    pub title: String,
    /// The slots of the parts it has.
    pub parts: Vec<usize>,
    /// What to write down first: slot, and dimension or notation of its kind.
    pub start: Vec<(usize, String)>,
}

impl Like {
    /// The dimensions of a slot's part that meet a mate among the parts of this kind of bike.
    pub fn dimensions(&self, catalog: &Catalog, slot: usize) -> Vec<usize> {
        let there = |slot: usize| self.parts.contains(&slot);
        let mut found: Vec<usize> = Vec::new();
        for (number, family) in FAMILIES.iter().enumerate() {
            let joints = catalog.joints(number).iter();
            for joint in joints.filter(|joint| joint.stands(family, there)) {
                let ends = joint.ends.iter().zip(joint.dimensions(catalog, family));
                let own = ends.filter(|(end, _)| end.as_ref().is_some_and(|end| end.slot == slot));
                found.extend(own.flat_map(|(_, fields)| fields.iter().flatten()));
            }
        }
        found.sort_unstable();
        found.dedup();
        found
    }
}

/// Every kind of bike the catalogue knows, and what is wrong with its files.
pub(super) fn likes(catalog: &Catalog, entries: &[Entry]) -> (Vec<Like>, Faults) {
    let mut faults = Faults::default();
    let files = entries.iter().filter(|entry| entry.folder == "likes");
    let found = files
        .map(|entry| like(catalog, entry, &mut faults))
        .collect();
    (found, faults)
}

fn like(catalog: &Catalog, entry: &Entry, faults: &mut Faults) -> Like {
    let file = entry.file;
    let node = entry.piece(Piece::Rule);
    let mut row = Row::new(file, &node, faults);
    let title = row.must("title", faults).to_owned();
    let mut parts = Vec::new();
    for (name, at) in row.texts("parts", faults) {
        parts.extend(slot(catalog, name, Place { file, at }, faults));
    }
    let mut start = Vec::new();
    for (path, at) in row.texts("start", faults) {
        let place = Place { file, at };
        let (name, rest) = path.split_once('.').unwrap_or((path, ""));
        let Some(slot) = slot(catalog, name, place, faults) else {
            continue;
        };
        known(catalog, slot, rest, place, faults);
        if !parts.contains(&slot) {
            let message = format!("such a bike has no `{name}` among its parts");
            faults.push(Fault::new(place, FaultKind::BadValue, path, message));
        }
        start.push((slot, rest.to_owned()));
    }
    row.end(faults);
    if parts.is_empty() {
        let at = Place {
            file,
            at: At::default(),
        };
        let message = "a kind of bike without parts".to_owned();
        faults.push(Fault::new(at, FaultKind::Missing, "parts", message));
    }
    Like {
        name: entry.name.to_string(),
        title,
        parts,
        start,
    }
}

fn slot(catalog: &Catalog, name: &str, place: Place, faults: &mut Faults) -> Option<usize> {
    let found = catalog.slot_named(name);
    if found.is_none() {
        let near = nearest(name, catalog.slots().iter().map(|slot| slot.name.as_str()));
        let message = format!("`{name}` is no slot of a bike");
        faults.push(Fault::new(place, FaultKind::UnknownName, name, message).near(near));
    }
    found
}

/// A dimension or a notation of the kind that goes in a slot.
fn known(catalog: &Catalog, slot: usize, name: &str, place: Place, faults: &mut Faults) {
    let kind = catalog
        .slots()
        .get(slot)
        .map_or(usize::MAX, |slot| slot.kind);
    let body = catalog.body(kind);
    let dimensions = body
        .dimensions
        .iter()
        .map(|dimension| dimension.name.as_str());
    let mut all = dimensions.chain(body.shorthands.iter().map(|short| short.name.as_str()));
    if !all.any(|known| known == name) {
        let message = format!("`{name}` is no dimension of a {}", body.title);
        faults.push(Fault::new(place, FaultKind::UnknownName, name, message));
    }
}
