//! Does every joint fit, with this swap set on this bike?

use std::collections::BTreeMap;
use std::rc::Rc;

use super::case::Case;
use super::infer::{Conflict, Inference};
use super::judge::{About, Judgement, Setting, about, judge};
use super::known::Known;
use super::mended::{in_cases, split};
use super::refused::refused;
use super::remedy::{Remedies, remedies};
use super::renewed::{Renewed, of_the_piece, stands_again, wears};
use super::single::{Single, singles};
use super::unjudged::{Unjudged, unjudged};
use crate::bike::{Bike, Graph, JointAt, Swap};
use crate::catalog::Catalog;
use crate::dim::{Cases, Origin, Quantity, Reading, Span};
use crate::verdict::{FactId, Field, Grade, Ground, Holds, Verdict};

/// How a check is made.
#[derive(Clone, Copy, Debug, Default)]
pub struct Options {
    /// Figures from memory count as unknown.
    pub strict: bool,
}

/// A dimension that decides and is not known.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Question {
    /// The slot of the part.
    pub slot: usize,
    /// The dimension of its kind.
    pub dimension: usize,
    /// The readings with which the joint fits, where they can be named.
    pub fits_if: Option<Cases>,
}

/// What is said of one joint.
#[derive(Clone, Debug)]
pub struct Finding {
    /// The joint.
    pub at: JointAt,
    /// The verdict on the ends as they are.
    pub plain: Verdict,
    /// The verdict with the adaptors that mend it.
    pub outcome: Verdict,
    /// The argument.
    pub judgement: Judgement,
    /// True where the swap set does not touch it.
    pub standing: bool,
    /// What must be measured.
    pub questions: Vec<Question>,
    /// What would mend it.
    pub remedies: Remedies,
    /// The complaints against it: slot and number of the complaint.
    pub complaints: Vec<(usize, usize)>,
    /// The weakest grade of what decides.
    pub grade: Option<Grade>,
    /// The inferences it rests on.
    pub rests_on: Vec<usize>,
    /// The figures that are told, as they were before the swap: the number of the code, and what it
    /// came to.
    pub before: Vec<(u8, Option<(Quantity, Span)>)>,
}

impl Finding {
    /// What a judgement comes to by itself.
    fn of(at: JointAt, judgement: Judgement) -> Finding {
        Finding {
            at,
            plain: judgement.verdict,
            outcome: judgement.verdict,
            judgement,
            standing: false,
            questions: Vec::new(),
            remedies: Remedies::default(),
            complaints: Vec::new(),
            grade: None,
            rests_on: Vec::new(),
            before: Vec::new(),
        }
    }

    /// A joint that fits, without its argument.
    pub(super) fn fits(at: JointAt) -> Finding {
        let judgement = Judgement {
            verdict: Verdict::Fits,
            ..Judgement::default()
        };
        Finding::of(at, judgement)
    }
}

/// A stated and a measured value of one dimension that cannot both be right.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Disagreement {
    /// The slot.
    pub slot: usize,
    /// The dimension.
    pub dimension: usize,
}

/// Everything that is said of a bike with a swap set.
#[derive(Debug)]
pub struct Check {
    /// The bike as it would be.
    pub bike: Bike,
    /// The verdict over all of it.
    pub verdict: Verdict,
    /// What is worth saying, joint by joint.
    pub findings: Vec<Finding>,
    /// The joints the swap set touches that simply fit.
    pub quiet: Vec<Finding>,
    /// The joints the swap set does not touch, that stand as they stood, and what is said of each
    /// by what is stated alone.
    pub standing: Vec<(JointAt, Verdict)>,
    /// Where several joints do not fit: the one change that settles most of them.
    pub singles: Vec<Single>,
    /// What nothing judges.
    pub unjudged: Vec<Unjudged>,
    /// Where stated and measured values disagree.
    pub disagreements: Vec<Disagreement>,
    /// Where what the bike as it stood told contradicts itself.
    pub conflicts: Vec<Conflict>,
    /// The joints the swap set touches that could not have stood as the bike is described.
    pub unsound: Vec<JointAt>,
    /// The new parts that are the same as those that were fitted, and those that were said to be.
    pub renewed: Renewed,
    /// What the bike as it stood told.
    pub inferences: Vec<Inference>,
    /// What of that still stands: slot and dimension, and the reading.
    pub inferred: Rc<BTreeMap<(usize, usize), Reading>>,
}

