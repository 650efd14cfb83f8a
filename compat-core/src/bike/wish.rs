//! Wishes: what a plan must come to.

use super::Look;
use super::file::{looks, part, slots, text_wanted, unknown_slot};
use crate::catalog::{Catalog, money};
use crate::dim::Cases;
use crate::text::{Fault, FaultKind, Faults, Files, Is, Place, Texts};

/// A dimension that the part in a slot must have in the end.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wish {
    /// The slot.
    pub slot: usize,
    /// The dimension of its kind.
    pub dimension: usize,
    /// What it must be: one of these.
    pub wanted: Cases,
    /// Where it is written.
    pub place: Place,
}

/// What a plan must come to, and what it may spend and touch.
#[derive(Clone, Debug, Default)]
pub struct Wishes {
    /// What it is called.
    pub title: String,
    /// The most it may cost, labour and all, in hundredths.
    pub budget: Option<i64>,
    /// The dimensions the parts must have.
    pub wishes: Vec<Wish>,
    /// The slots that stay as they are.
    pub keep: Vec<usize>,
    /// The slots that get another part whatever it is.
    pub change: Vec<usize>,
    /// The slots that are emptied.
    pub remove: Vec<usize>,
    /// The slots that may be emptied.
    pub may_go: Vec<usize>,
    /// What somebody looked at.
    pub looks: Vec<Look>,
}

/// The names of a page of wishes beside the slots.
const OTHERS: [&str; 8] = [
    "title", "note", "looked", "budget", "keep", "change", "remove", "may_go",
];

/// Reads a page of wishes: slot by slot the dimensions wanted, the budget, and what is kept,
/// changed, removed or may be removed.
///
/// # Errors
///
/// Every fault of the file, each with its place.
pub fn read_wishes(
    catalog: &Catalog,
    files: &mut Files,
    name: &str,
    bytes: &[u8],
) -> Result<Wishes, Faults> {
    let mut texts = Texts::new(files);
    let mut wishes = Wishes::default();
    let read = texts.toml(name, bytes);
    let mut faults = texts.faults;
    let Some((file, root)) = read else {
        return faults.or(wishes);
    };
    for (key, node) in root.rows() {
        let place = Place { file, at: node.at };
        match (&*key.name, &node.is) {
            ("title", Is::Text(text)) => wishes.title = text.to_string(),
            ("note", Is::Text(_)) => {}
            ("title" | "note", _) => text_wanted(place, node, &mut faults),
            ("looked", _) => wishes.looks = looks(catalog, place, node, &mut faults),
            ("budget", _) => wishes.budget = money(node, place, &mut faults),
            (list @ ("keep" | "change" | "remove" | "may_go"), Is::List(items)) => {
                let found = slots(catalog, file, items, &mut faults);
                match list {
                    "keep" => wishes.keep = found,
                    "change" => wishes.change = found,
                    "remove" => wishes.remove = found,
                    _ => wishes.may_go = found,
                }
            }
            ("keep" | "change" | "remove" | "may_go", _) => {
                let message = format!("{} where a list of slots should stand", node.kind());
                faults.push(Fault::new(place, FaultKind::WrongKind, "", message));
            }
            (name, is) => match (catalog.slot_named(name), is) {
                (Some(slot), Is::Table(rows)) => {
                    let wanted = part(catalog, slot, place, rows, &mut faults);
                    for (_, place) in &wanted.complaints {
                        let message = "a complaint is said of a part that is there; here stands \
                                       what is wanted";
                        let fault = Fault::new(*place, FaultKind::WrongKind, "complaint", message);
                        faults.push(fault);
                    }
                    let entries = wanted.entries.iter().enumerate();
                    wishes
                        .wishes
                        .extend(entries.filter_map(|(dimension, entry)| {
                            let reading = entry.deciding()?;
                            let place = match reading.origin {
                                crate::dim::Origin::Stated(place)
                                | crate::dim::Origin::Measured(place) => place,
                                _ => place,
                            };
                            Some(Wish {
                                slot,
                                dimension,
                                wanted: reading.cases.clone(),
                                place,
                            })
                        }));
                }
                (Some(_), _) => {
                    let written = node.as_written().unwrap_or_default();
                    let message = format!(
                        "{} where what is wanted of the part should stand, as in {{ speeds = 12 }}",
                        node.kind()
                    );
                    faults.push(Fault::new(place, FaultKind::WrongKind, &written, message));
                }
                (None, _) => {
                    let place = Place { file, at: key.at };
                    unknown_slot(catalog, key, place, &OTHERS, &mut faults);
                }
            },
        }
    }
    sound(catalog, &wishes, Place { file, at: root.at }, &mut faults);
    faults.or(wishes)
}

/// What nobody can wish.
fn sound(catalog: &Catalog, wishes: &Wishes, place: Place, faults: &mut Faults) {
    let slot = |slot: usize| catalog.slots().get(slot);
    let name = |number: usize| slot(number).map_or("", |slot| slot.name.as_str());
    let mut wrong = |number: usize, message: String| {
        let fault = Fault::new(place, FaultKind::BadValue, name(number), message);
        if !faults.0.contains(&fault) {
            faults.push(fault);
        }
    };
    let lists = [
        ("kept", &wishes.keep),
        ("changed", &wishes.change),
        ("removed", &wishes.remove),
    ];
    for (number, (word, list)) in lists.iter().enumerate() {
        for (other, others) in lists.iter().skip(number + 1) {
            for both in list.iter().filter(|slot| others.contains(slot)) {
                wrong(
                    *both,
                    format!("`{}` is both {word} and {other}", name(*both)),
                );
            }
        }
    }
    for gone in wishes.remove.iter().chain(&wishes.may_go) {
        if slot(*gone).is_some_and(|slot| slot.always) {
            wrong(*gone, format!("a bike cannot be without a {}", name(*gone)));
        }
    }
    for both in wishes.wishes.iter().map(|wish| wish.slot) {
        if wishes.remove.contains(&both) {
            let message = format!("`{}` is removed, and something is wanted of it", name(both));
            wrong(both, message);
        }
    }
    let asked = wishes.wishes.iter().map(|wish| wish.slot);
    for fixed in asked.chain(wishes.change.iter().copied()) {
        if slot(fixed).is_some_and(|slot| slot.no_part) {
            let message = format!("`{}` is no part that can be changed", name(fixed));
            wrong(fixed, message);
        }
    }
}
