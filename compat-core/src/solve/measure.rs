//! What must be measured before anything is ordered: the dimensions that decide what is still open,
//! and none that cannot change an answer.
//!
//! The rules themselves say what they want to know. Answers are tried on each open joint, so that a
//! question which only comes up after another was answered is found too, and one that never changes
//! an answer is left out. Nothing here is random: the same bike gives the same questions.

use super::case::Case;
use super::check::{Check, Finding, Options, check};
use super::judge::About;
use super::turns::{Band, bands, values};
use crate::bike::{Bike, JointAt, Look, Swap};
use crate::catalog::{Access, Catalog};
use crate::dim::{Cases, Entry, Origin, Reading};
use crate::joints::FAMILIES;
use crate::text::Place;
use crate::verdict::{Holds, Verdict};

/// How many sets of answers are tried on a joint.
const TRIES: usize = 48;
/// How many questions may follow from each other's answers.
const MOST_ROUNDS: usize = 16;
/// How often another answer is tried in the place of one with which the joint does not fit.
const RETRIES: usize = 6;

/// What is asked: a dimension of a part, or a look at a joint.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Asked {
    /// A dimension: slot, and dimension of its kind.
    Dimension(usize, usize),
    /// A look at a joint, for the sake of a code; of none for a complaint.
    Look(JointAt, Option<u8>),
}

/// A question, and what its answers decide.
#[derive(Clone, Debug)]
pub struct Asking {
    /// What is asked.
    pub asked: Asked,
    /// The open joints it is asked for.
    pub joints: Vec<JointAt>,
    /// How many of them its answer can settle by itself.
    pub alone: usize,
    /// True where it only comes up after others were answered in some way.
    pub later: bool,
    /// Answers to the other questions, and two to this one with which the joint comes to different
    /// verdicts: the proof that the question is needed. None where a joint is open and no answer was
    /// found that changes it.
    pub proof: Option<Proof>,
    /// For each joint of which it is the only open question, what its readings come to.
    pub bands: Vec<(JointAt, Vec<Band>)>,
}

/// Why a question is needed.
#[derive(Clone, Debug)]
pub struct Proof {
    /// The joint.
    pub joint: JointAt,
    /// The answers to the other questions.
    pub others: Answers,
    /// An answer, and the verdict of the joint.
    pub one: (Answer, Verdict),
    /// Another answer, and the verdict of the joint.
    pub other: (Answer, Verdict),
}

/// Everything that must be measured or looked at.
#[derive(Debug)]
pub struct Measure {
    /// The check as it stands.
    pub check: Check,
    /// The questions, those that settle most first, of these those easiest to take.
    pub asks: Vec<Asking>,
    /// How many dimensions of the bike as it would be nobody knows.
    pub unknown: usize,
}

/// An answer that is tried.
pub type Answers = Vec<(Asked, Answer)>;

/// What an answer says.
#[derive(Clone, Debug, PartialEq)]
pub enum Answer {
    /// A reading.
    Reading(Cases),
    /// It holds, or it does not.
    Holds(bool),
}

/// What must be measured for a swap set on a bike.
pub fn measure(catalog: &Catalog, bike: &Bike, swap: Option<&Swap>, options: Options) -> Measure {
    let case = Case::new(catalog, bike, swap, options);
    let check = check(catalog, bike, swap, options);
    let open = check.findings.iter().filter(|finding| {
        let apart = finding.standing && swap.is_some();
        finding.outcome == Verdict::MeasureFirst && !apart
    });
    let mut asks: Vec<Asking> = Vec::new();
    for finding in open {
        for found in Trial::new(&case, finding.at).asks(finding) {
            match asks.iter_mut().find(|known| known.asked == found.asked) {
                Some(known) => {
                    known.joints.extend(found.joints);
                    known.alone += found.alone;
                    known.later &= found.later;
                    known.bands.extend(found.bands);
                }
                None => asks.push(found),
            }
        }
    }
    asks.sort_by_key(|asking| {
        let first = (asking.later, std::cmp::Reverse(asking.joints.len()));
        (
            first,
            std::cmp::Reverse(asking.alone),
            access(&case, asking.asked),
        )
    });
    Measure {
        unknown: unknown(catalog, &case.after),
        check,
        asks,
    }
}

/// Where one must get to for an answer.
fn access(case: &Case<'_>, asked: Asked) -> Access {
    let Asked::Dimension(slot, dimension) = asked else {
        return Access::PartOff;
    };
    let kind = case.catalog.slots().get(slot).map(|slot| slot.kind);
    let body = kind.map(|kind| case.catalog.body(kind));
    body.and_then(|body| body.dimensions.get(dimension))
        .map_or(Access::Stripped, |dimension| dimension.access)
}

