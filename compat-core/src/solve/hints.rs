//! The readings with which an open joint is said to fit: what clashes with something else that is known is
//! not among them, and where nothing more is asked the joint must come to fit.

use super::check::{Finding, Question};
use super::judge::{Setting, judge};
use super::known::Known;
use crate::dim::{Cases, Origin, Reading};
use crate::text::Place;
use crate::verdict::Verdict;

/// Leaves of each question's readings those with which the joint may fit.
pub(super) fn checked(known: &Known<'_>, finding: &mut Finding, setting: Setting) {
    let alone = finding.questions.len() == 1;
    let at = finding.at;
    let comes_to = |question: &Question, cases: Cases| {
        let origin = Origin::Stated(Place::default());
        let reading = Reading { cases, origin };
        let mut cells = known.cells(at).shorter();
        for (field, dimension) in known.fields_of(at, question.slot) {
            if dimension == question.dimension {
                cells.set(field, Some(&reading));
            }
        }
        let brief = Setting {
            brief: true,
            ..setting
        };
        judge(known.catalog, at.family, &cells, brief).verdict
    };
    for question in &mut finding.questions {
        let Some(cases) = question.fits_if.take() else {
            continue;
        };
        let may = |cases: Cases| match comes_to(question, cases) {
            Verdict::DoesNotFit => false,
            Verdict::MeasureFirst => !alone,
            Verdict::Fits | Verdict::FitsWith => true,
        };
        question.fits_if = match cases {
            Cases::Names(mut names) => {
                names.retain(|name| may(Cases::Names(vec![*name])));
                (!names.is_empty()).then_some(Cases::Names(names))
            }
            Cases::Numbers(mut spans) => {
                spans.retain(|span| may(Cases::Numbers(vec![*span])));
                (!spans.is_empty()).then_some(Cases::Numbers(spans))
            }
        };
    }
}
