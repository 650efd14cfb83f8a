//! The answer in words: what the solver found, told with the words of the catalogue.
//!
//! Every text in here is safe to print.

mod audit;
mod change;
mod claims;
mod evidence;
mod identify;
mod measure;
mod off;
mod order;
mod plan;
mod purchase;
mod reasons;
mod words;

use serde::Serialize;

pub use audit::{AuditLine, AuditReport, AuditSlot};
pub use identify::{
    CandidateText, IdentifyReport, NextText, OffText, ReadingText, ShowsText, ThingText,
};
pub use measure::{Asks, MeasureReport, TurnText};
pub use order::OrderText;
pub use plan::{PlanReport, PlanText, StepText};
pub use purchase::PurchaseText;

use crate::bike::{Bike, Swap};
use crate::catalog::Catalog;
use crate::explain::{count, list};
use crate::solve::{Check, Known};
use crate::text::{Files, clean_line};
use crate::verdict::{Holds, Verdict};
use words::Words;

/// The version of the form of the JSON.
pub const VERSION: u32 = 1;

/// What is said of a bike with a swap set.
#[derive(Clone, Debug, Serialize)]
pub struct Report {
    /// The version of this form.
    pub version: u32,
    /// The bike.
    pub bike: String,
    /// The swap set.
    pub swap: Option<String>,
    /// The verdict over everything judged.
    #[serde(serialize_with = "verdict_words")]
    pub verdict: Verdict,
    /// The joints worth a word, worst first.
    pub findings: Vec<FindingText>,
    /// The joints that simply fit.
    pub quiet: Vec<FindingText>,
    /// The joints that the swap set leaves as they stand.
    pub standing: Vec<StandingText>,
    /// Where several joints do not fit: the one change that settles most of them.
    pub one_change: Vec<String>,
    /// The ends of changed parts that nothing here judges.
    pub unjudged: Vec<String>,
    /// How many of those decide, so that the whole is not known to fit.
    pub vital: usize,
    /// How many of them, the last, only lack a part that the bike may do without.
    pub aside: usize,
    /// Where what the fitted parts tell contradicts itself.
    pub conflicts: Vec<String>,
    /// What the fitted parts tell of each other, each with what told it.
    pub told: Vec<String>,
    /// Where what is stated and what is measured disagree, and what else is odd.
    pub disagreements: Vec<String>,
    /// The new parts that are the same as those that were fitted.
    pub same: Vec<String>,
    /// The cautions of what comes off with nothing in its place.
    pub off: Vec<CautionText>,
    /// What is to be ordered, equal parts counted.
    pub order: Vec<OrderText>,
    /// The cautions of the joints those parts go in.
    pub order_cautions: Vec<CautionText>,
}

fn verdict_words<S: serde::Serializer>(
    verdict: &Verdict,
    serializer: S,
) -> Result<S::Ok, S::Error> {
    serializer.serialize_str(verdict.words())
}

/// What is said of one joint.
#[derive(Clone, Debug, Default, Serialize)]
pub struct FindingText {
    /// The family that judged it.
    pub family: String,
    /// The joint in words.
    pub joint: String,
    /// The verdict, adaptors counted.
    pub verdict: &'static str,
    /// The verdict on the ends as they are.
    pub plain: &'static str,
    /// The grounds on which it does not fit.
    pub grounds: Vec<&'static str>,
    /// The code that speaks for it.
    pub code: String,
    /// One line that is enough on its own.
    pub headline: String,
    /// What else is against it or open.
    pub also: Vec<String>,
    /// The adaptors that make it fit.
    pub adaptors: Vec<String>,
    /// Who says that the adaptors exist.
    pub adaptors_from: Vec<String>,
    /// What else it needs to fit.
    pub needs: Vec<String>,
    /// What must be measured.
    pub measure: Vec<QuestionText>,
    /// The nearest that would fit in the place of a new part.
    pub would_fit: Vec<String>,
    /// What else would have to change for the new part to fit.
    pub or_change: Vec<String>,
    /// What to do.
    pub advice: Vec<String>,
    /// Figures worth knowing.
    pub figures: Vec<String>,
    /// Cautions.
    pub cautions: Vec<CautionText>,
    /// What the bike as it stood told, that this rests on.
    pub rests_on: Vec<String>,
    /// The weakest grade of the figures it rests on.
    pub grade: Option<&'static str>,
    /// True where the swap set does not touch it.
    pub standing: bool,
    /// True where nothing is judged, and there are only figures worth knowing.
    pub figures_only: bool,
    /// The comparisons.
    pub claims: Vec<ClaimText>,
}

/// A joint that the swap set leaves as it stands.
#[derive(Clone, Debug, Serialize)]
pub struct StandingText {
    /// The joint.
    pub joint: String,
    /// The verdict by what is stated alone, its standing there not counted.
    pub stated: &'static str,
}

/// A dimension to be measured.
#[derive(Clone, Debug, Serialize)]
pub struct QuestionText {
    /// `slot.dimension`, as `--set` takes it.
    pub dimension: String,
    /// What it is.
    pub what: String,
    /// How it is taken.
    pub how: String,
    /// With what.
    pub tool: String,
    /// Where one must get to.
    pub access: &'static str,
    /// The readings with which the joint fits.
    pub fits_if: Option<String>,
}

/// A caution, and who says so.
#[derive(Clone, Debug, Serialize)]
pub struct CautionText {
    /// The caution.
    pub say: String,
    /// Who says so.
    pub source: String,
}

