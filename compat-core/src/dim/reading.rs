//! What is known of one dimension, and where it comes from.

use super::Span;
use crate::text::Place;

/// A name from a closed list of the catalogue.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Label {
    /// Which list.
    pub list: u16,
    /// Which of its names.
    pub name: u16,
}

/// Either this or that: one case where it is certain, several where it is one of them.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Cases {
    /// Numbers, each a span that is a single value where it is exact.
    Numbers(Vec<Span>),
    /// Names.
    Names(Vec<Label>),
}

impl Cases {
    /// How many cases there are.
    pub fn len(&self) -> usize {
        match self {
            Cases::Numbers(spans) => spans.len(),
            Cases::Names(labels) => labels.len(),
        }
    }

    /// True where there is no case at all, which no reading has.
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// One of the cases by itself.
    pub fn only(&self, index: usize) -> Option<Cases> {
        match self {
            Cases::Numbers(spans) => spans.get(index).map(|span| Cases::Numbers(vec![*span])),
            Cases::Names(labels) => labels.get(index).map(|label| Cases::Names(vec![*label])),
        }
    }

    /// The single span, where there is just one.
    pub fn span(&self) -> Option<Span> {
        match self {
            Cases::Numbers(spans) => match spans.as_slice() {
                [span] => Some(*span),
                _ => None,
            },
            Cases::Names(_) => None,
        }
    }

    /// The single name, where there is just one.
    pub fn label(&self) -> Option<Label> {
        match self {
            Cases::Names(labels) => match labels.as_slice() {
                [label] => Some(*label),
                _ => None,
            },
            Cases::Numbers(_) => None,
        }
    }

    /// Adds the cases of another; used where sources disagree and both must stand.
    pub fn join(&mut self, other: &Cases) {
        match (self, other) {
            (Cases::Numbers(mine), Cases::Numbers(theirs)) => {
                for span in theirs {
                    if !mine.contains(span) {
                        mine.push(*span);
                    }
                }
            }
            (Cases::Names(mine), Cases::Names(theirs)) => {
                for label in theirs {
                    if !mine.contains(label) {
                        mine.push(*label);
                    }
                }
            }
            _ => {}
        }
    }

    /// The cases both allow; `None` where they contradict each other.
    pub fn meet(&self, other: &Cases) -> Option<Cases> {
        match (self, other) {
            (Cases::Numbers(mine), Cases::Numbers(theirs)) => {
                let mut both: Vec<Span> = Vec::new();
                for span in mine
                    .iter()
                    .flat_map(|a| theirs.iter().filter_map(|b| a.meet(*b)))
                {
                    // What lies inside another case says no more than that one.
                    let inside = |a: &Span, b: &Span| a.meet(*b) == Some(*a);
                    if !both.iter().any(|known| inside(&span, known)) {
                        both.retain(|known| !inside(known, &span));
                        both.push(span);
                    }
                }
                (!both.is_empty()).then_some(Cases::Numbers(both))
            }
            (Cases::Names(mine), Cases::Names(theirs)) => {
                let both: Vec<Label> = mine
                    .iter()
                    .filter(|a| theirs.contains(a))
                    .copied()
                    .collect();
                (!both.is_empty()).then_some(Cases::Names(both))
            }
            _ => None,
        }
    }
}

/// Where a reading comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Origin {
    /// Marked on the part or in its papers.
    Stated(Place),
    /// Taken from the part with a tool.
    Measured(Place),
    /// Said by the catalogue of the name the part goes by; the number of the cited fact.
    Catalogue(u32),
    /// Told by another part that is joined to it; the number of the inference.
    Inferred(u32),
}

impl Origin {
    /// The origin in a word.
    pub fn word(self) -> &'static str {
        match self {
            Origin::Stated(_) => "stated",
            Origin::Measured(_) => "measured",
            Origin::Catalogue(_) => "catalogue",
            Origin::Inferred(_) => "inferred",
        }
    }
}

/// What is known of one dimension.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Reading {
    /// The cases.
    pub cases: Cases,
    /// Where it comes from.
    pub origin: Origin,
}

/// What a file says of one dimension: what is stated, what was measured, or both.
#[derive(Clone, Debug, Default, PartialEq, Eq, Hash)]
pub struct Entry {
    /// As marked on the part or in its papers.
    pub stated: Option<Reading>,
    /// As measured.
    pub measured: Option<Reading>,
    /// True where both are known and cannot both be right.
    pub disagrees: bool,
}

impl Entry {
    /// The reading that decides. A measurement that agrees with the marking, as near as the tool
    /// can tell, confirms the marking: a post that measures 27.18 is a 27.2. One that does not
    /// agree beats it.
    pub fn deciding(&self) -> Option<&Reading> {
        match (&self.stated, &self.measured) {
            (Some(stated), Some(_)) if !self.disagrees => Some(stated),
            (stated, measured) => measured.as_ref().or(stated.as_ref()),
        }
    }

    /// True where nothing is known.
    pub fn is_unknown(&self) -> bool {
        self.deciding().is_none()
    }

    /// Compares what is stated with what is measured, allowing `slack` between them. Of several
    /// markings only those stand that the measurement leaves.
    pub fn compare(&mut self, slack: i64) {
        let (Some(stated), Some(measured)) = (&mut self.stated, &self.measured) else {
            return;
        };
        let left = match &stated.cases {
            Cases::Numbers(spans) => {
                let near = |span: &&Span| {
                    let wide = span.plus(Span::between(-slack, slack));
                    let wide = Cases::Numbers(vec![wide]);
                    wide.meet(&measured.cases).is_some()
                };
                Cases::Numbers(spans.iter().filter(near).copied().collect())
            }
            names => names
                .meet(&measured.cases)
                .unwrap_or(Cases::Names(Vec::new())),
        };
        self.disagrees = left.is_empty();
        if !self.disagrees {
            stated.cases = left;
        }
    }
}
