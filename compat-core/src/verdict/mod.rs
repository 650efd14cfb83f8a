//! Verdicts, the claims they rest on, and who says so.
//!
//! Knows nothing of which joints exist.

mod claim;
mod source;

pub use claim::{Bound, Claim, Field, Holds, Need, Side, Term, Turn};
pub use source::{Fact, FactId, Grade, Source};

/// The four answers, from the best to the worst.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Verdict {
    /// It fits as it is.
    #[default]
    Fits,
    /// It fits with the parts or steps named.
    FitsWith,
    /// A dimension decides that nobody knows yet.
    MeasureFirst,
    /// It does not fit, for the grounds given.
    DoesNotFit,
}

impl Verdict {
    /// All four.
    pub const ALL: [Verdict; 4] = [
        Verdict::Fits,
        Verdict::FitsWith,
        Verdict::MeasureFirst,
        Verdict::DoesNotFit,
    ];

    /// Both together: the worse of the two. Commutative, associative and idempotent.
    #[must_use]
    pub fn and(self, other: Verdict) -> Verdict {
        self.max(other)
    }

    /// Either the one or the other, nobody knows which: where both are a fit, with or without
    /// something, it is one; where both are the same, that stands; else it must be measured.
    #[must_use]
    pub fn either(self, other: Verdict) -> Verdict {
        if self == other || self.max(other) <= Verdict::FitsWith {
            self.max(other)
        } else {
            Verdict::MeasureFirst
        }
    }

    /// The verdict in words.
    pub fn words(self) -> &'static str {
        match self {
            Verdict::Fits => "fits",
            Verdict::FitsWith => "fits with",
            Verdict::MeasureFirst => "measure first",
            Verdict::DoesNotFit => "does not fit",
        }
    }
}

/// Why something does not fit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Ground {
    /// Beyond a published limit. People often exceed it; that is neither a fit nor impossible.
    OutsideRating,
    /// The parts cannot be joined.
    CannotJoin,
    /// A published caution is against it.
    Unsafe,
}

impl Ground {
    /// All grounds, with the words the catalogue and the reports use.
    pub const ALL: &'static [(Ground, &'static str)] = &[
        (Ground::OutsideRating, "outside the rating"),
        (Ground::CannotJoin, "cannot be joined"),
        (Ground::Unsafe, "unsafe"),
    ];

    /// The ground in words.
    pub fn words(self) -> &'static str {
        Self::ALL
            .iter()
            .find(|(ground, _)| *ground == self)
            .map_or("", |(_, words)| words)
    }

    /// The ground for words of the catalogue.
    pub fn from_words(words: &str) -> Option<Ground> {
        Self::ALL
            .iter()
            .find(|(_, known)| *known == words)
            .map(|(ground, _)| *ground)
    }
}
