//! Running a family's rule over a joint, case by case where something is one thing or another.

use std::borrow::Cow;

use smallvec::SmallVec;

use crate::catalog::{Book, Catalog, Implied};
use crate::dim::{Cases, Origin, Reading, Span, show_span};
use crate::joints::{Argument, Cells, FAMILIES, Family, Silent, Why};
use crate::verdict::{Claim, Field, Holds, Need, Verdict};

/// The most either-or cases of one joint that are told apart; beyond it the answer is to measure.
const MOST_CASES: usize = 256;

/// How a joint is judged.
#[derive(Clone, Copy, Debug, Default)]
pub struct Setting {
    /// Figures from memory count as unknown.
    pub strict: bool,
    /// What would fit instead, grades and evidence are not looked for; adaptors are.
    pub brief: bool,
}

/// One run of the rule: the cases it was run with, and what came out.
#[derive(Clone, Debug)]
pub struct Run {
    /// The either-or dimensions, and which case was taken.
    pub cases: Vec<(Field, Cases)>,
    /// What came out.
    pub verdict: Verdict,
    /// The argument.
    pub claims: Vec<Claim>,
    /// What the catalogue said of the names that stand there.
    pub implied: Vec<(Field, Reading)>,
}

impl Run {
    /// Works out the verdict anew from the claims.
    fn settle(&mut self) {
        let said = self.claims.iter().filter(|claim| !claim.told);
        let said = said.map(|claim| match claim.holds {
            Holds::No => Verdict::DoesNotFit,
            Holds::Open => Verdict::MeasureFirst,
            Holds::Yes if claim.needs.is_empty() && !claim.mended => Verdict::Fits,
            Holds::Yes => Verdict::FitsWith,
        });
        self.verdict = said.fold(Verdict::Fits, Verdict::and);
    }
}

/// What a joint comes to.
#[derive(Clone, Debug, Default)]
pub struct Judgement {
    /// The verdict over all cases.
    pub verdict: Verdict,
    /// Every run.
    pub runs: Vec<Run>,
    /// The either-or dimensions that decide, with the cases with which it fits.
    pub split: Vec<(Field, Option<Cases>)>,
}

impl Judgement {
    /// The run whose argument stands for the whole: the first with the verdict, else the first.
    pub fn main(&self) -> Option<&Run> {
        self.runs
            .iter()
            .find(|run| run.verdict == self.verdict)
            .or(self.runs.first())
    }

    /// The claims of the run that stands for the whole.
    pub fn claims(&self) -> &[Claim] {
        self.main().map_or(&[], |run| &run.claims)
    }

    /// What every run says without saying no: each claim's code and the dimensions it is about.
    pub(super) fn said(&self) -> Vec<About> {
        let said = |run: &Run| -> Vec<About> {
            let kept = run.claims.iter();
            kept.filter(|claim| !claim.told && claim.holds != Holds::No)
                .map(about)
                .collect()
        };
        let mut all = self.runs.first().map(said).unwrap_or_default();
        for run in &self.runs {
            let here = said(run);
            all.retain(|claim| here.contains(claim));
        }
        all
    }

    /// Of what every run says without saying no, what some run leaves open.
    pub(super) fn open(&self) -> Vec<About> {
        let claims = self.runs.iter().flat_map(|run| &run.claims);
        let open = claims.filter(|claim| claim.holds == Holds::Open);
        let open: Vec<About> = open.map(about).collect();
        let mut all = self.said();
        all.retain(|about| open.contains(about));
        all
    }

    /// The same judgement with the open claims left out that are about nothing but what stays as it
    /// was: those stand as they stood.
    pub(super) fn without_standing(&mut self, stays: impl Fn(&Claim) -> bool) {
        if self.verdict != Verdict::MeasureFirst || self.runs.len() >= MOST_CASES {
            return;
        }
        for run in &mut self.runs {
            run.claims
                .retain(|claim| claim.holds != Holds::Open || !stays(claim));
            run.settle();
        }
        self.settle();
    }

