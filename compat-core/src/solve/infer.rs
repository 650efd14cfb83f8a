//! The bike as it stands is evidence: what is fitted and makes no trouble tells what its mates are.
//!
//! An inference is a comparison read backwards. The joint stands, so every claim whose failure
//! would mean that the parts cannot be joined must hold; where one dimension of it is not known,
//! only the readings with which it may hold are left. Ratings tell nothing: people exceed them.

use std::collections::BTreeSet;
use std::rc::Rc;

use super::judge::{Judgement, Run, Setting, judge, quick};
use super::known::Known;
use crate::bike::{Bike, Graph, JointAt};
use crate::catalog::{Catalog, Joint};
use crate::dim::{Cases, Origin, Quantity, Reading, Span};
use crate::verdict::{Claim, Field, Ground, Holds, Verdict};

/// How often the joints are gone through again; each round can carry what is known one joint on.
const MOST_ROUNDS: usize = 32;

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

/// Evidence that contradicts itself: what told of one dimension, of which not all can be right.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Conflict {
    /// The slot of the part it is about.
    pub slot: usize,
    /// The dimension of its kind.
    pub dimension: usize,
    /// What told of it.
    pub told: Vec<Inference>,
    /// The joint that could not stand with what was told, where no two tellings of the one dimension
    /// contradict each other.
    pub joint: Option<JointAt>,
}

/// What the bike as it stands tells.
#[derive(Clone, Debug)]
pub struct Told<'a> {
    /// What is known with it.
    pub known: Known<'a>,
    /// What was told, each after what it was told by.
    pub inferences: Vec<Inference>,
    /// Where the evidence contradicts itself. Of such a dimension nothing is taken as told.
    pub conflicts: Vec<Conflict>,
}

/// Everything the bike as it stands tells, to a fixed point.
pub fn infer<'a>(catalog: &'a Catalog, bike: &'a Bike, graph: &Graph, strict: bool) -> Told<'a> {
    infer_over(catalog, bike, graph.joints(), strict)
}

/// The same over these joints, in whatever order they stand.
pub fn infer_over<'a>(
    catalog: &'a Catalog,
    bike: &'a Bike,
    joints: &[JointAt],
    strict: bool,
) -> Told<'a> {
    let mut joints = joints.to_vec();
    joints.sort_unstable();
    let both = either_way(bike);
    let mut conflicts: Vec<Conflict> = Vec::new();
    loop {
        let mut gathering = Gathering {
            known: Known::stated(catalog, both.as_ref().unwrap_or(bike)),
            inferences: Vec::new(),
            barred: conflicts
                .iter()
                .map(|one| (one.slot, one.dimension))
                .collect(),
            setting: Setting {
                strict,
                brief: false,
            },
        };
        // Each time there is one dimension more of which nothing is taken as told.
        match gathering.run(&joints) {
            found if found.is_empty() => {
                let inferred = gathering.known.inferred;
                return Told {
                    known: Known {
                        inferred,
                        ..Known::stated(catalog, bike)
                    },
                    inferences: gathering.inferences,
                    conflicts,
                };
            }
            found => conflicts.extend(found),
        }
    }
}

/// The same bike with either of two readings where marking and measurement cannot both be right: such a
/// part may be worn, or marked wrongly, and tells of its mate what both would. None where all agree.
fn either_way(bike: &Bike) -> Option<Bike> {
    let entries = bike.parts.iter().flatten().flat_map(|part| &part.entries);
    if !entries.into_iter().any(|entry| entry.disagrees) {
        return None;
    }
    let mut both = bike.clone();
    let parts = both.parts.iter_mut().flatten();
    for entry in parts
        .flat_map(|part| &mut part.entries)
        .filter(|entry| entry.disagrees)
    {
        if let (Some(stated), Some(measured)) = (&entry.stated, &mut entry.measured) {
            measured.cases.join(&stated.cases);
        }
    }
    Some(both)
}

/// What a standing joint tells by itself, with what is known.
pub fn tells(known: &Known<'_>, at: JointAt, strict: bool) -> Vec<Inference> {
    if known.complained(at) {
        return Vec::new();
    }
    let setting = Setting {
        strict,
        brief: false,
    };
    let cells = known.cells(at);
    // A joint that fits whatever its readings are leaves nothing open that could be told.
    if quick(known.catalog, at.family, &cells, setting) <= Verdict::FitsWith {
        return Vec::new();
    }
    let judgement = judge(known.catalog, at.family, &cells, setting);
    read_back(known, at, &judgement)
}

/// The gathering of what the joints tell.
struct Gathering<'a> {
    known: Known<'a>,
    inferences: Vec<Inference>,
    barred: BTreeSet<(usize, usize)>,
    setting: Setting,
}

