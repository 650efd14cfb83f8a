//! The bike as it stands is evidence: what is fitted and makes no trouble tells what its mates are.
//!
//! An inference is a comparison read backwards. The joint stands, so every claim whose failure
//! would mean that the parts cannot be joined must hold; where one dimension of it is not known,
//! only the readings with which it may hold are left. Ratings tell nothing: people exceed them.

use std::collections::BTreeMap;
use std::rc::Rc;

use super::judge::{Judgement, Run, Setting, judge};
use crate::bike::{Bike, Graph, JointAt, Look};
use crate::catalog::{Catalog, Joint};
use crate::dim::{Cases, Origin, Reading, Span};
use crate::joints::{Cells, FAMILIES};
use crate::verdict::{Claim, Field, Ground, Holds, Verdict};

/// How often the joints are gone through again; each round can carry what is known one joint on.
const MOST_ROUNDS: usize = 8;

/// What the bike tells of one dimension.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Inference {
    /// The slot of the part it is about.
    pub slot: usize,
    /// The dimension of its kind.
    pub dimension: usize,
    /// The joint that tells it.
    pub joint: JointAt,
    /// The dimensions it was told by, as slot and dimension.
    pub from: Vec<(usize, usize)>,
    /// What it comes to.
    pub cases: Cases,
    /// True where an adaptor that nobody wrote down would change it.
    pub unless_bridged: bool,
}

/// What is known of a bike: what the files say, and what the bike as it stood tells.
#[derive(Clone, Debug)]
pub struct Known<'a> {
    /// The catalogue.
    pub catalog: &'a Catalog,
    /// The bike.
    pub bike: &'a Bike,
    /// What is inferred, by slot and dimension.
    pub inferred: Rc<BTreeMap<(usize, usize), Reading>>,
}

impl<'a> Known<'a> {
    /// What the files say, and nothing else.
    pub fn stated(catalog: &'a Catalog, bike: &'a Bike) -> Self {
        Known {
            catalog,
            bike,
            inferred: Rc::default(),
        }
    }

    /// The dimension behind a field of a joint: slot, and dimension of its kind.
    pub fn dimension(&self, at: JointAt, field: Field) -> Option<(usize, usize)> {
        let joint = self.joint(at)?;
        let slot = joint.ends.get(usize::from(field.end))?.as_ref()?.slot;
        let dimensions = joint.dimensions(self.catalog, FAMILIES.get(at.family)?);
        let number = dimensions
            .get(usize::from(field.end))?
            .get(usize::from(field.field))?;
        number.map(|number| (slot, number))
    }

    /// A joint of the catalogue.
    pub fn joint(&self, at: JointAt) -> Option<&'a Joint> {
        self.catalog.joints(at.family).get(at.joint)
    }

    /// The slot that plays an end of a joint, where it is there.
    pub fn slot_of(&self, at: JointAt, end: usize) -> Option<usize> {
        let slot = self.joint(at)?.ends.get(end)?.as_ref()?.slot;
        self.bike.part(slot).map(|_| slot)
    }

    /// True where every part the joint needs is there.
    pub fn stands(&self, at: JointAt) -> bool {
        let Some((joint, family)) = self.joint(at).zip(FAMILIES.get(at.family)) else {
            return false;
        };
        joint.stands(family, |slot| self.bike.part(slot).is_some())
    }

    /// The reading of a dimension: what decides in the file, else what is inferred.
    pub fn reading(&self, slot: usize, dimension: usize) -> Option<&Reading> {
        let entry = self.bike.part(slot)?.entries.get(dimension);
        entry
            .and_then(|entry| entry.deciding())
            .or_else(|| self.inferred.get(&(slot, dimension)))
    }

    /// The readings of a joint.
    pub fn cells(&self, at: JointAt) -> Cells<'_> {
        let Some(family) = FAMILIES.get(at.family) else {
            return Cells::default();
        };
        let mut cells = Cells::of(family);
        let Some(joint) = self.joint(at) else {
            return cells;
        };
        let dimensions = joint.dimensions(self.catalog, family);
        for (number, (end, fields)) in joint.ends.iter().zip(dimensions).enumerate() {
            let Some(end) = end
                .as_ref()
                .filter(|end| self.bike.part(end.slot).is_some())
            else {
                continue;
            };
            cells.put(number);
            for (index, dimension) in fields.iter().enumerate() {
                let field = Field {
                    end: u8::try_from(number).unwrap_or(u8::MAX),
                    field: u8::try_from(index).unwrap_or(u8::MAX),
                };
                cells.set(
                    field,
                    dimension.and_then(|dimension| self.reading(end.slot, dimension)),
                );
            }
        }
        cells
    }

    /// What somebody saw who looked at a joint for the sake of a code.
    pub fn look(&self, at: JointAt, code: Option<u8>) -> Option<&Look> {
        let joint = self.joint(at)?;
        let here = |look: &&Look| {
            let slot = look.slot;
            (look.family, look.code) == (at.family, code)
                && slot.is_none_or(|slot| joint.hangs_on().any(|there| there == slot))
        };
        self.bike.looks.iter().rev().find(here)
    }

    /// True where a part of the joint has a complaint against the end it presents there.
    pub fn complained(&self, at: JointAt) -> bool {
        !self.complaints(at).is_empty()
    }

    /// The complaints against a joint: slot, and number of the complaint of its kind.
    pub fn complaints(&self, at: JointAt) -> Vec<(usize, usize)> {
        let mut found = Vec::new();
        let Some(joint) = self.joint(at) else {
            return found;
        };
        for end in joint.ends.iter().flatten() {
            let Some(part) = self.bike.part(end.slot) else {
                continue;
            };
            let body = self.catalog.body(part.kind);
            for (number, _) in &part.complaints {
                let against = body
                    .complaints
                    .get(*number)
                    .is_some_and(|complaint| complaint.ends.contains(&end.end));
                if against {
                    found.push((end.slot, *number));
                }
            }
        }
        found
    }
}