    /// The same judgement with the open claims settled that somebody has looked at.
    pub(super) fn looked(&mut self, saw: impl Fn(&Claim) -> Option<bool>) {
        if self.runs.len() >= MOST_CASES {
            return;
        }
        for run in &mut self.runs {
            for claim in run
                .claims
                .iter_mut()
                .filter(|claim| claim.holds == Holds::Open)
            {
                match saw(claim) {
                    Some(true) => claim.holds = Holds::Yes,
                    Some(false) => claim.holds = Holds::No,
                    None => {}
                }
            }
            run.settle();
        }
        self.settle();
    }

    /// Works out the verdict over all runs, and what decides it.
    fn settle(&mut self) {
        let first = self
            .runs
            .first()
            .map_or(Verdict::MeasureFirst, |run| run.verdict);
        self.verdict = self
            .runs
            .iter()
            .fold(first, |all, run| all.either(run.verdict));
        self.split = match self.verdict {
            Verdict::MeasureFirst if self.runs.len() > 1 => deciding(&self.runs),
            _ => Vec::new(),
        };
    }

    /// The either-or dimensions that decide it where the runs come to these verdicts instead, with the
    /// cases with which it then fits.
    pub(super) fn split_by(&self, verdicts: &[Verdict]) -> Vec<(Field, Option<Cases>)> {
        let with = |(run, verdict): (&Run, &Verdict)| Run {
            verdict: *verdict,
            ..run.clone()
        };
        let runs: Vec<Run> = self.runs.iter().zip(verdicts).map(with).collect();
        deciding(&runs)
    }

    /// What makes it fit, and in which of the cases, where they differ in it.
    pub fn needs(&self) -> Vec<(Need, Vec<(Field, Cases)>)> {
        let mut found: Vec<(Need, Vec<(Field, Cases)>)> = Vec::new();
        let wants = |run: &Run, what: &str| needs_of(run).iter().any(|need| need.what == what);
        for need in self.runs.iter().flat_map(needs_of) {
            if found.iter().any(|(known, _)| known.what == need.what) {
                continue;
            }
            let mut cases: Vec<(Field, Cases)> = Vec::new();
            if !self.runs.iter().all(|run| wants(run, &need.what)) {
                let with = self.runs.iter().filter(|run| wants(run, &need.what));
                for (field, case) in with.flat_map(|run| &run.cases) {
                    match cases.iter_mut().find(|(known, _)| known == field) {
                        Some((_, known)) => known.join(case),
                        None => cases.push((*field, case.clone())),
                    }
                }
            }
            found.push((need, cases));
        }
        found
    }
}

/// What a claim is about: its code and its dimensions.
pub(super) type About = (u8, Vec<Field>);

pub(super) fn about(claim: &Claim) -> About {
    let fields = claim.terms.iter().map(|term| term.field);
    (claim.code, fields.collect())
}

/// Judges a joint with its argument.
pub fn judge(catalog: &Catalog, family: usize, cells: &Cells<'_>, setting: Setting) -> Judgement {
    let Some((Told { runs, .. }, over)) = walk(catalog, family, cells, setting) else {
        return Judgement::default();
    };
    let mut judgement = Judgement {
        runs,
        ..Judgement::default()
    };
    judgement.settle();
    if over {
        judgement.verdict = Verdict::MeasureFirst;
        judgement.split = deciding(&judgement.runs);
    }
    judgement
}

/// Judges a joint without an argument.
pub fn quick(catalog: &Catalog, family: usize, cells: &Cells<'_>, setting: Setting) -> Verdict {
    quick_or_never(catalog, family, cells, setting).0
}