/// Checks a swap set on a bike; without one, the bike as it is described.
pub fn check(catalog: &Catalog, bike: &Bike, swap: Option<&Swap>, options: Options) -> Check {
    let mut check = judged(catalog, bike, swap, options);
    if let Some(swap) = swap {
        check.singles = singles(catalog, bike, swap, options, &check);
    }
    check
}

/// The same without a look for the one change that settles most, which takes many times as long.
pub fn judged(catalog: &Catalog, bike: &Bike, swap: Option<&Swap>, options: Options) -> Check {
    let case = Case::new(catalog, bike, swap, options);
    let known = case.known();
    let (after, touched) = (&case.after, &case.touched);
    let mut check = Check {
        bike: after.clone(),
        verdict: Verdict::Fits,
        findings: Vec::new(),
        quiet: Vec::new(),
        standing: Vec::new(),
        singles: Vec::new(),
        unjudged: Vec::new(),
        disagreements: disagreements(after),
        conflicts: case.conflicts.clone(),
        unsound: case.unsound(bike),
        renewed: case.renewed.clone(),
        inferences: case.inferences.clone(),
        inferred: Rc::clone(&case.inferred),
    };
    let mut proved = false;
    for at in case.graph.joints() {
        let finding = case.finding(after, *at);
        if finding.standing && finding.plain != Verdict::DoesNotFit && finding.complaints.is_empty()
        {
            // A rule that compared nothing says nothing of the joint.
            let mut claims = finding.judgement.claims().iter();
            let compared = claims.any(|claim| !claim.told);
            let stated = match finding.plain {
                plain if compared => plain,
                plain => plain.and(Verdict::MeasureFirst),
            };
            proved |= stated <= Verdict::FitsWith;
            check.standing.push((*at, stated));
            continue;
        }
        // A complaint about a joint that the swap set leaves alone is told, and is not the swap
        // set's affair.
        let apart = finding.standing && !finding.complaints.is_empty() && swap.is_some();
        if !apart || finding.outcome == Verdict::DoesNotFit {
            check.verdict = check.verdict.and(finding.outcome);
        }
        let figures = finding.judgement.claims().iter().any(|claim| claim.told);
        if finding.outcome == Verdict::Fits && !figures {
            check.quiet.push(finding);
        } else {
            check.findings.push(finding);
        }
    }
    check.unjudged = unjudged(&case.told, &case.graph, after, touched, &case.renewed.same);
    for finding in refused(&case, &mut check.unjudged) {
        check.verdict = Verdict::DoesNotFit;
        check.findings.push(finding);
    }
    if check.unjudged.iter().any(|unjudged| unjudged.vital) {
        check.verdict = check.verdict.and(Verdict::MeasureFirst);
    }
    // A page on which no two parts meet says nothing, and nothing is no fit.
    if swap.is_none() && check.findings.is_empty() && !proved {
        check.verdict = Verdict::MeasureFirst;
    }
    // Parts that tell of each other what cannot be are not as described.
    if swap.is_none() && !check.conflicts.is_empty() {
        check.verdict = check.verdict.and(Verdict::MeasureFirst);
    }
    // A swap set without a line changes nothing, and nothing was judged of it.
    if swap.is_some() && touched.is_empty() {
        check.verdict = check.verdict.and(Verdict::MeasureFirst);
    }
    // What was said to be the same and is not, is not as described.
    if !check.renewed.other.is_empty() {
        check.verdict = check.verdict.and(Verdict::MeasureFirst);
    }
    // A new part that no rule looks at is not known to fit; figures that are only told judge nothing.
    let judged = |slot: usize| {
        let mut joints = check
            .findings
            .iter()
            .chain(&check.quiet)
            .filter(|finding| !finding.standing);
        joints.any(|finding| {
            let claims = finding.judgement.claims();
            let only_told = !claims.is_empty() && claims.iter().all(|claim| claim.told);
            !only_told && joined(&known, finding.at, slot)
        })
    };
    if touched
        .iter()
        .any(|slot| after.part(*slot).is_some() && !judged(*slot))
    {
        check.verdict = check.verdict.and(Verdict::MeasureFirst);
    }
    check.findings.sort_by_key(|finding| {
        (
            std::cmp::Reverse(finding.outcome),
            finding.standing,
            finding.at,
        )
    });
    check
}

