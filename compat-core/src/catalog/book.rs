//! The page of a family as the rest of the library sees it.

use super::Catalog;
use super::implied::ImpliedRows;
use super::parts::Part;
use crate::dim::{Cases, Quantity, Reading};
use crate::joints::{Family, FieldDef, LimitRow, Sheet};
use crate::text::{Later, Phrase, Place};
use crate::verdict::{Fact, FactId, Field, Grade, Ground, Need};

/// Facts of the prose piece are numbered from here, so that both pieces can be read apart.
pub(super) const FIRST_OF_PROSE: usize = 32_768;

/// Which end of which slot plays which end of the family.
#[derive(Clone, Debug)]
pub struct JointEnd {
    /// The number of the slot.
    pub slot: usize,
    /// The end of the kind that goes there.
    pub end: Phrase,
}

/// A joint: the ends of slots that meet.
#[derive(Clone, Debug)]
pub struct Joint {
    /// In words: "seatpost in seat tube".
    pub title: Phrase,
    /// For each end of the family, the slot and its end; `None` where this joint has none.
    pub ends: Vec<Option<JointEnd>>,
    /// The ends whose parts, where all of them are there, are joined by it, whether or not the others
    /// are written down: a hub and a rim are laced.
    pub together: Vec<usize>,
    /// The ends of whose parts it says too little for them to count as judged; and the field of which
    /// something must be known for it to say enough.
    pub aside: Vec<usize>,
    /// The end and the field of that.
    pub aside_unless: Option<Field>,
    /// The slots that must be filled: those whose part plays an end in the place of another.
    pub filled: Vec<usize>,
    /// The slots that must be empty: a part there would play an end in the place of this joint's.
    pub empty: Vec<usize>,
    pub(super) dimensions: Later<Vec<Vec<Option<usize>>>>,
}

impl Joint {
    /// True where a part at an end of the joint is not judged by it. `known` tells whether anything but
    /// `none` is known of a dimension of the part in a slot.
    pub fn is_aside(
        &self,
        catalog: &Catalog,
        family: &Family,
        (slot, end): (usize, &str),
        known: impl Fn(usize, usize) -> bool,
    ) -> bool {
        let own = self
            .aside
            .iter()
            .filter_map(|at| self.ends.get(*at)?.as_ref());
        let mut own = own.filter(|own| own.slot == slot && own.end == end);
        let says = || {
            let field = self.aside_unless?;
            let at = self.ends.get(usize::from(field.end))?.as_ref()?.slot;
            let own = self.dimensions(catalog, family);
            let own = own.get(usize::from(field.end))?;
            let number = (*own.get(usize::from(field.field))?)?;
            Some(known(at, number))
        };
        own.next().is_some() && says() != Some(true)
    }

    /// True where every end that must be there has its part, and no other part plays one of them.
    pub fn stands(&self, family: &Family, fitted: impl Fn(usize) -> bool) -> bool {
        let mut ends = self.ends.iter().zip(family.ends);
        let there = |end: &Option<JointEnd>| end.as_ref().is_some_and(|end| fitted(end.slot));
        ends.all(|(end, wanted)| wanted.optional || there(end))
            && self.filled.iter().all(|slot| fitted(*slot))
            && !self.empty.iter().any(|slot| fitted(*slot))
    }

    /// Every slot the joint hangs on: those of its ends, and those that must be empty for it.
    pub fn hangs_on(&self) -> impl Iterator<Item = usize> + '_ {
        let ends = self.ends.iter().flatten().map(|end| end.slot);
        ends.chain(self.empty.iter().copied())
    }

    /// For each end and each of its fields, the number of the dimension of the kind that goes
    /// there; looked up once.
    pub fn dimensions(&self, catalog: &Catalog, family: &Family) -> &[Vec<Option<usize>>] {
        self.dimensions.or(|| {
            let ends = self.ends.iter().zip(family.ends);
            ends.map(|(end, definition)| {
                let presented = end.as_ref().and_then(|end| {
                    let kind = catalog.slots().get(end.slot)?.kind;
                    catalog.body(kind).end(&end.end)
                });
                let number = |field: &FieldDef| {
                    let known = presented?
                        .fields
                        .iter()
                        .find(|(name, _)| name == field.name);
                    known.map(|(_, number)| *number)
                };
                definition.fields.iter().map(number).collect()
            })
            .collect()
        })
    }
}