/// How many dimensions of the parts of a bike nobody knows.
fn unknown(catalog: &Catalog, bike: &Bike) -> usize {
    let slots = catalog.slots().iter().enumerate();
    let parts = slots.filter(|(_, slot)| !slot.no_part);
    let entries = parts.filter_map(|(slot, _)| Some(&bike.part(slot)?.entries));
    entries.flatten().filter(|entry| entry.is_unknown()).count()
}

/// The trying of answers on one joint.
pub(super) struct Trial<'c, 'a> {
    case: &'c Case<'a>,
    at: JointAt,
    stood: Vec<About>,
    open: Vec<About>,
    state: u64,
}

impl<'c, 'a> Trial<'c, 'a> {
    /// Begins with a joint.
    pub fn new(case: &'c Case<'a>, at: JointAt) -> Self {
        Trial {
            case,
            at,
            stood: case.stood(at),
            open: case.open(at),
            state: 0x9e37_79b9_7f4a_7c15,
        }
    }

    /// A number below a bound, the next of a fixed row.
    fn next(&mut self, below: usize) -> usize {
        self.state ^= self.state << 13;
        self.state ^= self.state >> 7;
        self.state ^= self.state << 17;
        let below = u64::try_from(below.max(1)).unwrap_or(1);
        usize::try_from(self.state % below).unwrap_or(0)
    }

    /// The joint with answers given.
    pub fn finding(&self, answers: &[(Asked, Answer)]) -> Finding {
        let mut bike = self.case.after.clone();
        for (asked, answer) in answers {
            answered(&mut bike, *asked, answer);
        }
        self.case.brief(&bike, self.at, &self.stood, &self.open)
    }

    /// What a finding asks now.
    fn questions(&self, finding: &Finding) -> Vec<Asked> {
        if finding.outcome != Verdict::MeasureFirst {
            return Vec::new();
        }
        let mut asked: Vec<Asked> = finding
            .questions
            .iter()
            .map(|question| Asked::Dimension(question.slot, question.dimension))
            .collect();
        if !finding.complaints.is_empty() {
            asked.insert(0, Asked::Look(self.at, None));
        }
        if asked.is_empty() {
            let claims = finding.judgement.claims().iter();
            let open = claims.filter(|claim| claim.holds == Holds::Open);
            asked.extend(open.map(|claim| Asked::Look(self.at, Some(claim.code))));
            asked.dedup();
        }
        asked
    }

    fn answers(&self, finding: &Finding, asked: Asked) -> Vec<Answer> {
        match asked {
            Asked::Dimension(slot, dimension) => {
                let known = self.case.known();
                let readings = values(&known, finding, slot, dimension).into_iter();
                readings.map(Answer::Reading).collect()
            }
            Asked::Look(..) => vec![Answer::Holds(true), Answer::Holds(false)],
        }
    }

    /// The questions of an open joint: those whose answer can change what it comes to.
    pub fn asks(mut self, finding: &Finding) -> Vec<Asking> {
        let now = self.questions(finding);
        let mut found = now.clone();
        let mut tried: Vec<Answers> = Vec::new();
        for _ in 0..TRIES {
            let answers = self.complete(finding, &mut found);
            if !tried.contains(&answers) {
                tried.push(answers);
            }
        }
        let mut needed: Vec<(Asked, Option<Proof>)> = found
            .into_iter()
            .map(|asked| (asked, self.proof(asked, &tried)))
            .filter(|(_, proof)| proof.is_some())
            .collect();
        // A joint that is open is never passed over.
        if needed.is_empty() {
            needed.extend(now.iter().map(|asked| (*asked, None)));
        }
        let only = needed.len() == 1;
        // Where what is asked now changes nothing by itself, what would follow is asked at once.
        let stuck = !needed.iter().any(|(asked, _)| now.contains(asked));
        let asking = |(asked, proof): (Asked, Option<Proof>)| {
            let bands = match asked {
                Asked::Dimension(slot, dimension) if only => {
                    vec![(self.at, bands(&self, finding, slot, dimension))]
                }
                _ => Vec::new(),
            };
            Asking {
                asked,
                joints: vec![self.at],
                alone: usize::from(only),
                later: !stuck && !now.contains(&asked),
                proof,
                bands,
            }
        };
        needed.into_iter().map(asking).collect()
    }

