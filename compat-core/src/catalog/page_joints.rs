//! The joints of a family's page: which end of which slot plays which of its ends.

use super::Catalog;
use super::book::{Joint, JointEnd};
use crate::joints::Family;
use crate::text::{Fault, FaultKind, Faults, FileId, Later, Node, Place, Row, nearest};

pub(super) fn joints(
    family: &Family,
    file: FileId,
    node: &Node,
    catalog: &Catalog,
    faults: &mut Faults,
) -> Vec<Joint> {
    let mut row = Row::new(file, node, faults);
    let nodes = row.list("joint");
    let mut joints = Vec::new();
    for node in nodes {
        let mut row = Row::new(file, node, faults);
        let title = row.must("title", faults).to_owned();
        let mut ends = Vec::new();
        for end in family.ends {
            let written = row.texts(end.name, faults);
            if written.is_empty() && !end.optional {
                let message = format!("the joint does not say what plays `{}`", end.name);
                faults.push(Fault::new(row.here(), FaultKind::Missing, "", message));
            }
            let played = written.into_iter().filter_map(|(text, at)| {
                let (slot, end) = text.split_once('.').unwrap_or((text, ""));
                let found = catalog.slot_named(slot);
                if found.is_none() {
                    let near = nearest(slot, catalog.slots().iter().map(|slot| slot.name.as_str()));
                    let message = format!("`{slot}` is no slot");
                    let fault =
                        Fault::new(Place { file, at }, FaultKind::UnknownName, slot, message);
                    faults.push(fault.near(near));
                }
                found.map(|slot| JointEnd {
                    slot,
                    end: end.into(),
                })
            });
            ends.push(played.collect());
        }
        let together = ends_named(&mut row, "together", (family, file), faults);
        let aside = ends_named(&mut row, "aside", (family, file), faults);
        let unless = row.text("aside_unless", faults);
        let aside_unless = unless.and_then(|name| {
            let found = family.field_named(name);
            if found.is_none() {
                let message = format!("`{name}` is no field of this family");
                faults.push(Fault::new(
                    row.here(),
                    FaultKind::UnknownName,
                    name,
                    message,
                ));
            }
            found
        });
        row.end(faults);
        let all = variants(&title, &ends, &together).into_iter();
        joints.extend(all.map(|joint| Joint {
            aside: aside.clone(),
            aside_unless,
            ..joint
        }));
    }
    joints
}

/// The ends of a family that a row names.
fn ends_named(
    row: &mut Row<'_>,
    key: &'static str,
    (family, file): (&Family, FileId),
    faults: &mut Faults,
) -> Vec<usize> {
    let mut found = Vec::new();
    for (name, at) in row.texts(key, faults) {
        match family.end_index(name) {
            Some(end) => found.push(end),
            None => {
                let message = format!("`{name}` is no end of this family");
                let place = Place { file, at };
                let near = nearest(name, family.ends.iter().map(|end| end.name));
                let fault = Fault::new(place, FaultKind::UnknownName, name, message);
                faults.push(fault.near(near));
            }
        }
    }
    found
}

/// A joint for each choice of what plays its ends. The first that is fitted plays; so each choice
/// but the last asks for its own part, and each but the first for the others' absence.
fn variants(title: &str, ends: &[Vec<JointEnd>], together: &[usize]) -> Vec<Joint> {
    let mut joints = vec![Joint {
        title: title.into(),
        ends: Vec::new(),
        together: together.to_vec(),
        aside: Vec::new(),
        aside_unless: None,
        filled: Vec::new(),
        empty: Vec::new(),
        dimensions: Later::default(),
    }];
    for players in ends {
        let with = |joint: &Joint| -> Vec<Joint> {
            let choice = |number: usize| {
                let mut joint = joint.clone();
                let player = players.get(number).cloned();
                if number + 1 < players.len() {
                    joint.filled.extend(player.as_ref().map(|end| end.slot));
                }
                let others = players.iter().take(number).map(|end| end.slot);
                joint.empty.extend(others);
                joint.ends.push(player);
                joint
            };
            (0..players.len().max(1)).map(choice).collect()
        };
        joints = joints.iter().flat_map(with).collect();
    }
    joints
}
