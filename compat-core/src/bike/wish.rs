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
    let mut said: Vec<Said> = Vec::new();
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
                let each = items.iter().filter_map(|item| {
                    let name = item.as_written().unwrap_or_default();
                    let slot = catalog.slot_named(&name)?;
                    let place = Place { file, at: item.at };
                    let list = SAID.iter().position(|(known, _)| *known == list)?;
                    Some(Said { slot, list, place })
                });
                said.extend(each);
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
                    for (key, _) in rows.iter().filter(|(key, _)| &*key.name == "name") {
                        let place = Place { file, at: key.at };
                        let message = "a part is wished by its dimensions, not by its name; a \
                                       part that is chosen already stands in a swap set";
                        faults.push(Fault::new(place, FaultKind::WrongKind, "name", message));
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
    sound(catalog, &wishes, &said, &mut faults);
    faults.or(wishes)
}

/// The lists of slots, and what each says of them.
const SAID: [(&str, &str); 4] = [
    ("keep", "kept"),
    ("change", "changed"),
    ("remove", "removed"),
    ("may_go", "one that may go"),
];

/// What a list says of a slot, and where.
#[derive(Clone, Copy)]
struct Said {
    slot: usize,
    /// The number of the list.
    list: usize,
    place: Place,
}

/// What nobody can wish.
fn sound(catalog: &Catalog, wishes: &Wishes, said: &[Said], faults: &mut Faults) {
    let slot = |slot: usize| catalog.slots().get(slot);
    let name = |number: usize| slot(number).map_or("", |slot| slot.name.as_str());
    let list = |number: usize| SAID.get(number).map_or(("", ""), |list| *list);
    let mut wrong = |place: Place, number: usize, message: String| {
        let fault = Fault::new(place, FaultKind::BadValue, name(number), message);
        if !faults.0.contains(&fault) {
            faults.push(fault);
        }
    };
    for (number, one) in said.iter().enumerate() {
        // What is removed may go as well; nothing else is said of one slot in two ways.
        let together = |other: &Said| {
            matches!(
                (list(one.list).0, list(other.list).0),
                ("remove", "may_go") | ("may_go", "remove")
            )
        };
        let before = said
            .iter()
            .take(number)
            .find(|other| other.slot == one.slot && other.list != one.list && !together(other));
        if let Some(other) = before {
            let mut both = [other.list, one.list];
            both.sort_unstable();
            let [first, second] = both.map(|number| list(number).1);
            let message = format!("`{}` is both {first} and {second}", name(one.slot));
            wrong(one.place, one.slot, message);
        }
        let definition = slot(one.slot);
        let goes = matches!(list(one.list).0, "remove" | "may_go");
        if definition.is_some_and(|slot| slot.no_part || slot.fixed && list(one.list).0 != "keep") {
            wrong(one.place, one.slot, unchangeable(name(one.slot)));
        } else if goes && definition.is_some_and(|slot| slot.always) {
            let message = format!("a bike cannot be without a {}", title(name(one.slot)));
            wrong(one.place, one.slot, message);
        }
    }
    for wish in &wishes.wishes {
        let about = name(wish.slot);
        if wishes.remove.contains(&wish.slot) {
            let message = format!("`{about}` is removed, and something is wanted of it");
            wrong(wish.place, wish.slot, message);
        }
        if slot(wish.slot).is_some_and(|slot| slot.no_part || slot.fixed) {
            wrong(wish.place, wish.slot, unchangeable(about));
        }
    }
}

fn unchangeable(name: &str) -> String {
    format!("the {} is no part that a plan changes", title(name))
}

fn title(name: &str) -> String {
    name.replace('_', " ")
}