    /// Answers every question, one after the other, and those that follow, until none is left.
    fn complete(&mut self, finding: &Finding, found: &mut Vec<Asked>) -> Answers {
        let mut answers = Answers::new();
        let mut finding = finding.clone();
        for _ in 0..MOST_ROUNDS {
            let asked = self.questions(&finding);
            found.extend(
                asked
                    .iter()
                    .filter(|asked| !found.contains(asked))
                    .collect::<Vec<_>>(),
            );
            let given = |asked: &Asked| answers.iter().any(|(known, _)| known == asked);
            let news: Vec<Asked> = asked.into_iter().filter(|asked| !given(asked)).collect();
            let turn = self.next(news.len());
            let Some(question) = news.get(turn) else {
                break;
            };
            let choices = self.answers(&finding, *question);
            for again in (0..RETRIES).rev() {
                let choice = self.next(choices.len());
                let Some(answer) = choices.get(choice) else {
                    break;
                };
                answers.push((*question, answer.clone()));
                finding = self.finding(&answers);
                // What clashes at once hides the questions behind it; mostly another is tried.
                if finding.outcome != Verdict::DoesNotFit || again == 0 || self.next(4) == 0 {
                    break;
                }
                answers.pop();
            }
        }
        answers.sort_by_key(|(asked, _)| *asked);
        answers
    }

    /// Two answers to a question that come to different verdicts, with the same answers to all others.
    fn proof(&self, asked: Asked, tried: &[Answers]) -> Option<Proof> {
        let with = tried
            .iter()
            .filter(|answers| answers.iter().any(|(known, _)| *known == asked));
        for answers in with {
            let others: Answers = answers
                .iter()
                .filter(|(known, _)| *known != asked)
                .cloned()
                .collect();
            // A look settles what a dimension would have; nobody has looked before he measures.
            let mut unseen = others.clone();
            unseen.retain(|(known, _)| matches!(known, Asked::Dimension(..)));
            let apart = matches!(asked, Asked::Dimension(..)) && unseen != others;
            let found = self.differ(asked, others);
            let found = match found {
                None if apart => self.differ(asked, unseen),
                found => found,
            };
            if found.is_some() {
                return found;
            }
        }
        None
    }

    /// Two answers to a question that come to different verdicts, with these answers to others.
    fn differ(&self, asked: Asked, others: Answers) -> Option<Proof> {
        let open = self.finding(&others);
        let mut first: Option<(Answer, Verdict)> = None;
        for answer in self.answers(&open, asked) {
            let mut all = others.clone();
            all.push((asked, answer.clone()));
            let here = (answer, self.finding(&all).outcome);
            match first {
                Some(one) if one.1 != here.1 => {
                    return Some(Proof {
                        joint: self.at,
                        others,
                        one,
                        other: here,
                    });
                }
                Some(_) => {}
                None => first = Some(here),
            }
        }
        None
    }

    /// The case.
    pub fn case(&self) -> &Case<'a> {
        self.case
    }
}

/// Puts an answer where it belongs.
fn answered(bike: &mut Bike, asked: Asked, answer: &Answer) {
    match (asked, answer) {
        (Asked::Dimension(slot, dimension), Answer::Reading(cases)) => {
            let part = bike.parts.get_mut(slot).and_then(Option::as_mut);
            if let Some(entry) = part.and_then(|part| part.entries.get_mut(dimension)) {
                let origin = Origin::Measured(Place::default());
                let cases = cases.clone();
                *entry = Entry {
                    measured: Some(Reading { cases, origin }),
                    ..Entry::default()
                };
            }
        }
        (Asked::Look(at, code), Answer::Holds(holds)) => bike.looks.push(Look {
            family: at.family,
            code,
            slot: None,
            holds: *holds,
            place: Place::default(),
        }),
        _ => {}
    }
}

/// A look in the words of `--set`: `family/code`, with a slot of the joint where the family judges
/// several.
pub fn look_name(catalog: &Catalog, at: JointAt, code: Option<u8>) -> String {
    let family = FAMILIES.get(at.family);
    let name = family.map_or("", |family| family.name);
    let code = code.and_then(|code| family?.codes.get(usize::from(code)).copied());
    let code = code.unwrap_or(crate::bike::COMPLAINT);
    let joints = catalog.joints(at.family);
    let own = joints.get(at.joint);
    let mut slots = own.into_iter().flat_map(|joint| joint.hangs_on());
    let several = joints.len() > 1;
    let apart = slots.find(|slot| {
        let with = joints
            .iter()
            .filter(|joint| joint.hangs_on().any(|there| there == *slot));
        with.count() < joints.len()
    });
    match apart
        .and_then(|slot| catalog.slots().get(slot))
        .filter(|_| several)
    {
        Some(slot) => format!("{name}/{code}@{}", slot.name),
        None => format!("{name}/{code}"),
    }
}
