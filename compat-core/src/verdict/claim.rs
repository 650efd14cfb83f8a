//! What a rule says: one comparison, what it compared, and how it came out.

use super::{FactId, Ground};
use crate::dim::{Cases, Quantity, Span};
use crate::text::Phrase;

/// A dimension of a joint: which end, and which of its fields.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Field {
    /// The number of the end in its family.
    pub end: u8,
    /// The number of the field in its end.
    pub field: u8,
}

/// Whether a claim holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Holds {
    /// It holds for every value the readings allow.
    Yes,
    /// It holds for some and not for others, or a reading is missing.
    Open,
    /// It holds for none.
    No,
}

/// Which way a limit binds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Side {
    /// The value must not be below it.
    AtLeast,
    /// The value must not be above it.
    AtMost,
}

/// The limit a value was compared with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Bound {
    /// Which way it binds.
    pub side: Side,
    /// The limit.
    pub limit: Span,
    /// Who says so, where it is a figure of the catalogue.
    pub fact: Option<FactId>,
    /// The dimension that is the limit, where a part carries it.
    pub rated: Option<Field>,
}

/// A dimension in a sum, with how many times it counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Term {
    /// The dimension.
    pub field: Field,
    /// How many times it counts; below nothing where it is taken away.
    pub factor: i64,
}

/// The readings of one dimension at which a claim turns.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Turn {
    /// The dimension.
    pub field: Field,
    /// The readings with which it surely holds; `None` where none would.
    pub sure: Option<Cases>,
    /// The readings with which it may hold, or the parts at least be joined; `None` where nothing can
    /// be said.
    pub may: Option<Cases>,
}

/// What makes it fit: a part or a step.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Need {
    /// In words of the catalogue, or the name of the part.
    pub what: Phrase,
    /// Who says so.
    pub fact: Option<FactId>,
}

/// One comparison of a rule.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Claim {
    /// Which of the family's codes it is about.
    pub code: u8,
    /// Whether it holds.
    pub holds: Holds,
    /// Why it would not fit, where the row that was cited says so; else the code says it.
    pub ground: Option<Ground>,
    /// The dimensions it rests on.
    pub terms: Vec<Term>,
    /// What they come to.
    pub value: Option<(Quantity, Span)>,
    /// What that was compared with.
    pub bound: Option<Bound>,
    /// The row of a table it rests on.
    pub row: Option<FactId>,
    /// The readings at which it turns, for each dimension.
    pub turns: Vec<Turn>,
    /// What makes it hold.
    pub needs: Vec<Need>,
    /// True for a figure that is only told, and decides nothing.
    pub told: bool,
    /// True where it holds with what the page names for its code.
    pub mended: bool,
}