impl Gathering<'_> {
    /// Asks the joints again and again until none tells anything more. All joints of a round are asked
    /// with what was known before it, so that their order tells nothing.
    fn run(&mut self, joints: &[JointAt]) -> Vec<Conflict> {
        let mut news: Option<BTreeSet<usize>> = None;
        for _ in 0..MOST_ROUNDS {
            let mut told: Vec<Inference> = Vec::new();
            for joint in joints
                .iter()
                .filter(|joint| !self.known.complained(**joint))
            {
                let mut slots = self
                    .known
                    .joint(*joint)
                    .into_iter()
                    .flat_map(Joint::hangs_on);
                if news
                    .as_ref()
                    .is_some_and(|news| !slots.any(|slot| news.contains(&slot)))
                {
                    continue;
                }
                told.extend(tells(&self.known, *joint, self.setting.strict));
            }
            told.retain(|one| !self.barred.contains(&(one.slot, one.dimension)));
            told.sort_by_key(|one| (one.slot, one.dimension, one.joint));
            let mut learnt = BTreeSet::new();
            let mut conflicts = Vec::new();
            let same =
                |a: &Inference, b: &Inference| (a.slot, a.dimension) == (b.slot, b.dimension);
            for told in told.chunk_by(same) {
                match self.take(told) {
                    Ok(Some(slot)) => drop(learnt.insert(slot)),
                    Ok(None) => {}
                    Err(conflict) => conflicts.push(conflict),
                }
            }
            if !conflicts.is_empty() {
                return conflicts;
            }
            if learnt.is_empty() {
                break;
            }
            news = Some(learnt);
        }
        self.broken(joints)
    }

    /// Takes what several joints tell of one dimension; the slot, where that is more than was known.
    fn take(&mut self, told: &[Inference]) -> Result<Option<usize>, Conflict> {
        let Some(first) = told.first() else {
            return Ok(None);
        };
        let at = (first.slot, first.dimension);
        let mut known = self
            .known
            .inferred
            .get(&at)
            .map(|known| known.cases.clone());
        let mut more = false;
        for one in told {
            let both = match &known {
                None => Some(one.cases.clone()),
                Some(known) => known.meet(&one.cases),
            };
            let Some(both) = both else {
                let before = self
                    .inferences
                    .iter()
                    .filter(|one| (one.slot, one.dimension) == at);
                let mut all: Vec<Inference> = before.cloned().collect();
                all.extend(
                    told.iter()
                        .filter(|one| !all.contains(one))
                        .cloned()
                        .collect::<Vec<_>>(),
                );
                let (slot, dimension) = at;
                return Err(Conflict {
                    slot,
                    dimension,
                    told: all,
                    joint: None,
                });
            };
            if known.as_ref() != Some(&both) {
                more = true;
                self.note(one, &both);
            }
            known = Some(both);
        }
        Ok(more.then_some(first.slot))
    }

    /// Writes down that something was told, and what it comes to with what was told before.
    fn note(&mut self, told: &Inference, cases: &Cases) {
        let mut one = Inference {
            cases: cases.clone(),
            ..told.clone()
        };
        // What the same joint told before it is part of the chain.
        let before = self.inferences.iter().filter(|before| {
            (before.slot, before.dimension, before.joint) == (one.slot, one.dimension, one.joint)
        });
        for other in before.flat_map(|before| &before.from) {
            if !one.from.contains(other) {
                one.from.push(*other);
            }
        }
        let number = u32::try_from(self.inferences.len()).unwrap_or(u32::MAX);
        let reading = Reading {
            cases: cases.clone(),
            origin: Origin::Inferred(number),
        };
        Rc::make_mut(&mut self.known.inferred).insert((one.slot, one.dimension), reading);
        self.inferences.push(one);
    }

    /// The joints that stand on the bike and could not with what was told.
    fn broken(&self, joints: &[JointAt]) -> Vec<Conflict> {
        let stated = Known::stated(self.known.catalog, self.known.bike);
        let mut found: Vec<Conflict> = Vec::new();
        for joint in joints
            .iter()
            .filter(|joint| !self.known.complained(**joint))
        {
            let cells = self.known.cells(*joint);
            // One that stands in any of its cases is not broken.
            let verdict = quick(self.known.catalog, joint.family, &cells, self.setting);
            if verdict != Verdict::DoesNotFit {
                continue;
            }
            let told = |field: &Field| {
                let reading = cells.get(*field);
                reading.is_some_and(|reading| matches!(reading.origin, Origin::Inferred(_)))
            };
            let judgement = judge(self.known.catalog, joint.family, &cells, self.setting);
            let stands = |run: &Run| {
                !run.claims
                    .iter()
                    .any(|claim| self.known.fails(*joint, claim))
            };
            if judgement.runs.is_empty() || judgement.runs.iter().any(stands) {
                continue;
            }
            // What cannot stand as it is written down is a finding of its own.
            let plain = judge(
                self.known.catalog,
                joint.family,
                &stated.cells(*joint),
                self.setting,
            );
            if !plain.runs.iter().any(stands) {
                continue;
            }
            let claims = judgement.runs.iter().flat_map(|run| &run.claims);
            let failing = claims.filter(|claim| self.known.fails(*joint, claim));
            let fields = failing.flat_map(|claim| claim.terms.iter().map(|term| term.field));
            for field in fields.filter(told) {
                let Some((slot, dimension)) = self.known.dimension(*joint, field) else {
                    continue;
                };
                let known = |one: &Conflict| (one.slot, one.dimension) == (slot, dimension);
                if found.iter().any(known) {
                    continue;
                }
                let all = self.inferences.iter();
                let told = all.filter(|one| (one.slot, one.dimension) == (slot, dimension));
                let (told, joint) = (told.cloned().collect(), Some(*joint));
                found.push(Conflict {
                    slot,
                    dimension,
                    told,
                    joint,
                });
            }
        }
        found
    }
}

