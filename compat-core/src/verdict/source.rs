//! Who says so, and how good that is.

use crate::text::{Phrase, Place};

/// How good a figure is, from the best to the weakest.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Grade {
    /// Arithmetic or plain geometry on the figures it names.
    Computed,
    /// A published standard or regulation.
    Standard,
    /// A handbook, a maker's technical document or a reference article.
    Published,
    /// Common in the trade; no source.
    Practice,
    /// From memory, unchecked.
    Memory,
}

impl Grade {
    /// All grades, with their words.
    pub const ALL: &'static [(Grade, &'static str)] = &[
        (Grade::Computed, "computed"),
        (Grade::Standard, "standard"),
        (Grade::Published, "published"),
        (Grade::Practice, "practice"),
        (Grade::Memory, "memory"),
    ];

    /// The grade in a word.
    pub fn word(self) -> &'static str {
        Self::ALL
            .iter()
            .find(|(grade, _)| *grade == self)
            .map_or("", |(_, word)| word)
    }

    /// The grade for a word of the catalogue.
    pub fn from_word(word: &str) -> Option<Grade> {
        Self::ALL
            .iter()
            .find(|(_, known)| *known == word)
            .map(|(grade, _)| *grade)
    }
}

/// A publication.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Source {
    /// The short key facts cite it by.
    pub key: Phrase,
    /// Its title.
    pub title: Phrase,
    /// Who published it.
    pub publisher: Phrase,
    /// Where it is found.
    pub address: Phrase,
}

/// The number of a cited fact: the family it belongs to and its place in that family's book.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FactId {
    /// Which family.
    pub family: u16,
    /// Which of its facts.
    pub fact: u16,
}

impl FactId {
    /// As one number.
    pub fn packed(self) -> u32 {
        u32::from(self.family) << 16 | u32::from(self.fact)
    }

    /// From one number.
    pub fn unpacked(packed: u32) -> Self {
        let low = packed & 0xffff;
        FactId {
            family: u16::try_from(packed >> 16).unwrap_or(u16::MAX),
            fact: u16::try_from(low).unwrap_or(u16::MAX),
        }
    }
}

/// A number or a row of the catalogue, with who says so.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fact {
    /// Where it is written.
    pub place: Place,
    /// The keys of the publications it stands in; none for practice, memory and arithmetic.
    pub sources: Vec<Phrase>,
    /// How good it is.
    pub grade: Grade,
    /// What there is to say about it.
    pub note: Option<Phrase>,
}
