//! What is said beside the files: `--set`, and a file of such lines.

use super::file::{SAME, from_stock, is_same, put, sound, unknown_slot};
use super::{Bike, Look, Stock, Swap};
use crate::catalog::{Catalog, Part, PartReader};
use crate::text::{At, Fault, FaultKind, Faults, FileId, Files, Key, Place};

/// One thing that is said: of what, and what; with where it was written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Setting {
    /// `slot.dimension`, `fitted.slot.dimension` or `family/code`.
    pub path: String,
    /// What is said of it.
    pub value: String,
    /// Where the path stands.
    pub at: Place,
    /// Where the value stands.
    pub value_at: Place,
}

/// Reads settings, one on each line: `slot.dimension=value`. Blank lines and what follows a `#` at the
/// beginning of a line say nothing.
///
/// Every line that is none is a fault.
pub fn settings(files: &mut Files, name: &str, text: &str, faults: &mut Faults) -> Vec<Setting> {
    let file = files.add(name, text);
    let mut found = Vec::new();
    for (number, line) in text.lines().enumerate() {
        let said = line.trim();
        if said.is_empty() || said.starts_with('#') {
            continue;
        }
        match line.split_once('=') {
            Some((path, value)) => found.push(Setting {
                path: path.trim().to_owned(),
                value: value.trim().to_owned(),
                at: place(file, number, line, path.trim()),
                value_at: place(file, number, line, value.trim()),
            }),
            None => {
                let message = "`slot.dimension=value` should stand here".to_owned();
                let at = place(file, number, line, said);
                faults.push(Fault::new(at, FaultKind::WrongKind, said, message));
            }
        }
    }
    found
}

/// Where a piece of a line stands.
fn place(file: FileId, number: usize, line: &str, piece: &str) -> Place {
    // The piece is a part of the line, so that its start is where it stands.
    let start = (piece.as_ptr() as usize).saturating_sub(line.as_ptr() as usize);
    let before = line.get(..start).map_or(0, |before| before.chars().count());
    let short = |number: usize| u32::try_from(number).unwrap_or(u32::MAX);
    let at = At {
        line: short(number + 1),
        column: short(before + 1),
        length: short(piece.chars().count().max(1)),
    };
    Place { file, at }
}

/// The word before a dimension that says: of the part that is fitted now.
const FITTED: &str = "fitted.";

/// Sets what is said beside the files, one after the other: `slot.dimension` and its value, of the
/// new part where the swap set brings one for that slot, else of the bike's; `fitted.slot.dimension`
/// of the part that is fitted now; `family/code` and yes or no for what somebody looked at.
///
/// # Errors
///
/// Every fault of what was set, with its place.
pub fn set(
    catalog: &Catalog,
    bike: &mut Bike,
    mut swap: Option<&mut Swap>,
    settings: &[Setting],
) -> Result<(), Faults> {
    let mut faults = Faults::default();
    for setting in settings {
        set_one(catalog, bike, swap.as_deref_mut(), setting, &mut faults);
    }
    faults.or(())
}

/// Adds to a swap set what is said beside the files: `slot.dimension` and its value of the new part for
/// that slot, or `slot` and the id of a line of stock.
///
/// # Errors
///
/// Every fault of what was said, with its place.
pub fn change(
    catalog: &Catalog,
    swap: &mut Swap,
    settings: &[Setting],
    stock: Option<&Stock>,
) -> Result<(), Faults> {
    let mut faults = Faults::default();
    for setting in settings {
        change_one(catalog, swap, setting, stock, &mut faults);
    }
    if let Some(first) = settings.first().filter(|_| faults.is_empty()) {
        sound(catalog, swap, stock, first.at, &mut faults);
    }
    swap.hang(catalog);
    faults.or(())
}