fn joined(known: &Known<'_>, at: JointAt, slot: usize) -> bool {
    known
        .joint(at)
        .is_some_and(|joint| joint.ends.iter().flatten().any(|end| end.slot == slot))
}

/// What a joint proved by standing, and what was changed since.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Before<'a> {
    /// What it said without saying no.
    pub stood: &'a [About],
    /// The slots that were touched.
    pub touched: &'a [usize],
    /// Of those the ones whose new part is the same as the one that was fitted.
    pub same: &'a [usize],
    /// What it left open.
    pub open: &'a [About],
    /// The dimensions, each with its slot, of which the new part says what the old one said.
    pub alike: &'a [(usize, usize)],
}

/// Judges one joint, with questions and remedies. `before` is what the joint proved by standing, and
/// the slots that were touched since.
pub(super) fn joint(
    known: &Known<'_>,
    at: JointAt,
    setting: Setting,
    before: Option<Before<'_>>,
) -> Finding {
    let mut judgement = judge(known.catalog, at.family, &known.cells(at), setting);
    if let Some(before) = before {
        let again = stands_again(known, at, before);
        judgement.without_standing(|claim| {
            let mut terms = claim
                .terms
                .iter()
                .filter_map(|term| known.dimension(at, term.field));
            let stays = |(slot, dimension): (usize, usize)| {
                !before.touched.contains(&slot)
                    || !known.unsafe_where(at, claim)
                        && !of_the_piece(known.catalog, known.bike, slot, dimension)
                        && (again && before.same.contains(&slot)
                            || before.open.contains(&about(claim))
                                && before.alike.contains(&(slot, dimension))
                                && !wears(known, at, slot))
            };
            terms.all(stays) && before.stood.contains(&about(claim))
        });
    }
    if !known.bike.looks.is_empty() {
        judgement.looked(|claim| Some(known.look(at, Some(claim.code))?.holds));
    }
    let plain = judgement.verdict;
    let mut finding = Finding::of(at, judgement);
    if !setting.brief {
        finding.grade = grade(known.catalog, &finding.judgement);
    }
    match plain {
        Verdict::MeasureFirst => {
            finding.questions = questions(known, at, &finding.judgement);
            if !setting.brief && known.bike.looks.is_empty() {
                super::hints::checked(known, &mut finding, setting);
            }
        }
        Verdict::DoesNotFit => {
            finding.remedies = remedies(known, at, &finding.judgement, setting);
            if let Some(mended) = finding.remedies.with_inserts {
                finding.outcome = mended;
                let facts = finding
                    .remedies
                    .inserts
                    .iter()
                    .filter_map(|insert| insert.need.fact);
                let grades = facts
                    .filter_map(|fact| known.catalog.fact(fact))
                    .map(|fact| fact.grade);
                finding.grade = finding.grade.into_iter().chain(grades).max();
            } else if !finding.remedies.in_cases.is_empty() {
                in_cases(known, at, &mut finding);
            }
        }
        Verdict::Fits | Verdict::FitsWith => {}
    }
    if !setting.brief {
        finding.rests_on = rests_on(known, at, &finding.judgement, setting);
    }
    complained(known, at, &mut finding);
    finding
}

/// What the joint proved by standing: the same part of the bike beside another mate may be asked
/// something it was never asked before, and a joint that did not stand, or that somebody complained
/// of, proves nothing.
pub(super) fn stood(before: &Known<'_>, at: JointAt) -> Vec<About> {
    as_it_stood(before, at).said()
}

/// What it left open as it stood.
pub(super) fn open(before: &Known<'_>, at: JointAt) -> Vec<About> {
    as_it_stood(before, at).open()
}

fn as_it_stood(before: &Known<'_>, at: JointAt) -> Judgement {
    if !before.stands(at) || before.complained(at) {
        return Judgement::default();
    }
    let cells = before.cells(at);
    judge(before.catalog, at.family, &cells, Setting::default())
}