/// Everything the bike as it stands tells, to a fixed point.
pub fn infer<'a>(
    catalog: &'a Catalog,
    bike: &'a Bike,
    graph: &Graph,
) -> (Known<'a>, Vec<Inference>) {
    let mut known = Known::stated(catalog, bike);
    let mut inferences: Vec<Inference> = Vec::new();
    for _ in 0..MOST_ROUNDS {
        let mut learnt = false;
        for joint in graph.joints() {
            if known.complained(*joint) {
                continue;
            }
            let judgement = judge(
                catalog,
                joint.family,
                &known.cells(*joint),
                Setting::default(),
            );
            for inference in read_back(&known, *joint, &judgement) {
                learnt |= add(&mut known, &mut inferences, inference);
            }
        }
        if !learnt {
            break;
        }
    }
    (known, inferences)
}

/// Adds what was told; true where it says more than was known.
fn add(known: &mut Known<'_>, inferences: &mut Vec<Inference>, told: Inference) -> bool {
    let at = (told.slot, told.dimension);
    let cases = match known.inferred.get(&at) {
        None => told.cases.clone(),
        // Two joints tell of one dimension: both must be right. Where they contradict each other
        // the first stands, and the joint that contradicts it shows up as a finding.
        Some(before) => match before.cases.meet(&told.cases) {
            Some(both) if both != before.cases => both,
            _ => return false,
        },
    };
    let mut from = told.from;
    // What the same joint told before it is part of the chain.
    let before =
        |known: &&Inference| (known.slot, known.dimension) == at && known.joint == told.joint;
    for other in inferences
        .iter()
        .filter(before)
        .flat_map(|known| &known.from)
    {
        if !from.contains(other) {
            from.push(*other);
        }
    }
    let origin = Origin::Inferred(u32::try_from(inferences.len()).unwrap_or(u32::MAX));
    Rc::make_mut(&mut known.inferred).insert(
        at,
        Reading {
            cases: cases.clone(),
            origin,
        },
    );
    inferences.push(Inference {
        cases,
        from,
        ..told
    });
    true
}

/// What a standing joint tells of the dimensions of its ends that nobody stated.
fn read_back(known: &Known<'_>, at: JointAt, judgement: &Judgement) -> Vec<Inference> {
    let mut told: Vec<Inference> = Vec::new();
    let book = known.catalog.book(at.family);
    let standing = judgement
        .runs
        .iter()
        .filter(|run| run.verdict != Verdict::DoesNotFit);
    let left = cases_left(known, at, judgement);
    for (number, run) in standing.enumerate() {
        let mut here: Vec<Inference> = Vec::new();
        for claim in &run.claims {
            let ground = book
                .codes
                .get(usize::from(claim.code))
                .and_then(|code| code.ground);
            if claim.holds != Holds::Open || ground != Some(Ground::CannotJoin) {
                continue;
            }
            for inference in turns(known, at, claim, !book.bridges.is_empty()) {
                meet(&mut here, inference);
            }
        }
        // Over several cases only what every case tells is told, and as widely as any of them.
        if number == 0 {
            told = here;
            continue;
        }
        told.retain(|before| {
            here.iter()
                .any(|now| (now.slot, now.dimension) == (before.slot, before.dimension))
        });
        for before in &mut told {
            for now in here
                .iter()
                .filter(|now| (now.slot, now.dimension) == (before.slot, before.dimension))
            {
                before.cases.join(&now.cases);
            }
        }
    }
    for inference in left {
        meet(&mut told, inference);
    }
    // What may be anything is told nothing, and must not stand where the page says what is usual.
    told.retain(|inference| !is_anything(known.catalog, &inference.cases));
    told
}