/// A comparison.
#[derive(Clone, Debug, Serialize)]
pub struct ClaimText {
    /// Its code.
    pub code: String,
    /// Whether it holds: `yes`, `no`, `open`.
    pub holds: &'static str,
    /// What it says.
    pub says: String,
    /// The readings it rests on, each with its origin and place.
    pub readings: Vec<String>,
    /// What they come to.
    pub value: Option<String>,
    /// The limit.
    pub limit: Option<String>,
    /// How far beyond the limit.
    pub difference: Option<String>,
    /// Who says so.
    pub source: Option<String>,
}

impl Report {
    /// Puts a check into words.
    pub fn of(
        catalog: &Catalog,
        files: &Files,
        before: &Bike,
        swap: Option<&Swap>,
        check: &Check,
    ) -> Report {
        // The words of a joint need the readings the check saw: what was stated, and what the bike
        // told of the parts that stay.
        let inferred = check.inferred.clone();
        let known = Known {
            catalog,
            bike: &check.bike,
            inferred,
        };
        let touched: Vec<usize> = swap
            .map(|swap| swap.parts.iter().map(|(slot, _)| *slot).collect())
            .unwrap_or_default();
        let words = Words {
            catalog,
            files,
            known: &known,
            inferences: &check.inferences,
            before,
            touched: &touched,
            keep: swap.map_or(&[], |swap| &swap.keep),
            brief: false,
        };
        let findings: Vec<FindingText> = check
            .findings
            .iter()
            .map(|finding| words.finding(finding))
            .collect();
        let quiet = check
            .quiet
            .iter()
            .map(|finding| words.finding(finding))
            .collect();
        let standing = check
            .standing
            .iter()
            .map(|(at, verdict)| StandingText {
                joint: words.joint_title(*at),
                stated: verdict.words(),
            })
            .collect();
        let unjudged = check
            .unjudged
            .iter()
            .map(|unjudged| words.not_judged(unjudged, &check.bike))
            .collect();
        let mut disagreements: Vec<String> = check
            .disagreements
            .iter()
            .map(|wrong| words.disagreement(wrong.slot, wrong.dimension))
            .collect();
        let absent = swap.into_iter().flat_map(|swap| &swap.remove);
        let absent = absent.filter(|slot| before.part(**slot).is_none());
        disagreements.extend(absent.map(|slot| {
            format!(
                "the bike lists no {} that could be removed",
                words.slot_title(*slot)
            )
        }));
        disagreements.extend(words.not_the_same(&check.renewed));
        let carried = swap
            .map(|swap| swap.carried_off(before))
            .unwrap_or_default();
        disagreements.extend(carried.into_iter().map(|(slot, carrier)| {
            format!(
                "the {} goes with the {} it was on; say `keep` where it stays",
                words.slot_title(slot),
                words.slot_title(carrier)
            )
        }));
        Report {
            version: VERSION,
            bike: clean_line(&before.title),
            swap: swap.map(|swap| clean_line(&swap.title)),
            verdict: check.verdict,
            findings,
            quiet,
            standing,
            one_change: check.singles.iter().map(|one| words.single(one)).collect(),
            unjudged,
            vital: check
                .unjudged
                .iter()
                .filter(|unjudged| unjudged.vital)
                .count(),
            aside: check
                .unjudged
                .iter()
                .filter(|unjudged| unjudged.aside())
                .count(),
            disagreements,
            conflicts: words.contradictions(check),
            told: words.told(check),
            same: words.same(&check.renewed),
            off: words.off(check),
            order: Vec::new(),
            order_cautions: Vec::new(),
        }
    }

    /// The last line of a report: the verdict and what it counts.
    pub fn summary(&self) -> String {
        let judges = |finding: &&FindingText| !finding.standing && !finding.figures_only;
        let new = || self.findings.iter().filter(judges);
        let judged = new().count() + self.quiet.len();
        let number = |words: &str| new().filter(|finding| finding.verdict == words).count();
        let mut parts = Vec::new();
        for (words, one, many) in [
            ("does not fit", "does not fit", "do not fit"),
            ("measure first", "to measure first", "to measure first"),
            ("fits with", "fits with something", "fit with something"),
        ] {
            let found = number(words);
            if found > 0 {
                parts.push(format!("{found} {}", if found == 1 { one } else { many }));
            }
        }
        let fits = number("fits") + self.quiet.len();
        if fits > 0 {
            parts.push(format!("{fits} {}", if fits == 1 { "fits" } else { "fit" }));
        }
        let mut text = match judged {
            0 if self.swap.is_none() && !self.conflicts.is_empty() => {
                "the fitted parts contradict each other".to_owned()
            }
            0 if self.swap.is_none() && self.verdict == Verdict::MeasureFirst => {
                "too little is stated for any joint to be judged".to_owned()
            }
            0 if self.swap.is_none() => "nothing described here contradicts itself".to_owned(),
            0 => "no joint could be judged".to_owned(),
            _ => format!(
                "{} judged: {}",
                count(judged, "joint", "joints"),
                list(&parts)
            ),
        };
        if self.vital > 0 {
            let ends = count(self.vital, "end that decides is", "ends that decide are");
            text.push_str(&format!("; {ends} not judged"));
        }
        if !self.off.is_empty() {
            text.push_str("; heed what is said of what comes off");
        }
        let standing = self.findings.iter().filter(|finding| finding.standing);
        let standing = standing.count();
        if standing > 0 && judged == 0 && self.swap.is_none() {
            return format!("{standing} to look into as it stands");
        }
        if standing > 0 {
            text.push_str(&format!("; {standing} to look into as it stands"));
        }
        text
    }
}

/// Which claims of a finding speak, for the words that stand at its head.
fn speaks(verdict: Verdict, holds: Holds) -> bool {
    match verdict {
        Verdict::DoesNotFit => holds == Holds::No,
        Verdict::MeasureFirst => holds == Holds::Open,
        Verdict::Fits | Verdict::FitsWith => holds == Holds::Yes,
    }
}