/// The figures the joint told before, whichever part played its ends.
pub(super) fn told_before(
    before: &Known<'_>,
    graph: &Graph,
    at: JointAt,
) -> Vec<(u8, Option<(Quantity, Span)>)> {
    let title = |at: JointAt| before.joint(at).map(|joint| &joint.title);
    let same = |other: &&JointAt| other.family == at.family && title(**other) == title(at);
    let Some(stood) = graph.joints().iter().find(same) else {
        return Vec::new();
    };
    let cells = before.cells(*stood);
    let judgement = judge(before.catalog, at.family, &cells, Setting::default());
    let told = judgement.claims().iter().filter(|claim| claim.told);
    told.map(|claim| (claim.code, claim.value)).collect()
}

/// A complaint about a part is evidence against its joint: whatever the figures say, it must be
/// looked into first.
fn complained(known: &Known<'_>, at: JointAt, finding: &mut Finding) {
    finding.complaints = known.complaints(at);
    if finding.complaints.is_empty() {
        return;
    }
    match known.look(at, None).map(|look| look.holds) {
        Some(true) => return finding.complaints.clear(),
        Some(false) => {
            finding.plain = Verdict::DoesNotFit;
            finding.outcome = Verdict::DoesNotFit;
            return;
        }
        None => {}
    }
    // What an adaptor would mend by the figures is not mended before somebody has looked.
    if finding.plain == Verdict::DoesNotFit {
        finding.outcome = finding.outcome.and(Verdict::MeasureFirst);
        return;
    }
    if finding.plain != Verdict::MeasureFirst {
        finding.questions = questions(known, at, &finding.judgement);
    }
    finding.plain = Verdict::MeasureFirst;
    finding.outcome = Verdict::MeasureFirst;
}

/// A joint nobody touches, by what is stated alone: worth a word where it cannot be as described,
/// or where somebody complains of it.
pub(super) fn standing(stated: &Known<'_>, at: JointAt, setting: Setting) -> Finding {
    let brief = Setting {
        brief: true,
        ..setting
    };
    let mut finding = joint(stated, at, brief, None);
    let told = finding.plain == Verdict::DoesNotFit || !finding.complaints.is_empty();
    if told && !setting.brief {
        finding = joint(stated, at, setting, None);
    }
    finding.standing = true;
    finding
}

/// The dimensions that decide a joint and are not known well enough.
fn questions(known: &Known<'_>, at: JointAt, judgement: &Judgement) -> Vec<Question> {
    let mut found = split(known, at, judgement);
    let cells = known.cells(at);
    let Some(run) = judgement.main() else {
        return found;
    };
    for claim in run.claims.iter().filter(|claim| claim.holds == Holds::Open) {
        // Where something is wholly unknown, that is asked; a reading that is only too wide is
        // asked for where nothing else is.
        let blank = |field: Field| {
            cells.get(field).is_none() && !run.implied.iter().any(|(known, _)| *known == field)
        };
        let asked = |field: Field| {
            let slot = known.dimension(at, field).map(|(slot, _)| slot);
            blank(field) && slot.is_some_and(|slot| known.bike.part(slot).is_some())
        };
        let any_blank = claim.turns.iter().any(|turn| asked(turn.field));
        for turn in &claim.turns {
            if any_blank && !blank(turn.field) {
                continue;
            }
            let implied = run.implied.iter().find(|(field, _)| *field == turn.field);
            let reading = cells
                .get(turn.field)
                .or(implied.map(|(_, reading)| reading));
            let exact = match reading.map(|reading| &reading.cases) {
                Some(Cases::Numbers(spans)) => {
                    spans.len() == 1 && spans.iter().all(|span| span.is_exact())
                }
                Some(Cases::Names(labels)) => labels.len() == 1,
                None => false,
            };
            if exact {
                continue;
            }
            // Nobody is asked about a part that is not there.
            let there = |(slot, _): &(usize, usize)| known.bike.part(*slot).is_some();
            let Some((slot, dimension)) = known.dimension(at, turn.field).filter(there) else {
                continue;
            };
            if judgement
                .split
                .iter()
                .any(|(field, _)| *field == turn.field)
            {
                continue;
            }
            match found
                .iter_mut()
                .find(|known| (known.slot, known.dimension) == (slot, dimension))
            {
                Some(question) => {
                    question.fits_if = match (&question.fits_if, &turn.sure) {
                        (Some(a), Some(b)) => a.meet(b),
                        (a, b) => a.clone().or_else(|| b.clone()),
                    };
                }
                None => found.push(Question {
                    slot,
                    dimension,
                    fits_if: turn.sure.clone(),
                }),
            }
        }
    }
    // What fits with any reading such a part can have is not asked for.
    let matters = |question: &Question| {
        let kind = known
            .catalog
            .slots()
            .get(question.slot)
            .map_or(usize::MAX, |slot| slot.kind);
        let dimension = known.catalog.body(kind).dimensions.get(question.dimension);
        match (&question.fits_if, dimension) {
            (Some(Cases::Numbers(spans)), Some(dimension)) => {
                !spans.iter().any(|span| span.holds(dimension.range))
            }
            _ => true,
        }
    };
    if found.iter().any(matters) {
        found.retain(matters);
    }
    found
}

