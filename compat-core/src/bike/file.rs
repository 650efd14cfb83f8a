//! Reading a bike and a swap set.

use super::set::{Setting, set};
use super::{Bike, Look, Stock, Swap};
use crate::catalog::{Catalog, Part, PartReader};
use crate::text::{Fault, FaultKind, Faults, Files, Is, Key, Node, Place, Texts, nearest};

/// Reads a bike file. `settings` are dimensions given beside the file; they take the place of what the
/// file says.
///
/// # Errors
///
/// Every fault of the file and of what was set, each with its place.
pub fn read_bike(
    catalog: &Catalog,
    files: &mut Files,
    name: &str,
    bytes: &[u8],
    settings: &[Setting],
) -> Result<Bike, Faults> {
    let mut texts = Texts::new(files);
    let mut bike = Bike::unknown(catalog);
    if let Some((file, root)) = texts.toml(name, bytes) {
        let mut faults = Faults::default();
        for (key, node) in root.rows() {
            let place = Place { file, at: node.at };
            match (&*key.name, &node.is) {
                ("title", Is::Text(text)) => bike.title = text.to_string(),
                ("note", Is::Text(_)) => {}
                ("title" | "note", _) => text_wanted(place, node, &mut faults),
                ("looked", _) => bike.looks = looks(catalog, place, node, &mut faults),
                (name, is) => match (catalog.slot_named(name), is) {
                    (Some(slot), Is::Table(rows)) => {
                        let part = part(catalog, slot, place, rows, &mut faults);
                        put(&mut bike.parts, slot, part);
                    }
                    (Some(_), _) => table_wanted(place, node, &mut faults),
                    (None, _) => unknown_slot(
                        catalog,
                        key,
                        Place { file, at: key.at },
                        &["title", "note", "looked"],
                        &mut faults,
                    ),
                },
            }
        }
        texts.faults.0.extend(faults.0);
    }
    let mut faults = texts.faults;
    if let Err(wrong) = set(catalog, &mut bike, None, settings) {
        faults.0.extend(wrong.0);
    }
    bike.doubt(catalog);
    faults.or(bike)
}

/// What somebody looked at: a table of `family/code` and yes or no.
pub(super) fn looks(
    catalog: &Catalog,
    place: Place,
    node: &Node,
    faults: &mut Faults,
) -> Vec<Look> {
    let Is::Table(rows) = &node.is else {
        let message = format!("{} where a table should stand", node.kind());
        faults.push(Fault::new(place, FaultKind::WrongKind, "", message));
        return Vec::new();
    };
    let file = place.file;
    let mut found = Vec::new();
    for (key, value) in rows {
        let at = Place { file, at: key.at };
        let answer = value.as_written().unwrap_or_default();
        let answered = (answer.as_str(), Place { file, at: value.at });
        found.extend(Look::read(catalog, (&key.name, at), answered, faults));
    }
    found
}

pub(super) fn put(parts: &mut [Option<Part>], slot: usize, part: Part) {
    if let Some(place) = parts.get_mut(slot) {
        *place = Some(part);
    }
}

pub(super) fn part(
    catalog: &Catalog,
    slot: usize,
    place: Place,
    rows: &[(Key, Node)],
    faults: &mut Faults,
) -> Part {
    let kind = catalog
        .slots()
        .get(slot)
        .map_or(usize::MAX, |slot| slot.kind);
    let rows: Vec<(&Key, &Node)> = rows.iter().map(|(key, node)| (key, node)).collect();
    let mut part = PartReader::new(catalog, kind, place).table(place.file, &rows, faults);
    catalog.meant_in(slot, &mut part);
    part
}

/// What a new part's table says beside its dimensions: that it is the same as the one that is fitted.
pub(super) const SAME: &str = "same_as_fitted";

/// Reads a new part, which may be said to be the same as the one that is fitted.
fn new_part(
    catalog: &Catalog,
    slot: usize,
    place: Place,
    rows: &[(Key, Node)],
    faults: &mut Faults,
) -> Part {
    let (same, rows): (Vec<_>, Vec<_>) = rows
        .iter()
        .cloned()
        .partition(|(key, _)| &*key.name == SAME);
    let mut part = part(catalog, slot, place, &rows, faults);
    for (_, node) in same {
        let at = Place {
            file: place.file,
            at: node.at,
        };
        let text = node.as_written().unwrap_or_default();
        part.same_as_fitted = is_same(&text, at, faults);
    }
    part
}

