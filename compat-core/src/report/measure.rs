//! What must be measured, in words.

use serde::Serialize;

use super::words::Words;
use super::{Report, VERSION};
use crate::bike::{Bike, JointAt, Swap};
use crate::catalog::{Access, Catalog};
use crate::dim::{Cases, Quantity};
use crate::solve::{Asked, Asking, Band, Finding, Known, Measure, look_name};
use crate::text::Files;
use crate::verdict::{Holds, Verdict};

/// Everything that must be measured or looked at before a swap set is known to fit or not.
#[derive(Clone, Debug, Serialize)]
pub struct MeasureReport {
    /// The version of this form.
    pub version: u32,
    /// The bike.
    pub bike: String,
    /// The swap set.
    pub swap: Option<String>,
    /// The verdict as things stand.
    pub verdict: &'static str,
    /// What that counts.
    pub summary: String,
    /// How many dimensions of the parts on this bike nobody knows.
    pub unknown: usize,
    /// The questions, those that settle most first.
    pub questions: Vec<Asks>,
    /// What is fitted and not written down, and decides.
    pub missing: Vec<String>,
}

/// One question.
#[derive(Clone, Debug, Serialize)]
pub struct Asks {
    /// What `--set` takes: `slot.dimension`, or `family/code` for a look.
    pub set: String,
    /// What it is.
    pub what: String,
    /// How it is taken.
    pub how: String,
    /// With what.
    pub tool: String,
    /// Where one must get to.
    pub access: &'static str,
    /// The unit it is written in, where it has one.
    pub unit: &'static str,
    /// The names it may have, as files write them; none for a number.
    pub names: Vec<String>,
    /// The joints it is asked for.
    pub settles: Vec<String>,
    /// How many of them it settles by itself.
    pub alone: usize,
    /// True where it only comes up after others were answered in some way.
    pub later: bool,
    /// What is known of it, and does not decide.
    pub known: Option<String>,
    /// Where it is the only open question of a joint: which readings come to what.
    pub turns: Vec<TurnText>,
}

/// Readings, and what they come to.
#[derive(Clone, Debug, Serialize)]
pub struct TurnText {
    /// The joint.
    pub joint: String,
    /// The readings.
    pub readings: String,
    /// The verdict of the joint.
    pub verdict: &'static str,
    /// What makes it fit.
    pub with: Vec<String>,
}

impl MeasureReport {
    /// Puts the questions into words.
    pub fn of(
        catalog: &Catalog,
        files: &Files,
        before: &Bike,
        swap: Option<&Swap>,
        measure: &Measure,
    ) -> MeasureReport {
        let check = &measure.check;
        let report = Report::of(catalog, files, before, swap, check);
        let known = Known {
            catalog,
            bike: &check.bike,
            inferred: check.inferred.clone(),
        };
        let words = Words {
            catalog,
            files,
            known: &known,
            inferences: &check.inferences,
            before,
            touched: &[],
            keep: &[],
            brief: false,
        };
        let finding = |at: JointAt| check.findings.iter().find(|finding| finding.at == at);
        let ends = check.unjudged.iter().zip(&report.unjudged);
        let missing = ends.filter(|(end, _)| end.vital && end.missing.is_some());
        MeasureReport {
            version: VERSION,
            verdict: check.verdict.words(),
            summary: report.summary(),
            unknown: measure.unknown,
            questions: measure
                .asks
                .iter()
                .map(|asking| words.asks(asking, &finding))
                .collect(),
            missing: missing.map(|(_, text)| text.clone()).collect(),
            bike: report.bike,
            swap: report.swap,
        }
    }
}