/// What a family's name for something implies: a dimension that the catalogue knows.
#[derive(Clone, Debug)]
pub struct Implied {
    /// The end it is about.
    pub end: usize,
    /// The fields and what must stand there: one of these names, or a number inside these spans.
    pub when: Vec<(Field, Cases)>,
    /// The fields it gives, and what.
    pub gives: Vec<(Field, Cases)>,
    /// True where it speaks only of an end in whose joints nobody complains of anything.
    pub sound: bool,
    /// Who says so.
    pub fact: FactId,
    /// How good that is.
    pub grade: Grade,
}

/// How a kind of part bridges the two ends of a family, or takes the place of an end that a joint
/// may have or not.
#[derive(Clone, Debug)]
pub struct Bridge {
    /// The number of the kind.
    pub kind: usize,
    /// For each end of the family, the end of the bridging part that plays it; empty for none.
    pub ends: Vec<Phrase>,
}

/// An adaptor of the catalogue: a part that bridges.
#[derive(Clone, Debug)]
pub struct Adaptor {
    /// The part.
    pub part: Part,
    /// Who says it exists.
    pub fact: FactId,
    /// How good that is.
    pub grade: Grade,
}

/// What a code means.
#[derive(Clone, Debug, Default)]
pub struct Code {
    /// Its name.
    pub name: Phrase,
    /// Why it would not fit.
    pub ground: Option<Ground>,
    /// What is said where it does not hold.
    pub fails: Phrase,
    /// What is said where it holds.
    pub holds: Phrase,
    /// What is said where it must be found out.
    pub open: Phrase,
    /// What to do where it does not hold.
    pub advice: Phrase,
    /// What makes it hold, where the rule says that it can be mended.
    pub with: Vec<Need>,
    /// The end that a part plays which is needed where nothing is there: its number.
    pub plays: Option<usize>,
}

/// A caution shown with a finding.
#[derive(Clone, Debug)]
pub struct Caution {
    /// What it says.
    pub say: Phrase,
    /// Who says so.
    pub fact: FactId,
    /// True where it is only shown when an adaptor is put in.
    pub adaptor: bool,
}

/// A limit as the page gives it.
#[derive(Clone, Debug)]
pub struct LimitInfo {
    /// Its name.
    pub name: Phrase,
    /// Its quantity.
    pub quantity: Quantity,
    /// The limit.
    pub row: LimitRow,
}

/// What a family's rule compares with, and the words for it.
#[derive(Clone, Debug, Default)]
pub struct Book {
    /// In words.
    pub title: Phrase,
    /// The figures, in the order the rule knows them.
    pub sheet: Sheet,
    /// The limits by name.
    pub limits: Vec<LimitInfo>,
    /// What names imply.
    pub implied: ImpliedRows,
    /// The kinds that bridge its ends.
    pub bridges: Vec<Bridge>,
    /// How many adaptors may stand one after the other.
    pub most_adaptors: usize,
    /// The adaptors known.
    pub adaptors: Vec<Adaptor>,
    /// The codes, in the order the rule knows them.
    pub codes: Vec<Code>,
    /// The cautions shown with every finding.
    pub cautions: Vec<Caution>,
    /// The list each name field of each end takes its names from.
    pub lists: Vec<Vec<Option<usize>>>,
    /// Every cited fact.
    pub facts: Later<Vec<Fact>>,
}

/// A size of a closed series.
#[derive(Clone, Debug)]
pub struct SizeRow {
    /// What the trade calls it.
    pub title: String,
    /// For each end, the fields it fixes.
    pub fields: Vec<(Field, Cases)>,
    /// Who says so.
    pub fact: FactId,
}

/// An example, shown and run.
#[derive(Clone, Debug)]
pub struct Example {
    /// What it shows.
    pub title: String,
    /// Which codes it shows; each must be among the claims, and not merely hold where the verdict
    /// is not a fit.
    pub shows: Vec<String>,
    /// The verdict expected, in words.
    pub verdict: String,
    /// The ends that are there.
    pub ends: Vec<usize>,
    /// What is known.
    pub fields: Vec<(Field, Reading)>,
    /// Where it is written.
    pub place: Place,
    /// The publication it is taken from, if any.
    pub source: Option<String>,
}

/// The prose of a family.
#[derive(Clone, Debug, Default)]
pub struct Prose {
    /// What it is about.
    pub about: String,
    /// How to look at it.
    pub measure: String,
    /// Its sizes.
    pub sizes: Vec<SizeRow>,
    /// Its examples.
    pub examples: Vec<Example>,
    /// The facts its sizes cite.
    pub facts: Vec<Fact>,
}
