//! What a part could be, in words.

use serde::Serialize;

use super::VERSION;
use crate::catalog::{Catalog, Dimension};
use crate::dim::{Cases, Quantity, Span, show_cases, show_value};
use crate::explain::list;
use crate::solve::{Candidate, Found, Identified, Off};
use crate::text::clean_line;
use crate::verdict::{Fact, Grade};

/// What readings come to.
#[derive(Clone, Debug, Serialize)]
pub struct IdentifyReport {
    /// The version of this form.
    pub version: u32,
    /// True where every thing that was measured could be something.
    pub found: bool,
    /// One for each thing that was measured.
    pub things: Vec<ThingText>,
}

/// A thing that was measured.
#[derive(Clone, Debug, Serialize)]
pub struct ThingText {
    /// The kind of part.
    pub kind: String,
    /// The kind in words.
    pub title: String,
    /// The readings.
    pub readings: Vec<ReadingText>,
    /// How many sizes were looked through.
    pub sizes: usize,
    /// What it could be, the likeliest first.
    pub candidates: Vec<CandidateText>,
    /// Where it could be nothing that is listed: the nearest.
    pub nearest: Option<CandidateText>,
    /// The reading that tells most of what is left.
    pub next: Option<NextText>,
    /// What else could be done.
    pub else_do: Option<String>,
}

/// A reading.
#[derive(Clone, Debug, Serialize)]
pub struct ReadingText {
    /// Its name on the command line.
    pub set: String,
    /// In words.
    pub what: String,
    /// What was read.
    pub value: String,
    /// Its standard error; nothing for what is counted or named.
    pub error: Option<String>,
}

/// A size it could be.
#[derive(Clone, Debug, Serialize)]
pub struct CandidateText {
    /// What it is called.
    pub names: Vec<String>,
    /// Its share among those it could be.
    pub share: String,
    /// The same, in thousandths.
    pub thousandths: u32,
    /// How each reading lies to it.
    pub readings: Vec<OffText>,
    /// The weakest grade of the figures it rests on.
    pub grade: &'static str,
    /// Who says so.
    pub sources: Vec<String>,
}

/// How a reading lies to a size.
#[derive(Clone, Debug, Serialize)]
pub struct OffText {
    /// The dimension in words.
    pub what: String,
    /// What the size has there; nothing where it is not said.
    pub size: Option<String>,
    /// How far the reading is off: `0.02 mm over`.
    pub off: String,
    /// In standard errors, to a tenth.
    pub sigmas: Option<String>,
}

/// The reading that tells most.
#[derive(Clone, Debug, Serialize)]
pub struct NextText {
    /// Its name on the command line.
    pub set: String,
    /// In words.
    pub what: String,
    /// How it is taken.
    pub how: String,
    /// With what.
    pub tool: String,
    /// Where one must get to.
    pub access: &'static str,
    /// True where it was read and wants reading again with this tool.
    pub again: bool,
    /// True for what is looked at and not measured.
    pub look: bool,
    /// What is read, and what it would then be.
    pub shows: Vec<ShowsText>,
}

/// What is read, and what it would then be.
#[derive(Clone, Debug, Serialize)]
pub struct ShowsText {
    /// The reading.
    pub value: String,
    /// What it would be.
    pub names: Vec<String>,
}

impl IdentifyReport {
    /// Puts what was found into words.
    pub fn of(catalog: &Catalog, found: &Found) -> IdentifyReport {
        let things = found
            .things
            .iter()
            .map(|thing| Words { catalog, thing }.thing());
        let things: Vec<ThingText> = things.collect();
        IdentifyReport {
            version: VERSION,
            found: things.iter().all(|thing| !thing.candidates.is_empty()),
            things,
        }
    }
}

struct Words<'w> {
    catalog: &'w Catalog,
    thing: &'w Identified,
}

