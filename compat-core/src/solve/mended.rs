//! Adaptors where something is one thing or another: what mends the one case does not mend the other.

use super::check::{Finding, Question};
use super::judge::{Judgement, Run, Setting};
use super::known::Known;
use super::remedy::{Mended, bridge, filled};
use crate::bike::JointAt;
use crate::dim::{Cases, Origin, Reading};
use crate::verdict::{Field, Verdict};

/// Where something is one thing or another: the cases that adaptors mend, each by itself.
pub(super) fn case_by_case(
    known: &Known<'_>,
    at: JointAt,
    judgement: &Judgement,
    setting: Setting,
) -> Vec<Mended> {
    if judgement.runs.len() < 2 || known.catalog.book(at.family).adaptors.is_empty() {
        return Vec::new();
    }
    let mend = |run: &Run| -> Option<Mended> {
        let reading = |(field, cases): &(Field, Cases)| {
            let origin = Origin::Catalogue(u32::MAX);
            let cases = cases.clone();
            (*field, Reading { cases, origin })
        };
        let readings: Vec<(Field, Reading)> = run.cases.iter().map(reading).collect();
        let joint = known.cells(at);
        let mut cells = joint.shorter();
        for (field, reading) in &readings {
            cells.set(*field, Some(reading));
        }
        let filled = filled(known, at, &cells, &run.claims, setting);
        let filled = filled.filter(|(_, verdict)| *verdict <= Verdict::FitsWith);
        let inserts = match filled {
            Some((insert, _)) => vec![insert],
            None => bridge(known, at, &cells, setting, Verdict::FitsWith)?.0,
        };
        Some((inserts, run.cases.clone()))
    };
    judgement.runs.iter().filter_map(mend).collect()
}

/// Where adaptors mend some of the cases, or each with another one, it is measured which case it is.
pub(super) fn in_cases(known: &Known<'_>, at: JointAt, finding: &mut Finding) {
    let mended = &finding.remedies.in_cases;
    let with = |run: &Run| match mended.iter().any(|(_, cases)| *cases == run.cases) {
        true => Verdict::FitsWith,
        false => run.verdict,
    };
    let verdicts: Vec<Verdict> = finding.judgement.runs.iter().map(with).collect();
    finding.judgement.split = finding.judgement.split_by(&verdicts);
    finding.questions = split(known, at, &finding.judgement);
    if !finding.questions.is_empty() {
        finding.outcome = Verdict::MeasureFirst;
    }
}

/// The dimensions that are one thing or another, and decide.
pub(super) fn split(known: &Known<'_>, at: JointAt, judgement: &Judgement) -> Vec<Question> {
    let ask = |(field, sure): &(Field, Option<Cases>)| {
        let (slot, dimension) = known.dimension(at, *field)?;
        Some(Question {
            slot,
            dimension,
            fits_if: sure.clone(),
        })
    };
    judgement.split.iter().filter_map(ask).collect()
}
