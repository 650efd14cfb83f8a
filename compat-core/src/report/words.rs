//! The words for findings: readings, sources, questions, remedies.

use super::claims::difference;
use super::{CautionText, FindingText, QuestionText, speaks};
use crate::bike::{Bike, JointAt};
use crate::catalog::{Catalog, Caution, Code, Complaint, Part};
use crate::dim::{Cases, Origin, Quantity, Reading, Span, show_cases, show_span};
use crate::explain::{fill, list};
use crate::joints::FAMILIES;
use crate::solve::{Change, Finding, Inference, Known, grounds};
use crate::text::{Files, clean_line};
use crate::verdict::{Claim, Field, Ground, Holds, Verdict};

/// The most names that are listed where any of them would do.
const MOST_NAMES: usize = 4;

pub(super) struct Words<'a> {
    pub catalog: &'a Catalog,
    pub files: &'a Files,
    pub known: &'a Known<'a>,
    pub inferences: &'a [Inference],
    pub before: &'a Bike,
    /// The slots of the new parts.
    pub touched: &'a [usize],
    /// The slots that must stay as they are.
    pub keep: &'a [usize],
    /// Only the first claim is put into words.
    pub brief: bool,
}

impl Words<'_> {
    pub fn joint_title(&self, at: JointAt) -> String {
        self.known
            .joint(at)
            .map(|joint| joint.title.to_string())
            .unwrap_or_default()
    }

    pub fn slot_title(&self, slot: usize) -> String {
        self.catalog
            .slots()
            .get(slot)
            .map(|slot| slot.name.replace('_', " "))
            .unwrap_or_default()
    }

    /// What is said of a part that somebody complains of, whatever it is joined to.
    pub(super) fn against_itself(&self, slot: usize, complaint: usize) -> String {
        let kind = self.catalog.slots().get(slot).map(|slot| slot.kind);
        let all = kind.map_or(&[][..], |kind| &self.catalog.body(kind).complaints);
        let complaint = all.get(complaint);
        complaint.map_or_else(String::new, |told| format!("`{}`: {}", told.word, told.ask))
    }

    pub(super) fn dimension_title(&self, slot: usize, dimension: usize) -> String {
        let kind = self
            .catalog
            .slots()
            .get(slot)
            .map_or(usize::MAX, |slot| slot.kind);
        self.catalog
            .body(kind)
            .dimensions
            .get(dimension)
            .map(|dimension| dimension.title.to_string())
            .unwrap_or_default()
    }

    pub(super) fn quantity(&self, slot: usize, dimension: usize) -> Quantity {
        let kind = self
            .catalog
            .slots()
            .get(slot)
            .map_or(usize::MAX, |slot| slot.kind);
        self.catalog
            .body(kind)
            .dimensions
            .get(dimension)
            .map_or(Quantity::Length, |dimension| dimension.quantity)
    }

    pub fn cases(&self, quantity: Quantity, cases: &Cases) -> String {
        show_cases(quantity, cases, |label| self.catalog.label_title(label))
    }

    /// The cases, or the first of many names and how many there are.
    pub(super) fn few(&self, quantity: Quantity, cases: &Cases) -> String {
        match cases {
            Cases::Names(labels) if labels.len() > MOST_NAMES => {
                let first = labels.iter().take(MOST_NAMES - 1).copied().collect();
                let shown = self.cases(quantity, &Cases::Names(first));
                format!("{shown} or one of {} more", labels.len() + 1 - MOST_NAMES)
            }
            _ => self.cases(quantity, cases),
        }
    }

    pub(super) fn reading(&self, quantity: Quantity, reading: &Reading) -> String {
        let shown = self.cases(quantity, &reading.cases);
        match reading.origin {
            Origin::Inferred(_) => format!("{shown} (inferred)"),
            Origin::Measured(_) => format!("{shown} (measured)"),
            Origin::Stated(_) | Origin::Catalogue(_) => shown,
        }
    }

    /// What a part is called: its name, else its slot.
    pub(super) fn part(&self, slot: usize) -> String {
        let title = self.slot_title(slot);
        match self
            .known
            .bike
            .part(slot)
            .and_then(|part| part.name.as_deref())
        {
            Some(name) => format!("{title} “{}”", clean_line(name)),
            None => title,
        }
    }

    /// What a part is called, and where it has no name what is known of it as the trade writes it:
    /// `cassette 11-36`.
    pub(super) fn part_known(&self, slot: usize) -> String {
        let called = self.part(slot);
        let there = self.known.bike.part(slot);
        match there.filter(|part| part.name.is_none()) {
            Some(part) => match self.shorthand(part) {
                Some(known) => format!("{called} {known}"),
                None => called,
            },
            None => called,
        }
    }

    /// The first shorthand of a part of which every figure is known.
    fn shorthand(&self, part: &Part) -> Option<String> {
        let body = self.catalog.body(part.kind);
        let shown = |number: usize| -> Option<String> {
            let quantity = body.dimensions.get(number)?.quantity;
            let reading = part.entries.get(number)?.deciding()?;
            let shown = self.cases(quantity, &reading.cases);
            let (_, unit) = quantity.usual();
            let bare = shown.strip_suffix(unit).unwrap_or(&shown).trim_end();
            bare.chars()
                .all(|c| c.is_ascii_digit() || c == '.')
                .then(|| bare.to_owned())
        };
        body.in_shorthand(shown)
    }

    /// The finding, all of it.
    pub fn finding(&self, finding: &Finding) -> FindingText {
        let mut text = self.head(finding);
        text.grade = finding.grade.map(|grade| grade.word());
        text.figures = self.figures(finding);
        let facts = finding
            .remedies
            .inserts
            .iter()
            .filter_map(|insert| insert.need.fact);
        text.adaptors_from = facts.map(|fact| self.source(fact)).collect();
        text.rests_on = self.rests_on(finding);
        let claims = finding.judgement.claims().iter();
        text.claims = claims.map(|claim| self.claim(finding, claim)).collect();
        if finding.outcome == Verdict::DoesNotFit {
            self.against(finding, &mut text);
        }
        if finding.outcome == Verdict::MeasureFirst {
            let questions = finding.questions.iter();
            text.measure = questions.map(|question| self.question(question)).collect();
            let noted = self.speaking(finding).into_iter().filter_map(|claim| {
                // Where nothing can be measured, the page says what to look at.
                let advice = || self.advice(finding, claim);
                let look = finding.questions.is_empty();
                self.note(claim).or_else(|| advice().filter(|_| look))
            });
            text.advice = noted
                .filter(|_| finding.remedies.in_cases.is_empty())
                .collect();
            text.advice.dedup();
        }
        self.remedies(finding, &mut text);
        text.advice.extend(
            self.complaints(finding)
                .map(|(_, complaint)| complaint.ask.to_string()),
        );
        if finding.outcome != Verdict::Fits || !text.figures.is_empty() {
            let bridged = !text.adaptors.is_empty();
            let cautions = self.catalog.book(finding.at.family).cautions.iter();
            text.cautions = cautions
                .filter(|caution| bridged || !caution.adaptor)
                .map(|Caution { say, fact, .. }| CautionText {
                    say: say.to_string(),
                    source: self.source(*fact),
                })
                .collect();
        }
        text
    }

    /// What a finding says first: joint, verdict, code and the line that is enough on its own.
    pub fn head(&self, finding: &Finding) -> FindingText {
        let at = finding.at;
        let mut speaking = self.speaking(finding);
        if self.brief {
            speaking.truncate(1);
        }
        let mut says: Vec<String> = speaking
            .iter()
            .map(|claim| self.says(finding, claim))
            .collect();
        says.dedup();
        let inserts = finding.remedies.inserts.iter();
        let mut text = FindingText {
            family: FAMILIES
                .get(at.family)
                .map_or("", |family| family.name)
                .to_owned(),
            joint: self.joint_title(at),
            verdict: finding.outcome.words(),
            plain: finding.plain.words(),
            standing: finding.standing,
            figures_only: finding.judgement.claims().iter().all(|claim| claim.told)
                && finding.plain == Verdict::Fits,
            code: speaking
                .first()
                .map(|claim| self.code(at, claim))
                .unwrap_or_default(),
            headline: says.first().cloned().unwrap_or_default(),
            also: says.iter().skip(1).cloned().collect(),
            needs: self.needs(finding),
            adaptors: inserts.map(|insert| insert.need.what.to_string()).collect(),
            ..FindingText::default()
        };
        match (finding.outcome, finding.plain) {
            (Verdict::FitsWith, Verdict::DoesNotFit) => {
                let between = list(&text.adaptors);
                text.headline = format!("with {between} in between; as it is, {}", text.headline);
            }
            (Verdict::FitsWith, _) => {
                text.headline = format!("{}, with {}", text.headline, list(&text.needs));
            }
            (Verdict::MeasureFirst, _) => self.open_headline(finding, &mut text),
            _ => {}
        }
        if finding.plain != Verdict::DoesNotFit {
            for (slot, complaint) in self.complaints(finding) {
                text.headline = format!(
                    "complaint of the {}, `{}`: {}",
                    self.part(slot),
                    complaint.word,
                    complaint.ask
                );
            }
        }
        text
    }

    /// The claims that speak for the verdict, the weightiest first.
    fn speaking<'f>(&self, finding: &'f Finding) -> Vec<&'f Claim> {
        let book = self.catalog.book(finding.at.family);
        let spoken = |claim: &&Claim| !claim.told && speaks(finding.plain, claim.holds);
        let mut speaking: Vec<&Claim> = finding.judgement.claims().iter().filter(spoken).collect();
        speaking.sort_by_key(|claim| {
            let code = book.codes.get(usize::from(claim.code));
            let ground = claim.ground.or_else(|| code?.ground);
            let joins = std::cmp::Reverse(ground == Some(Ground::CannotJoin));
            (claim.needs.is_empty(), joins)
        });
        speaking
    }

    /// The complaints against the joint, each with the slot of its part.
    pub(super) fn complaints(
        &self,
        finding: &Finding,
    ) -> impl Iterator<Item = (usize, &Complaint)> {
        finding.complaints.iter().filter_map(|(slot, number)| {
            let kind = self.known.bike.part(*slot)?.kind;
            Some((*slot, self.catalog.body(kind).complaints.get(*number)?))
        })
    }

    /// The grounds of a refusal, and what to do.
    fn against(&self, finding: &Finding, text: &mut FindingText) {
        let grounds = grounds(self.catalog, finding.at, &finding.judgement);
        text.grounds = grounds.into_iter().map(Ground::words).collect();
        let speaking = self.speaking(finding);
        for advice in speaking
            .iter()
            .filter_map(|claim| self.advice(finding, claim))
        {
            if !text.advice.iter().any(|known| known.contains(&advice)) {
                text.advice.push(advice);
            }
        }
    }

    /// What the row of a table has to say that leaves a claim open.
    pub(super) fn note(&self, claim: &Claim) -> Option<String> {
        Some(self.catalog.fact(claim.row?)?.note.as_ref()?.to_string())
    }

    /// The nearest that would fit: in the place of the new parts, and of the others.
    fn remedies(&self, finding: &Finding, text: &mut FindingText) {
        let (new, others): (Vec<&Change>, Vec<&Change>) = finding
            .remedies
            .changes
            .iter()
            .partition(|change| self.touched.contains(&change.slot));
        let others = others
            .into_iter()
            .filter(|change| !self.keep.contains(&change.slot));
        for insert in &finding.remedies.not_ruled_out {
            let what = &insert.need.what;
            let source = insert.need.fact.map(|fact| self.source(fact));
            let source = source
                .map(|source| format!(" [{source}]"))
                .unwrap_or_default();
            text.advice.push(format!(
                "{what} in between would leave it open instead of refused: to be tried or measured before it is relied on{source}"
            ));
        }
        text.advice.extend(self.in_cases(finding));
        text.would_fit = new.into_iter().map(|change| self.change(change)).collect();
        text.or_change = others.map(|change| self.change(change)).collect();
    }

    /// What makes it fit; where only some of the cases need it, in which.
    pub(super) fn needs(&self, finding: &Finding) -> Vec<String> {
        let case = |(field, cases): &(Field, Cases)| {
            let (slot, dimension) = self.known.dimension(finding.at, *field)?;
            let shown = self.cases(self.quantity(slot, dimension), cases);
            Some(format!(
                "{} is {shown}",
                self.dimension_title(slot, dimension)
            ))
        };
        finding
            .judgement
            .needs()
            .into_iter()
            .map(|(need, cases)| {
                let cases: Vec<String> = cases.iter().filter_map(case).collect();
                if cases.is_empty() {
                    need.what.to_string()
                } else {
                    format!("{} (if {})", need.what, list(&cases))
                }
            })
            .collect()
    }

    /// The head of a finding that must be measured: what decides, and the readings that would do.
    fn open_headline(&self, finding: &Finding, text: &mut FindingText) {
        if let Some((field, sure)) = finding.judgement.split.first()
            && let Some((slot, dimension)) = self.known.dimension(finding.at, *field)
        {
            let cells = self.known.cells(finding.at);
            let quantity = self.quantity(slot, dimension);
            let given = cells.get(*field).map_or_else(
                || "not known".to_owned(),
                |reading| self.cases(quantity, &reading.cases),
            );
            let fits = sure
                .as_ref()
                .map(|sure| format!("; fits if {}", self.cases(quantity, sure)))
                .unwrap_or_default();
            text.headline = format!(
                "{} of the {} is {given}{fits}",
                self.dimension_title(slot, dimension),
                self.part(slot)
            );
            text.also.clear();
            return;
        }
        if let Some(question) = finding.questions.first() {
            let title = self.dimension_title(question.slot, question.dimension);
            let part = self.part(question.slot);
            let quantity = self.quantity(question.slot, question.dimension);
            let fits = self
                .sensible(question)
                .map(|cases| format!("; fits if {}", self.cases(quantity, &cases)))
                .unwrap_or_default();
            let others = finding.questions.len() - 1;
            let others = if others > 0 {
                format!(" (and {others} more)")
            } else {
                String::new()
            };
            let known = self.known.reading(question.slot, question.dimension);
            let ask = match known {
                None => format!("not known: {title} ({part}){fits}{others}"),
                Some(reading) => {
                    let shown = self.reading(quantity, reading);
                    format!("{title} ({part}) is {shown}, which does not decide it{fits}{others}")
                }
            };
            // A sentence about readings that are not there helps nobody.
            let bare = text.headline.is_empty() || text.headline.contains("unknown");
            text.headline = if bare {
                ask
            } else {
                format!("{}; {ask}", text.headline)
            };
            text.also.clear();
        }
    }

    fn question(&self, question: &crate::solve::Question) -> QuestionText {
        let kind = self
            .catalog
            .slots()
            .get(question.slot)
            .map_or(usize::MAX, |slot| slot.kind);
        let slot = self
            .catalog
            .slots()
            .get(question.slot)
            .map(|slot| slot.name.as_str())
            .unwrap_or_default();
        let quantity = self.quantity(question.slot, question.dimension);
        let fits_if = self
            .sensible(question)
            .map(|cases| self.cases(quantity, &cases));
        match self.catalog.body(kind).dimensions.get(question.dimension) {
            Some(dimension) => QuestionText {
                dimension: format!("{slot}.{}", dimension.name),
                what: dimension.title.to_string(),
                how: dimension.how.to_string(),
                tool: dimension.tool.to_string(),
                access: dimension.access.words(),
                fits_if,
            },
            None => QuestionText {
                dimension: slot.to_owned(),
                what: String::new(),
                how: String::new(),
                tool: String::new(),
                access: "",
                fits_if,
            },
        }
    }

    /// The readings with which it fits, as far as such a part can have them.
    fn sensible(&self, question: &crate::solve::Question) -> Option<Cases> {
        let kind = self.catalog.slots().get(question.slot)?.kind;
        let dimension = self.catalog.body(kind).dimensions.get(question.dimension)?;
        match question.fits_if.as_ref()? {
            names @ Cases::Names(_) => Some(names.clone()),
            Cases::Numbers(spans) => {
                let open = |span: &Span| {
                    // An end beyond all reason is no end.
                    let low = if span.low <= dimension.range.low {
                        Span::LEAST
                    } else {
                        span.low
                    };
                    let high = if span.high >= dimension.range.high {
                        Span::MOST
                    } else {
                        span.high
                    };
                    dimension.range.meet(*span).map(|_| Span { low, high })
                };
                let spans: Vec<Span> = spans.iter().filter_map(open).collect();
                (!spans.is_empty()).then_some(Cases::Numbers(spans))
            }
        }
    }

    pub(super) fn code(&self, at: JointAt, claim: &Claim) -> String {
        let family = FAMILIES.get(at.family);
        let code = family
            .and_then(|family| family.codes.get(usize::from(claim.code)))
            .copied()
            .unwrap_or_default();
        format!("{}/{code}", family.map_or("", |family| family.name))
    }

    fn code_text(&self, at: JointAt, claim: &Claim) -> Option<&Code> {
        self.catalog
            .book(at.family)
            .codes
            .get(usize::from(claim.code))
    }

    pub(super) fn says(&self, finding: &Finding, claim: &Claim) -> String {
        let Some(code) = self.code_text(finding.at, claim) else {
            return String::new();
        };
        let template = match claim.holds {
            Holds::No => &code.fails,
            Holds::Yes => &code.holds,
            Holds::Open => &code.open,
        };
        fill(template, |name| self.value(finding, claim, name))
    }

    pub(super) fn advice(&self, finding: &Finding, claim: &Claim) -> Option<String> {
        let code = self.code_text(finding.at, claim)?;
        let note = claim
            .row
            .and_then(|fact| self.catalog.fact(fact))
            .and_then(|fact| fact.note.as_ref());
        let text = match note {
            Some(note) => note.to_string(),
            None => fill(&code.advice, |name| self.value(finding, claim, name)),
        };
        (!text.is_empty()).then_some(text)
    }

    /// The value of a name in a text: a reading, a part, or a figure of the claim.
    fn value(&self, finding: &Finding, claim: &Claim, name: &str) -> Option<String> {
        match name {
            "value" => {
                return claim
                    .value
                    .map(|(quantity, span)| show_span(quantity, span));
            }
            "limit" => {
                let bound = claim.bound?;
                let quantity = claim
                    .value
                    .map_or(Quantity::Length, |(quantity, _)| quantity);
                return Some(show_span(quantity, bound.limit));
            }
            "difference" => return Some(difference(claim).unwrap_or_else(|| "0".to_owned())),
            "needs" => {
                let needs: Vec<String> = claim
                    .needs
                    .iter()
                    .map(|need| need.what.to_string())
                    .collect();
                return Some(list(&needs));
            }
            _ => {}
        }
        let family = FAMILIES.get(finding.at.family)?;
        let (end, field) = name.split_once('.').unwrap_or((name, ""));
        let number = family.end_index(end)?;
        if field.is_empty() {
            return self
                .known
                .slot_of(finding.at, number)
                .map(|slot| self.part(slot));
        }
        let index = family
            .ends
            .get(number)?
            .fields
            .iter()
            .position(|known| known.name == field)?;
        let field = Field {
            end: u8::try_from(number).ok()?,
            field: u8::try_from(index).ok()?,
        };
        let quantity = family.field(field)?.quantity;
        Some(self.shown(finding, field, quantity))
    }

    pub(super) fn shown(&self, finding: &Finding, field: Field, quantity: Quantity) -> String {
        let run = finding.judgement.main();
        let implied = run
            .and_then(|run| run.implied.iter().find(|(known, _)| *known == field))
            .map(|(_, reading)| reading);
        let cells = self.known.cells(finding.at);
        match implied.or_else(|| cells.get(field)) {
            Some(reading) => self.reading(quantity, reading),
            None => "unknown".to_owned(),
        }
    }

    fn figures(&self, finding: &Finding) -> Vec<String> {
        let mut told: Vec<&Claim> = Vec::new();
        let mut figures = Vec::new();
        for claim in finding.judgement.claims().iter().filter(|claim| claim.told) {
            let nth = told.iter().filter(|known| known.code == claim.code).count();
            told.push(claim);
            let mut before = finding
                .before
                .iter()
                .filter(|(code, _)| *code == claim.code);
            let before = before.nth(nth).and_then(|(_, value)| *value);
            let says = self.says(finding, claim);
            figures.push(match before.filter(|before| Some(*before) != claim.value) {
                Some((quantity, span)) => {
                    format!("{says} (before: {})", show_span(quantity, span))
                }
                None => says,
            });
        }
        figures
    }
}