/// Reads whether a new part is the same as the one that is fitted.
pub(super) fn is_same(text: &str, place: Place, faults: &mut Faults) -> bool {
    match text.trim() {
        "true" | "yes" => true,
        "false" | "no" | "?" => false,
        other => {
            let message = format!("`{SAME}`: `{other}` where true or false should stand");
            faults.push(Fault::new(place, FaultKind::BadValue, other, message));
            false
        }
    }
}

fn table_wanted(place: Place, node: &Node, faults: &mut Faults) {
    let written = node.as_written().unwrap_or_default();
    let message = format!("{} where the table of a part should stand", node.kind());
    faults.push(Fault::new(place, FaultKind::WrongKind, &written, message));
}

pub(super) fn text_wanted(place: Place, node: &Node, faults: &mut Faults) {
    let message = format!("{} where text should stand", node.kind());
    faults.push(Fault::new(place, FaultKind::WrongKind, "", message));
}

/// The most slots that are named where a word stands for several.
const MOST_BESIDE: usize = 8;

pub(super) fn unknown_slot(
    catalog: &Catalog,
    key: &Key,
    place: Place,
    others: &[&str],
    faults: &mut Faults,
) {
    let names = catalog
        .slots()
        .iter()
        .map(|slot| slot.name.as_str())
        .chain(others.iter().copied());
    let message = format!("`{}` is no slot of a bike", key.name);
    // Its initials are what people write for a long name: `bb`.
    let slots = || catalog.slots().iter().map(|slot| slot.name.as_str());
    let initials = |name: &&str| {
        let first = name.split('_').filter_map(|word| word.chars().next());
        name.contains('_') && first.eq(key.name.chars())
    };
    let near = nearest(&key.name, names).or_else(|| slots().find(initials));
    // Of a whole wheel the parts are written.
    let (side, rest) = key.name.split_once('_').unwrap_or(("", ""));
    let beside = slots().filter(|name| near.is_none() && name.split('_').next() == Some(side));
    let beside: Vec<&str> = beside.take(MOST_BESIDE).collect();
    let hint = (!rest.is_empty() && !beside.is_empty())
        .then(|| format!("the parts are written one by one: {}", beside.join(", ")));
    let fault = Fault::new(place, FaultKind::UnknownName, &key.name, message);
    faults.push(fault.near(near).hint(hint));
}

/// Reads a swap set: slot by slot the new part, given here or taken from stock by its id; and what
/// is removed and kept.
///
/// # Errors
///
/// Every fault of the file, each with its place.
pub fn read_swap(
    catalog: &Catalog,
    files: &mut Files,
    name: &str,
    bytes: &[u8],
    stock: Option<&Stock>,
) -> Result<Swap, Faults> {
    let mut texts = Texts::new(files);
    let mut swap = Swap::default();
    let read = texts.toml(name, bytes);
    let mut faults = texts.faults;
    let Some((file, root)) = read else {
        return faults.or(swap);
    };
    for (key, node) in root.rows() {
        let place = Place { file, at: node.at };
        match (&*key.name, &node.is) {
            ("title", Is::Text(text)) => swap.title = text.to_string(),
            ("note", Is::Text(_)) => {}
            ("title" | "note", _) => text_wanted(place, node, &mut faults),
            ("looked", _) => swap.looks = looks(catalog, place, node, &mut faults),
            ("remove" | "keep", is) if !matches!(is, Is::List(_)) => {
                let message = format!("{} where a list of slots should stand", node.kind());
                faults.push(Fault::new(place, FaultKind::WrongKind, "", message));
            }
            ("remove", Is::List(items)) => swap.remove = slots(catalog, file, items, &mut faults),
            ("keep", Is::List(items)) => swap.keep = slots(catalog, file, items, &mut faults),
            (name, is) => match (catalog.slot_named(name), is) {
                (Some(slot), Is::Table(rows)) => swap
                    .parts
                    .push((slot, new_part(catalog, slot, place, rows, &mut faults))),
                (Some(slot), Is::Text(id)) => {
                    let part = from_stock(catalog, stock, slot, id, place, &mut faults);
                    if let Some(mut part) = part {
                        catalog.meant_in(slot, &mut part);
                        swap.parts.push((slot, part));
                    }
                }
                (Some(_), _) => table_wanted(place, node, &mut faults),
                (None, _) => {
                    let others = ["title", "note", "remove", "keep", "looked"];
                    unknown_slot(
                        catalog,
                        key,
                        Place { file, at: key.at },
                        &others,
                        &mut faults,
                    );
                }
            },
        }
    }
    sound(
        catalog,
        &swap,
        stock,
        Place { file, at: root.at },
        &mut faults,
    );
    // What hangs on a part that goes, goes with it, unless the set says otherwise.
    swap.hang(catalog);
    faults.or(swap)
}