/// Judges a joint without an argument; true beside the verdict where it does not come to fit however
/// exactly the figures that are known are learnt, as long as nothing is known of the others.
pub fn quick_or_never(
    catalog: &Catalog,
    family: usize,
    cells: &Cells<'_>,
    setting: Setting,
) -> (Verdict, bool) {
    match walk(catalog, family, cells, setting) {
        Some((Hull(Some((verdict, never))), false)) => (verdict, never),
        _ => (Verdict::MeasureFirst, false),
    }
}

/// Goes through the cases of a joint; with what came of it, true where there were too many.
fn walk<L: Listener>(
    catalog: &Catalog,
    family: usize,
    cells: &Cells<'_>,
    setting: Setting,
) -> Option<(L, bool)> {
    let mut walk = Walk {
        definition: FAMILIES.get(family)?,
        book: catalog.book(family),
        setting,
        listener: L::default(),
        runs: 0,
        over: false,
    };
    walk.step(cells);
    Some((walk.listener, walk.over))
}

fn needs_of(run: &Run) -> Vec<Need> {
    let mut needs: Vec<Need> = run
        .claims
        .iter()
        .flat_map(|claim| claim.needs.iter().cloned())
        .collect();
    needs.sort();
    needs
}

/// The either-or dimensions whose case changes the answer, with the cases that fit.
fn deciding(runs: &[Run]) -> Vec<(Field, Option<Cases>)> {
    let mut fields: Vec<Field> = runs
        .iter()
        .flat_map(|run| run.cases.iter().map(|(field, _)| *field))
        .collect();
    fields.sort_unstable();
    fields.dedup();
    let answers = |field: Field, case: &Cases| -> Vec<(Verdict, Vec<Need>)> {
        let with = runs
            .iter()
            .filter(|run| run.cases.iter().any(|(f, c)| *f == field && c == case));
        let mut answers: Vec<_> = with.map(|run| (run.verdict, needs_of(run))).collect();
        answers.sort();
        answers.dedup();
        answers
    };
    let mut split = Vec::new();
    for field in &fields {
        let mut cases: Vec<&Cases> = runs
            .iter()
            .flat_map(|run| {
                run.cases
                    .iter()
                    .filter(|(f, _)| f == field)
                    .map(|(_, case)| case)
            })
            .collect();
        cases.dedup();
        let all: Vec<_> = cases.iter().map(|case| answers(*field, case)).collect();
        let same = all.windows(2).all(|pair| matches!(pair, [a, b] if a == b));
        if same {
            continue;
        }
        let mut sure: Option<Cases> = None;
        for (case, answers) in cases.iter().zip(&all) {
            if answers
                .iter()
                .all(|(verdict, _)| *verdict <= Verdict::FitsWith)
            {
                match &mut sure {
                    Some(sure) => sure.join(case),
                    None => sure = Some((*case).clone()),
                }
            }
        }
        split.push((*field, sure));
    }
    // Cases that are all open are open for another reason, and that one is asked about.
    let open = |run: &Run| run.verdict == Verdict::MeasureFirst;
    if split.is_empty() && !runs.iter().all(open) {
        split = fields.into_iter().map(|field| (field, None)).collect();
    }
    split
}

/// What the catalogue gives a field.
type Given<'b> = (Field, Cow<'b, Reading>);