fn change_one(
    catalog: &Catalog,
    swap: &mut Swap,
    setting: &Setting,
    stock: Option<&Stock>,
    faults: &mut Faults,
) {
    let (name, dimension) = match setting.path.split_once('.') {
        Some((name, dimension)) => (name, Some(dimension)),
        None => (setting.path.as_str(), None),
    };
    let Some(slot) = catalog.slot_named(name) else {
        let key = Key {
            name: name.to_owned().into(),
            at: setting.at.at,
        };
        return unknown_slot(catalog, &key, setting.at, &[], faults);
    };
    let known = swap.parts.iter().position(|(there, _)| *there == slot);
    let mut part = match (known.and_then(|at| swap.parts.get(at)), dimension) {
        (Some((_, part)), Some(_)) => part.clone(),
        (None, Some(_)) => {
            let kind = catalog
                .slots()
                .get(slot)
                .map_or(usize::MAX, |slot| slot.kind);
            PartReader::new(catalog, kind, setting.at).part
        }
        (_, None) => {
            let (id, at) = (setting.value.as_str(), setting.value_at);
            match from_stock(catalog, stock, slot, id, at, faults) {
                Some(part) => part,
                None => return,
            }
        }
    };
    if let Some(dimension) = dimension {
        let (value, at) = (setting.value.as_str(), setting.value_at);
        set_new(catalog, &mut part, dimension, value, at, faults);
    }
    catalog.meant_in(slot, &mut part);
    match known.and_then(|at| swap.parts.get_mut(at)) {
        Some(place) => place.1 = part,
        None => swap.parts.push((slot, part)),
    }
}

fn set_one(
    catalog: &Catalog,
    bike: &mut Bike,
    swap: Option<&mut Swap>,
    setting: &Setting,
    faults: &mut Faults,
) {
    let (path, value) = (setting.path.as_str(), setting.value.as_str());
    let (place, value_place) = (setting.at, setting.value_at);
    if path.contains('/') {
        let look = Look::read(catalog, (path, place), (value, value_place), faults);
        let looks = swap.map_or(&mut bike.looks, |swap| &mut swap.looks);
        return looks.extend(look);
    }
    let (fitted, named) = match path.strip_prefix(FITTED) {
        Some(named) => (true, named),
        None => (false, path),
    };
    let (slot_name, dimension) = named.split_once('.').unwrap_or((named, ""));
    let Some(slot) = catalog.slot_named(slot_name) else {
        let key = Key {
            name: slot_name.to_owned().into(),
            at: place.at,
        };
        return unknown_slot(catalog, &key, place, &[], faults);
    };
    let new = swap.filter(|_| !fitted).and_then(|swap| {
        let mut parts = swap.parts.iter_mut();
        parts.find(|(there, _)| *there == slot)
    });
    let kind = catalog
        .slots()
        .get(slot)
        .map_or(usize::MAX, |slot| slot.kind);
    if let Some((_, part)) = new {
        set_new(catalog, part, dimension, value, value_place, faults);
        return catalog.meant_in(slot, part);
    }
    let mut part = bike
        .part(slot)
        .cloned()
        .unwrap_or_else(|| PartReader::new(catalog, kind, place).part);
    set_part(catalog, &mut part, dimension, value, value_place, faults);
    catalog.meant_in(slot, &mut part);
    put(&mut bike.parts, slot, part);
}

/// Sets one dimension of a new part, or that it is the same as the one that is fitted.
fn set_new(
    catalog: &Catalog,
    part: &mut Part,
    dimension: &str,
    value: &str,
    place: Place,
    faults: &mut Faults,
) {
    if dimension == SAME {
        part.same_as_fitted = is_same(value, place, faults);
        return;
    }
    set_part(catalog, part, dimension, value, place, faults);
}

/// Sets one dimension of a part; what is set takes the place of what was known of it.
fn set_part(
    catalog: &Catalog,
    part: &mut Part,
    dimension: &str,
    value: &str,
    place: Place,
    faults: &mut Faults,
) {
    let mut trial = PartReader::new(catalog, part.kind, place);
    trial.set(dimension, value, place, faults);
    let body = catalog.body(part.kind);
    let both = part.entries.iter_mut().zip(trial.part.entries);
    for ((entry, set), dimension) in both.zip(&body.dimensions) {
        // A measurement stands beside the marking; a marking takes the place of both.
        if set.stated.is_none() && set.measured.is_some() {
            entry.measured = set.measured;
            entry.compare(dimension.slack());
        } else if !set.is_unknown() {
            *entry = set;
        }
    }
    part.complaints.extend(trial.part.complaints);
    if trial.part.name.is_some() {
        part.name = trial.part.name;
    }
}