/// What a swap set must not ask for.
pub(super) fn sound(
    catalog: &Catalog,
    swap: &Swap,
    stock: Option<&Stock>,
    place: Place,
    faults: &mut Faults,
) {
    let name = |slot: &usize| {
        catalog
            .slots()
            .get(*slot)
            .map_or("", |slot| slot.name.as_str())
    };
    let changed = |slot: &usize| swap.parts.iter().any(|(changed, _)| changed == slot);
    let mut twice = |slot: &usize, words: &str| {
        let message = format!("`{}` is both {words}", name(slot));
        faults.push(Fault::new(place, FaultKind::Duplicate, name(slot), message));
    };
    for slot in &swap.keep {
        if changed(slot) || swap.remove.contains(slot) {
            twice(slot, "kept and changed");
        }
    }
    for slot in swap.remove.iter().filter(|slot| changed(slot)) {
        twice(slot, "removed and changed");
    }
    for slot in &swap.remove {
        if catalog.slots().get(*slot).is_some_and(|slot| slot.always) {
            let message = format!("a bike cannot be without a {}", name(slot));
            faults.push(Fault::new(place, FaultKind::BadValue, name(slot), message));
        }
    }
    for (slot, part) in &swap.parts {
        if catalog.slots().get(*slot).is_some_and(|slot| slot.no_part) {
            let message = format!(
                "`{}` is no part that can be changed; say it in the bike file",
                name(slot)
            );
            faults.push(Fault::new(
                part.place,
                FaultKind::BadValue,
                name(slot),
                message,
            ));
        }
    }
    let ids = swap
        .parts
        .iter()
        .filter_map(|(_, part)| part.stock.as_deref());
    for id in ids.clone() {
        let wanted = ids.clone().filter(|other| *other == id).count();
        let line =
            stock.and_then(|stock| stock.lines.iter().find(|line| stock.text(line.id) == id));
        if let Some(line) = line.filter(|line| (line.quantity as usize) < wanted) {
            let message = format!(
                "`{id}` is wanted {wanted} times and there are {}",
                line.quantity
            );
            let fault = Fault::new(place, FaultKind::BadValue, id, message);
            if !faults.0.contains(&fault) {
                faults.push(fault);
            }
        }
    }
}

pub(super) fn slots(
    catalog: &Catalog,
    file: crate::text::FileId,
    items: &[Node],
    faults: &mut Faults,
) -> Vec<usize> {
    let mut found = Vec::new();
    for item in items {
        let place = Place { file, at: item.at };
        let name = item.as_written().unwrap_or_default();
        match catalog.slot_named(&name) {
            Some(slot) => found.push(slot),
            None => unknown_slot(
                catalog,
                &Key {
                    name: name.into(),
                    at: item.at,
                },
                place,
                &[],
                faults,
            ),
        }
    }
    found
}

pub(super) fn from_stock(
    catalog: &Catalog,
    stock: Option<&Stock>,
    slot: usize,
    id: &str,
    place: Place,
    faults: &mut Faults,
) -> Option<Part> {
    let Some(stock) = stock else {
        let message = format!("`{id}` is a line of stock, and no stock was given");
        faults.push(Fault::new(place, FaultKind::Missing, id, message));
        return None;
    };
    let Some(part) = stock.part_by_id(id) else {
        let near = nearest(id, stock.lines.iter().map(|line| stock.text(line.id)));
        faults.push(
            Fault::new(
                place,
                FaultKind::UnknownName,
                id,
                format!("`{id}` is no line of the stock"),
            )
            .near(near),
        );
        return None;
    };
    let wanted = catalog.slots().get(slot)?;
    if part.kind != wanted.kind {
        let (is, wants) = (
            &catalog.body(part.kind).title,
            &catalog.body(wanted.kind).title,
        );
        let message = format!("`{id}` is a {is}, and the slot takes a {wants}");
        faults.push(Fault::new(place, FaultKind::WrongKind, id, message));
        return None;
    }
    Some(part)
}