impl<'w> Words<'w> {
    fn dimension(&self, number: usize) -> Option<&'w Dimension> {
        self.catalog.bench_dimension(self.thing.kind, number)
    }

    fn what(&self, number: usize) -> String {
        self.dimension(number)
            .map_or(String::new(), |one| one.title.to_string())
    }

    fn set(&self, number: usize) -> String {
        let kind = self.catalog.kind(self.thing.kind);
        let kind = kind.map_or("", |kind| kind.name.as_str());
        let name = self.dimension(number).map_or("", |one| one.name.as_str());
        format!("{kind}.{name}")
    }

    fn cases(&self, number: usize, cases: &Cases) -> String {
        let quantity = self
            .dimension(number)
            .map_or(Quantity::Name, |one| one.quantity);
        let shown = match cases {
            Cases::Numbers(spans) if quantity == Quantity::Length => {
                let fine = spans.iter().map(|span| Span {
                    low: to(span.low, MICROMETRE),
                    high: to(span.high, MICROMETRE),
                });
                Cases::Numbers(fine.collect())
            }
            known => known.clone(),
        };
        let text = show_cases(quantity, &shown, |label| self.catalog.label_title(label));
        clean_line(&text)
    }

    fn thing(&self) -> ThingText {
        let body = self.catalog.body(self.thing.kind);
        let kind = self.catalog.kind(self.thing.kind);
        let readings = self.thing.taken.iter().map(|taken| {
            let quantity = self.dimension(taken.number).map(|one| one.quantity);
            let error = quantity.filter(|_| taken.error > 0);
            ReadingText {
                set: self.set(taken.number),
                what: self.what(taken.number),
                value: self.cases(taken.number, &taken.cases),
                error: error.map(|quantity| show_value(quantity, taken.error)),
            }
        });
        let one = |candidate: &Candidate| self.candidate(candidate);
        ThingText {
            kind: kind.map_or(String::new(), |kind| kind.name.to_string()),
            title: body.title.to_string(),
            readings: readings.collect(),
            sizes: self.thing.sizes,
            candidates: self.thing.candidates.iter().map(one).collect(),
            nearest: self.thing.nearest.as_ref().map(one),
            next: self.next(),
            else_do: self.else_do(),
        }
    }

    fn candidate(&self, candidate: &Candidate) -> CandidateText {
        let readings = self.thing.taken.iter().zip(&candidate.off);
        // Of what stands behind a size, only what speaks of a reading; a formula's reading hangs on all.
        let all = &candidate.size.facts;
        let speaks = |numbers: &[usize]| {
            let mut taken = self.thing.taken.iter();
            taken.any(|taken| numbers.contains(&taken.number))
        };
        let told = all.iter().filter(|(_, numbers)| speaks(numbers));
        let mut facts: Vec<&Fact> = told.map(|(fact, _)| fact).collect();
        if facts.is_empty() {
            facts = all.iter().map(|(fact, _)| fact).collect();
        }
        let grade = facts.iter().map(|fact| fact.grade).max();
        let thousandths = thousandths(candidate.share);
        CandidateText {
            names: candidate.size.titles.clone(),
            share: share(candidate.share),
            thousandths,
            readings: readings
                .map(|(taken, off)| self.off(taken.number, candidate, *off))
                .collect(),
            grade: grade.unwrap_or(Grade::Memory).word(),
            sources: {
                let mut said: Vec<String> = facts.iter().map(|fact| self.source(fact)).collect();
                said.dedup();
                said
            },
        }
    }

    fn off(&self, number: usize, candidate: &Candidate, off: Off) -> OffText {
        let what = self.what(number);
        let size = candidate.size.cases(number);
        let size = size.map(|cases| self.cases(number, cases));
        let quantity = self
            .dimension(number)
            .map_or(Quantity::Name, |one| one.quantity);
        let (off, sigmas) = match off {
            Off::Silent => ("it says nothing of this".to_owned(), None),
            Off::By(_, far) if quantity == Quantity::Name => {
                let words = if far > 0.0 { "not this" } else { "the same" };
                (words.to_owned(), None)
            }
            Off::By(0, _) => ("right on".to_owned(), Some("0".to_owned())),
            Off::By(by, far) => {
                let side = if by > 0 { "over" } else { "under" };
                let by = match quantity {
                    Quantity::Length => fine(by.abs()),
                    _ => by.abs(),
                };
                let far = if far.is_finite() {
                    format!("{far:.1}")
                } else {
                    "many".to_owned()
                };
                (format!("{} {side}", show_value(quantity, by)), Some(far))
            }
        };
        OffText {
            what,
            size,
            off,
            sigmas,
        }
    }

    fn source(&self, fact: &Fact) -> String {
        let known = fact.sources.iter();
        let known = known.filter_map(|key| self.catalog.source(key));
        let mut said: Vec<String> = known
            .map(|source| format!("{} ({})", source.title, source.publisher))
            .collect();
        said.push(fact.grade.word().to_owned());
        said.extend(fact.note.iter().map(|note| note.to_string()));
        said.join("; ")
    }

    fn names(&self, who: &[usize]) -> Vec<String> {
        let all = &self.thing.candidates;
        let named = who.iter().filter_map(|index| all.get(*index));
        named.map(|one| one.size.titles.join(" / ")).collect()
    }

    fn next(&self) -> Option<NextText> {
        let next = self.thing.next.as_ref()?;
        let dimension = self.dimension(next.number)?;
        let shows = next.shows.iter().map(|(cases, who)| ShowsText {
            value: self.cases(next.number, cases),
            names: self.names(who),
        });
        Some(NextText {
            set: self.set(next.number),
            what: dimension.title.to_string(),
            how: dimension.how.to_string(),
            tool: dimension.tool.to_string(),
            access: dimension.access.words(),
            again: next.again,
            look: dimension.quantity == Quantity::Name,
            shows: shows.collect(),
        })
    }

    /// What is left to do where the next reading does not tell the first two apart.
    fn else_do(&self) -> Option<String> {
        let [first, second, ..] = self.thing.candidates.as_slice() else {
            return None;
        };
        let next = self.thing.next.as_ref();
        let settled = next.is_some_and(|next| next.settles || next.again);
        if settled || thousandths(second.share) < 10 {
            return None;
        }
        let both = list(&[first, second].map(|one| one.size.titles.join(" / ")));
        let Some(finer) = self.thing.finer else {
            let text = match self.thing.next {
                Some(_) => return None,
                None => {
                    "no dimension tells them apart: look for a mark on the part, or try the mate"
                }
            };
            return Some(format!("{both}: {text}"));
        };
        let dimension = self.dimension(finer.number)?;
        let value = |value| show_value(dimension.quantity, fine(value));
        let again = match finer.coarse {
            true => format!(
                "read it again to a standard error of {} or less, with a finer tool or as the mean of several places",
                value(finer.error)
            ),
            false => "read it again in several places and take the mean".to_owned(),
        };
        Some(format!(
            "{both} are {} apart in {}: {again}, or look for a size marked on the part",
            value(finer.gap),
            dimension.title,
        ))
    }
}

/// A micrometre.
const MICROMETRE: i64 = 1_000;
/// A hundredth of a millimetre.
const HUNDREDTH: i64 = 10_000;

/// A length as fine as it means something: to the hundredth of a millimetre, and a smaller one to the
/// micrometre.
fn fine(length: i64) -> i64 {
    let step = if length < 10 * HUNDREDTH {
        MICROMETRE
    } else {
        HUNDREDTH
    };
    to(length, step)
}

fn to(value: i64, step: i64) -> i64 {
    if matches!(value, Span::LEAST | Span::MOST) {
        return value;
    }
    let half = value.saturating_add(step / 2);
    half.div_euclid(step).saturating_mul(step)
}

/// A share in thousandths.
fn thousandths(share: f64) -> u32 {
    // A share lies between nothing and one.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let whole = (share.clamp(0.0, 1.0) * 1e3).round() as u32;
    whole
}

/// A share in words: never all, and never nothing.
fn share(share: f64) -> String {
    match thousandths(share) {
        0..10 => "< 1 %".to_owned(),
        991.. => "> 99 %".to_owned(),
        known => format!("{} %", known.saturating_add(5) / 10),
    }
}
