//! What must hold of the catalogue as a whole.

use super::Catalog;
use crate::dim::Quantity;
use crate::joints::{FAMILIES, Family};
use crate::text::{Fault, FaultKind, Faults, FileId, Place, nearest};
use crate::verdict::{Fact, Grade, Verdict};

pub(super) fn unused_file(file: FileId, name: &str, faults: &mut Faults) {
    let place = Place::start(file);
    let near = nearest(name, FAMILIES.iter().map(|family| family.name));
    faults.push(
        Fault::new(
            place,
            FaultKind::Unused,
            name,
            format!("nothing reads a file named `{name}`"),
        )
        .near(near),
    );
}

pub(super) fn no_page(family: &Family) -> Faults {
    let message = format!("the family `{}` has no page", family.name);
    Faults(vec![Fault::new(
        Place::default(),
        FaultKind::Missing,
        family.name,
        message,
    )])
}

pub(super) fn known_verdict(words: &str, place: Place, faults: &mut Faults) {
    if !Verdict::ALL.iter().any(|verdict| verdict.words() == words) {
        let near = nearest(words, Verdict::ALL.iter().map(|verdict| verdict.words()));
        faults.push(
            Fault::new(
                place,
                FaultKind::UnknownName,
                words,
                format!("`{words}` is no verdict"),
            )
            .near(near),
        );
    }
}

/// Every law the catalogue breaks.
pub fn broken_laws(catalog: &Catalog) -> Faults {
    let mut faults = Faults::default();
    for (index, family) in FAMILIES.iter().enumerate() {
        joints_present_the_ends(catalog, index, family, &mut faults);
        let facts = catalog
            .book(index)
            .facts
            .iter()
            .chain(&catalog.prose(index).facts);
        for fact in facts {
            cited(catalog, fact, &mut faults);
        }
    }
    let bodies = (0..catalog.kinds().len()).map(|kind| catalog.body(kind));
    for off in bodies.filter_map(|body| body.off.as_ref()) {
        cited(catalog, &off.fact, &mut faults);
    }
    for fact in catalog.bench_facts() {
        cited(catalog, fact, &mut faults);
    }
    faults
}

/// Every end a joint names is one its kind presents, with every field the family reads, of the
/// same quantity.
fn joints_present_the_ends(catalog: &Catalog, index: usize, family: &Family, faults: &mut Faults) {
    let lists = &catalog.book(index).lists;
    for joint in catalog.joints(index) {
        for (number, (end, definition)) in joint.ends.iter().zip(family.ends).enumerate() {
            let Some(end) = end else { continue };
            let Some(slot) = catalog.slots().get(end.slot) else {
                continue;
            };
            let body = catalog.body(slot.kind);
            let Some(presented) = body.end(&end.end) else {
                let near = nearest(&end.end, body.ends.iter().map(|end| end.name.as_str()));
                let message = format!(
                    "{}: a {} presents no end `{}`",
                    family.name, body.title, end.end
                );
                faults.push(
                    Fault::new(Place::default(), FaultKind::UnknownName, &end.end, message)
                        .near(near),
                );
                continue;
            };
            for (index, field) in definition.fields.iter().enumerate() {
                if presented.without.iter().any(|name| name == field.name) {
                    continue;
                }
                let dimension = presented
                    .fields
                    .iter()
                    .find(|(name, _)| name == field.name)
                    .and_then(|(_, number)| body.dimensions.get(*number));
                let list = lists.get(number).and_then(|fields| fields.get(index));
                if dimension.map(|dimension| dimension.list) != list.copied() {
                    let message = format!(
                        "{}: `{}.{}` takes the names of `{}` from another list than the first joint",
                        family.name, body.title, end.end, field.name
                    );
                    let place = Place::default();
                    faults.push(Fault::new(place, FaultKind::WrongKind, field.name, message));
                }
                let quantity = dimension.map(|dimension| dimension.quantity);
                if quantity != Some(field.quantity) {
                    let found = quantity.map_or("nothing", Quantity::word);
                    let message = format!(
                        "{}: `{}.{}` should give a {} for `{}` and gives {found}",
                        family.name,
                        body.title,
                        end.end,
                        field.quantity.word(),
                        field.name
                    );
                    faults.push(Fault::new(
                        Place::default(),
                        FaultKind::WrongKind,
                        field.name,
                        message,
                    ));
                }
            }
        }
    }
}

/// A fact graded as published cites a publication that is listed; one that is not cites none.
fn cited(catalog: &Catalog, fact: &Fact, faults: &mut Faults) {
    let wants = matches!(fact.grade, Grade::Standard | Grade::Published);
    if wants && fact.sources.is_empty() {
        let message = format!("graded `{}` and cites nobody", fact.grade.word());
        faults.push(Fault::new(fact.place, FaultKind::Missing, "", message));
    }
    for key in &fact.sources {
        if catalog.source(key).is_none() {
            let near = nearest(key, catalog.sources().keys().map(String::as_str));
            let message = format!("`{key}` is not among the sources");
            faults.push(Fault::new(fact.place, FaultKind::UnknownName, key, message).near(near));
        }
    }
}