/// Hears what a walk through the cases comes to: the one keeps every argument, the other only the
/// verdict over all.
trait Listener: Default {
    /// A case is taken.
    fn take(&mut self, field: Field, case: &Cases);
    /// The case taken last is left.
    fn leave(&mut self);
    /// The catalogue says something of the names that stand there.
    fn imply(&mut self, found: &[Given<'_>]);
    /// What the catalogue said last is left.
    fn forget(&mut self, found: &[Given<'_>]);
    /// The rule is run.
    fn run(&mut self, definition: &Family, book: &Book, cells: &Cells<'_>, strict: bool);
    /// True where no other case changes anything.
    fn settled(&self) -> bool {
        false
    }
}

/// Keeps every run with its argument.
#[derive(Default)]
struct Told {
    cases: Vec<(Field, Cases)>,
    implied: Vec<(Field, Reading)>,
    runs: Vec<Run>,
}

impl Listener for Told {
    fn take(&mut self, field: Field, case: &Cases) {
        self.cases.push((field, case.clone()));
    }

    fn leave(&mut self) {
        self.cases.pop();
    }

    fn imply(&mut self, found: &[Given<'_>]) {
        let found = found.iter();
        let found = found.map(|(field, reading)| (*field, reading.clone().into_owned()));
        self.implied.extend(found);
    }

    fn forget(&mut self, found: &[Given<'_>]) {
        let left = self.implied.len().saturating_sub(found.len());
        self.implied.truncate(left);
    }

    fn run(&mut self, definition: &Family, book: &Book, cells: &Cells<'_>, strict: bool) {
        let mut why = Why {
            trace: Argument::default(),
            strict,
            ..Why::default()
        };
        (definition.full)(cells, &book.sheet, &mut why);
        let mut claims = why.trace.0;
        for claim in claims.iter_mut().filter(|claim| claim.mended) {
            let code = book.codes.get(usize::from(claim.code));
            let much = claim.value.filter(|(_, much)| *much != Span::ALL);
            let shown = much.map_or("so much".to_owned(), |(quantity, much)| {
                show_span(quantity, much)
            });
            let with = code.map_or(&[] as &[Need], |code| &code.with);
            let named = |need: &Need| Need {
                what: need.what.replace("{value}", &shown).into(),
                ..need.clone()
            };
            claim.needs = with.iter().map(named).collect();
        }
        self.runs.push(Run {
            cases: self.cases.clone(),
            verdict: why.verdict,
            claims,
            implied: self.implied.clone(),
        });
    }
}

/// Keeps the verdict over all runs, and whether none of them comes to fit.
#[derive(Default)]
struct Hull(Option<(Verdict, bool)>);

impl Listener for Hull {
    fn take(&mut self, _: Field, _: &Cases) {}

    fn leave(&mut self) {}

    fn imply(&mut self, _: &[Given<'_>]) {}

    fn forget(&mut self, _: &[Given<'_>]) {}

    fn run(&mut self, definition: &Family, book: &Book, cells: &Cells<'_>, strict: bool) {
        let mut why = Why {
            trace: Silent,
            strict,
            ..Why::default()
        };
        (definition.fast)(cells, &book.sheet, &mut why);
        let never = why.never || why.verdict == Verdict::DoesNotFit;
        let all = self
            .0
            .map(|(all, none)| (all.either(why.verdict), none && never));
        self.0 = all.or(Some((why.verdict, never)));
    }

    fn settled(&self) -> bool {
        self.0 == Some((Verdict::MeasureFirst, false))
    }
}

struct Walk<'b, L> {
    definition: &'static Family,
    book: &'b Book,
    setting: Setting,
    listener: L,
    runs: usize,
    over: bool,
}

impl<'b, L: Listener> Walk<'b, L> {
    fn step(&mut self, cells: &Cells<'_>) {
        if self.runs >= MOST_CASES {
            self.over = true;
            return;
        }
        if self.listener.settled() {
            return;
        }
        for (end, definition) in self.definition.ends.iter().enumerate() {
            for index in 0..definition.fields.len() {
                let field = Field {
                    end: number(end),
                    field: number(index),
                };
                let Some(reading) = cells.get(field).filter(|reading| reading.cases.len() > 1)
                else {
                    continue;
                };
                for case in 0..reading.cases.len() {
                    let Some(only) = reading.cases.only(case) else {
                        continue;
                    };
                    self.listener.take(field, &only);
                    let single = Reading {
                        cases: only,
                        origin: reading.origin,
                    };
                    let mut cells = cells.shorter();
                    cells.set(field, Some(&single));
                    self.step(&cells);
                    self.listener.leave();
                }
                return;
            }
        }
        let found = self.look_up(cells);
        if !found.is_empty() {
            self.listener.imply(&found);
            let mut cells = cells.shorter();
            for (field, reading) in &found {
                cells.set(*field, Some(reading));
            }
            self.step(&cells);
            self.listener.forget(&found);
            return;
        }
        self.runs += 1;
        let strict = self.setting.strict;
        self.listener.run(self.definition, self.book, cells, strict);
    }

    /// What the catalogue knows of the names that stand there, for dimensions nobody stated. Where
    /// several rows speak, all their cases stand; one that may speak, for a reading that lies partly
    /// inside what it is for, adds its cases to those of the rows that do.
    fn look_up(&self, cells: &Cells<'_>) -> SmallVec<[Given<'b>; 4]> {
        let mut found: SmallVec<[Given<'b>; 4]> = SmallVec::new();
        let mut unsure: SmallVec<[&Implied; 4]> = SmallVec::new();
        // What the bike tells stands beside what is usual; only what somebody stated or the page
        // itself gave takes its place.
        let told = |field: &Field| {
            let reading = cells.get(*field)?;
            matches!(reading.origin, Origin::Inferred(_)).then_some(&reading.cases)
        };
        let open = |field: &Field| cells.get(*field).is_none() || told(field).is_some();
        for (row, readings) in self.book.implied.of(cells) {
            match speaks(row, cells, self.setting) {
                Some(true) => {}
                Some(false) => continue,
                None => {
                    unsure.push(row);
                    continue;
                }
            }
            let given = row.gives.iter().zip(readings);
            for ((field, cases), reading) in given.filter(|((field, _), _)| open(field)) {
                match found.iter_mut().find(|(known, _)| known == field) {
                    Some((_, reading)) => reading.to_mut().cases.join(cases),
                    None => found.push((*field, Cow::Borrowed(reading))),
                }
            }
        }
        for (field, cases) in unsure.iter().flat_map(|row| &row.gives) {
            if let Some((_, reading)) = found.iter_mut().find(|(known, _)| known == field) {
                reading.to_mut().cases.join(cases);
            }
        }
        // Where the two cannot both be right, the bike decides.
        found.retain(|(field, reading)| match told(field) {
            None => true,
            Some(told) => match told.meet(&reading.cases) {
                Some(both) => {
                    reading.to_mut().cases = both;
                    true
                }
                None => false,
            },
        });
        found
    }
}

/// Whether a row speaks of what stands there; `None` where it may or may not.
fn speaks(row: &Implied, cells: &Cells<'_>, setting: Setting) -> Option<bool> {
    let doubted = setting.strict && row.grade == crate::verdict::Grade::Memory;
    if doubted || !cells.has(row.end) || (row.sound && !cells.is_sound(row.end)) {
        return Some(false);
    }
    let mut sure = true;
    for (field, wanted) in &row.when {
        match cells
            .get(*field)
            .map(|reading| stands(wanted, &reading.cases))
        {
            Some(Some(true)) => {}
            Some(None) => sure = false,
            Some(Some(false)) | None => return Some(false),
        }
    }
    sure.then_some(true)
}

/// Whether the one case that stands there is among those wanted; `None` where a part of it is.
fn stands(wanted: &Cases, found: &Cases) -> Option<bool> {
    match wanted {
        Cases::Names(labels) => Some(found.label().is_some_and(|label| labels.contains(&label))),
        Cases::Numbers(spans) => {
            let Some(span) = found.span() else {
                return Some(false);
            };
            if spans.iter().any(|wanted| wanted.holds(span)) {
                return Some(true);
            }
            let meets = spans.iter().any(|wanted| wanted.meet(span).is_some());
            (!meets).then_some(false)
        }
    }
}

fn number(index: usize) -> u8 {
    u8::try_from(index).unwrap_or(u8::MAX)
}