/// What a standing joint tells of the dimensions of its ends that nobody stated.
fn read_back(known: &Known<'_>, at: JointAt, judgement: &Judgement) -> Vec<Inference> {
    let mut told: Vec<Inference> = Vec::new();
    let book = known.catalog.book(at.family);
    // A rating that is exceeded does not undo that the parts are joined.
    let standing = judgement.runs.iter().filter(|run| {
        let mut claims = run.claims.iter();
        !claims.any(|claim| known.fails(at, claim))
    });
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
            for inference in turns(known, at, run, claim) {
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
    // What only the page's usual figures tell, nobody told.
    told.retain(|inference| !inference.from.is_empty());
    told
}

/// What is behind a field of a joint: itself, where it is stated or inferred; what the page's usual
/// figure hangs on, where it gives one.
fn behind(known: &Known<'_>, at: JointAt, run: &Run, field: Field, seen: &mut Vec<Field>) {
    if seen.contains(&field) {
        return;
    }
    seen.push(field);
    if !run.implied.iter().any(|(given, _)| *given == field) {
        return;
    }
    let rows = known.catalog.book(at.family).implied.iter();
    let rows = rows.filter(|row| row.gives.iter().any(|(given, _)| *given == field));
    for (hangs_on, _) in rows.flat_map(|row| &row.when) {
        behind(known, at, run, *hangs_on, seen);
    }
}

/// The dimensions that told something, of those behind these fields.
fn told_by(
    known: &Known<'_>,
    at: JointAt,
    run: &Run,
    fields: impl Iterator<Item = Field>,
    about: (usize, usize),
) -> Vec<(usize, usize)> {
    let mut seen = Vec::new();
    for field in fields {
        behind(known, at, run, field, &mut seen);
    }
    let is_known = |(slot, dimension): &(usize, usize)| known.reading(*slot, *dimension).is_some();
    let of = |field: &Field| {
        let found = known.dimension(at, *field);
        found.filter(|other| *other != about && is_known(other))
    };
    let mut from: Vec<_> = seen.iter().filter_map(of).collect();
    // A rule that only asks this where others stand has its evidence in those.
    if from.is_empty() {
        let all = known.fields(at);
        let names = all
            .iter()
            .filter(|(_, quantity)| *quantity == Quantity::Name);
        from = names.filter_map(|(field, _)| of(field)).collect();
        if from.is_empty() {
            from = all.iter().filter_map(|(field, _)| of(field)).collect();
        }
    }
    from.sort_unstable();
    from.dedup();
    from
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
    let fails = |claim: &&Claim| known.fails(at, claim);
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
        let mut from: Vec<(usize, usize)> = Vec::new();
        for run in &out {
            let terms = run
                .claims
                .iter()
                .filter(fails)
                .flat_map(|claim| &claim.terms);
            let fields = terms.map(|term| term.field).chain([*field]);
            from.extend(told_by(known, at, run, fields, (slot, dimension)));
        }
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

fn turns(known: &Known<'_>, at: JointAt, run: &Run, claim: &Claim) -> Vec<Inference> {
    let bridged = !known.catalog.book(at.family).bridges.is_empty();
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
        let fields = claim.terms.iter().map(|term| term.field);
        let from = told_by(known, at, run, fields, (slot, dimension));
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