impl Words<'_> {
    fn asks<'f>(&self, asking: &Asking, finding: &impl Fn(JointAt) -> Option<&'f Finding>) -> Asks {
        let joints = asking.joints.iter();
        let mut asks = Asks {
            set: String::new(),
            what: String::new(),
            how: String::new(),
            tool: String::new(),
            access: "",
            unit: "",
            names: Vec::new(),
            settles: joints.map(|at| self.joint_title(*at)).collect(),
            alone: asking.alone,
            later: asking.later,
            known: None,
            turns: Vec::new(),
        };
        match asking.asked {
            Asked::Dimension(slot, dimension) => self.dimension(slot, dimension, asking, &mut asks),
            Asked::Look(at, code) => {
                asks.set = look_name(self.catalog, at, code);
                asks.tool = "eye".to_owned();
                asks.access = Access::Assembled.words();
                asks.names = vec!["yes".to_owned(), "no".to_owned()];
                if let Some(finding) = finding(at) {
                    self.look_at(finding, code, &mut asks);
                }
            }
        }
        asks
    }

    fn dimension(&self, slot: usize, dimension: usize, asking: &Asking, asks: &mut Asks) {
        let Some(place) = self.catalog.slots().get(slot) else {
            return;
        };
        let body = self.catalog.body(place.kind);
        let Some(definition) = body.dimensions.get(dimension) else {
            return;
        };
        let quantity = definition.quantity;
        asks.set = format!("{}.{}", place.name, definition.name);
        asks.what = format!("{} ({})", definition.title, self.part(slot));
        asks.how = definition.how.to_string();
        asks.tool = definition.tool.to_string();
        asks.access = definition.access.words();
        asks.unit = match quantity {
            Quantity::Name => "",
            _ => quantity.usual_unit(),
        };
        if let Some(list) = definition
            .list
            .and_then(|list| self.catalog.lists().get(list))
        {
            asks.names = list
                .names
                .iter()
                .map(|name| name.name.to_string())
                .collect();
        }
        let known = self.known.reading(slot, dimension);
        // Of what it is known to be one of, the rest need not be read through.
        if let Some(Cases::Names(labels)) = known.map(|known| &known.cases) {
            let names = labels.iter().filter_map(|label| self.catalog.label(*label));
            asks.names = names.map(|name| name.name.to_string()).collect();
        }
        asks.known = known.map(|reading| self.reading(quantity, reading));
        for (at, bands) in &asking.bands {
            let turn = |band: &Band| TurnText {
                joint: self.joint_title(*at),
                readings: self.band(quantity, &band.cases, definition.range),
                verdict: band.verdict.words(),
                with: band.with.clone(),
            };
            asks.turns.extend(bands.iter().map(turn));
        }
    }

    /// A band in words; an end beyond all reason is no end.
    fn band(&self, quantity: Quantity, cases: &Cases, range: crate::dim::Span) -> String {
        let Cases::Numbers(spans) = cases else {
            return self.cases(quantity, cases);
        };
        let open = |span: &crate::dim::Span| crate::dim::Span {
            low: if span.low <= range.low {
                crate::dim::Span::LEAST
            } else {
                span.low
            },
            high: if span.high >= range.high {
                crate::dim::Span::MOST
            } else {
                span.high
            },
        };
        self.cases(quantity, &Cases::Numbers(spans.iter().map(open).collect()))
    }

    /// What to look at, where no dimension settles it.
    fn look_at(&self, finding: &Finding, code: Option<u8>, asks: &mut Asks) {
        match code {
            None => {
                for (slot, complaint) in self.complaints(finding) {
                    asks.what = format!(
                        "complaint of the {}, `{}`: is the joint sound?",
                        self.part(slot),
                        complaint.word
                    );
                    asks.how = complaint.ask.to_string();
                }
            }
            Some(code) => {
                let claims = finding.judgement.claims().iter();
                let mut open =
                    claims.filter(|claim| claim.code == code && claim.holds == Holds::Open);
                let claim = open.next();
                let says = claim.map(|claim| self.says(finding, claim));
                // A sentence about readings that are not there helps nobody.
                let says = says.filter(|says| !says.is_empty() && !says.contains("unknown"));
                let title = || format!("{}: does it hold?", self.joint_title(finding.at));
                asks.what = says.unwrap_or_else(title);
                let note = claim.and_then(|claim| self.note(claim));
                let advice = claim.and_then(|claim| self.advice(finding, claim));
                asks.how = note
                    .or(advice)
                    .unwrap_or_else(|| self.catalog.prose(finding.at.family).measure.clone());
            }
        }
    }
}

impl MeasureReport {
    /// True where nothing is left to ask.
    pub fn settled(&self) -> bool {
        self.questions.is_empty() && self.verdict != Verdict::MeasureFirst.words()
    }
}