/// The weakest grade of the facts the verdict rests on.
fn grade(catalog: &Catalog, judgement: &Judgement) -> Option<Grade> {
    let run = judgement.main()?;
    let weight = |claim: &&crate::verdict::Claim| match judgement.verdict {
        Verdict::DoesNotFit => claim.holds == Holds::No,
        Verdict::MeasureFirst => claim.holds == Holds::Open,
        Verdict::Fits | Verdict::FitsWith => !claim.told,
    };
    let facts = run.claims.iter().filter(weight).flat_map(|claim| {
        claim
            .row
            .into_iter()
            .chain(claim.bound.and_then(|bound| bound.fact))
            .chain(claim.needs.iter().filter_map(|need| need.fact))
    });
    let implied = run
        .implied
        .iter()
        .filter_map(|(_, reading)| match reading.origin {
            Origin::Catalogue(packed) => Some(FactId::unpacked(packed)),
            _ => None,
        });
    facts
        .chain(implied)
        .filter_map(|fact| catalog.fact(fact))
        .map(|fact| fact.grade)
        .max()
}

/// The inferences behind the readings of a joint: those its claims speak of, and those without which
/// other claims would be made.
fn rests_on(known: &Known<'_>, at: JointAt, judgement: &Judgement, setting: Setting) -> Vec<usize> {
    let cells = known.cells(at);
    let inferred = |field: Field| match cells.get(field)?.origin {
        Origin::Inferred(number) => usize::try_from(number).ok(),
        _ => None,
    };
    let said = |judgement: &Judgement| -> Vec<(u8, Holds)> {
        let claims = judgement.claims().iter();
        claims.map(|claim| (claim.code, claim.holds)).collect()
    };
    let mut now: Option<Vec<(u8, Holds)>> = None;
    let mut numbers: Vec<usize> = Vec::new();
    for (field, _) in known.fields(at) {
        let Some(number) = inferred(field) else {
            continue;
        };
        let mut terms = judgement.claims().iter().flat_map(|claim| &claim.terms);
        let matters = terms.any(|term| term.field == field) || {
            let with = |cells: &_| said(&judge(known.catalog, at.family, cells, setting));
            let mut without = cells.shorter();
            without.set(field, None);
            *now.get_or_insert_with(|| with(&cells)) != with(&without)
        };
        if matters {
            numbers.push(number);
        }
    }
    numbers.sort_unstable();
    numbers.dedup();
    numbers
}

fn disagreements(bike: &Bike) -> Vec<Disagreement> {
    let mut found = Vec::new();
    for (slot, part) in bike.parts.iter().enumerate() {
        for (dimension, entry) in part.iter().flat_map(|part| part.entries.iter().enumerate()) {
            if entry.disagrees {
                found.push(Disagreement { slot, dimension });
            }
        }
    }
    found
}

/// The grounds on which a judgement says no.
pub fn grounds(catalog: &Catalog, at: JointAt, judgement: &Judgement) -> Vec<Ground> {
    let book = catalog.book(at.family);
    let mut grounds: Vec<Ground> = judgement
        .claims()
        .iter()
        .filter(|claim| claim.holds == Holds::No)
        .filter_map(|claim| {
            claim
                .ground
                .or_else(|| book.codes.get(usize::from(claim.code))?.ground)
        })
        .collect();
    grounds.sort();
    grounds.dedup();
    grounds
}