/// True where a reading leaves out no number, or no name of its list.
fn is_anything(catalog: &Catalog, cases: &Cases) -> bool {
    match cases {
        Cases::Numbers(spans) => spans.contains(&Span::ALL),
        Cases::Names(labels) => labels.first().is_some_and(|label| {
            let list = usize::from(label.list);
            let names = catalog.lists().get(list).map(|names| names.labels(list));
            names.is_some_and(|names| names.iter().all(|name| labels.contains(name)))
        }),
    }
}

/// What is left of an either-or that nobody stated, without the cases with which the joint could
/// not stand at all.
fn cases_left(known: &Known<'_>, at: JointAt, judgement: &Judgement) -> Vec<Inference> {
    let book = known.catalog.book(at.family);
    let fails = |claim: &&Claim| {
        let code = book.codes.get(usize::from(claim.code));
        let ground = claim.ground.or_else(|| code.and_then(|code| code.ground));
        claim.holds == Holds::No && ground == Some(Ground::CannotJoin)
    };
    let (out, stand): (Vec<&Run>, Vec<&Run>) = judgement
        .runs
        .iter()
        .partition(|run| run.claims.iter().any(|claim| fails(&claim)));
    if out.is_empty() || stand.is_empty() {
        return Vec::new();
    }
    let mut found: Vec<Inference> = Vec::new();
    for (field, case) in stand.iter().flat_map(|run| &run.cases) {
        let Some((slot, dimension)) = known.dimension(at, *field) else {
            continue;
        };
        let part = known.bike.part(slot);
        let own = part.and_then(|part| part.entries.get(dimension));
        if own.is_none_or(|entry| !entry.is_unknown()) {
            continue;
        }
        if let Some(before) = found
            .iter_mut()
            .find(|told| (told.slot, told.dimension) == (slot, dimension))
        {
            before.cases.join(case);
            continue;
        }
        let terms = out.iter().flat_map(|run| &run.claims).filter(fails);
        let others = terms.flat_map(|claim| &claim.terms);
        let from = others.filter_map(|term| known.dimension(at, term.field));
        let mut from: Vec<_> = from.filter(|other| *other != (slot, dimension)).collect();
        from.sort_unstable();
        from.dedup();
        found.push(Inference {
            slot,
            dimension,
            joint: at,
            from,
            cases: case.clone(),
            unless_bridged: !book.bridges.is_empty(),
        });
    }
    found
}

fn turns(known: &Known<'_>, at: JointAt, claim: &Claim, bridged: bool) -> Vec<Inference> {
    let mut found = Vec::new();
    for turn in &claim.turns {
        let (Some(may), Some((slot, dimension))) = (&turn.may, known.dimension(at, turn.field))
        else {
            continue;
        };
        let own = known
            .bike
            .part(slot)
            .and_then(|part| part.entries.get(dimension));
        if own.is_none_or(|entry| !entry.is_unknown()) {
            continue;
        }
        let others = claim.terms.iter().filter(|term| term.field != turn.field);
        let from = others
            .filter_map(|term| known.dimension(at, term.field))
            .collect();
        found.push(Inference {
            slot,
            dimension,
            joint: at,
            from,
            cases: may.clone(),
            unless_bridged: bridged,
        });
    }
    found
}

fn meet(list: &mut Vec<Inference>, told: Inference) {
    match list
        .iter_mut()
        .find(|known| (known.slot, known.dimension) == (told.slot, told.dimension))
    {
        None => list.push(told),
        Some(known) => {
            if let Some(both) = known.cases.meet(&told.cases) {
                known.cases = both;
                for from in told.from {
                    if !known.from.contains(&from) {
                        known.from.push(from);
                    }
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Cases, Catalog, Span, is_anything};

    #[test]
    fn what_leaves_nothing_out_tells_nothing() {
        let catalog = Catalog::compiled();
        let numbers = |spans: &[Span]| Cases::Numbers(spans.to_vec());
        assert!(is_anything(
            &catalog,
            &numbers(&[Span::exactly(3), Span::ALL])
        ));
        assert!(!is_anything(&catalog, &numbers(&[Span::at_most(3)])));
        let list = catalog.list_named("brake_mount").unwrap_or(usize::MAX);
        let mut names = catalog
            .lists()
            .get(list)
            .map_or(Vec::new(), |names| names.labels(list));
        assert!(names.len() > 1 && is_anything(&catalog, &Cases::Names(names.clone())));
        names.pop();
        assert!(!is_anything(&catalog, &Cases::Names(names)));
    }
}
