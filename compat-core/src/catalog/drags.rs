//! What a change at an end drags along: what sits there is on the bike whether or not it is written down.

use super::kinds::{Dimension, number_of};
use super::lists::List;
use crate::dim::{Cases, Quantity, Reading, read};
use crate::text::{Fault, FaultKind, Faults, FileId, Node, Place, Row};

/// The dimensions of an end that, where they change, change what sits there.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Drags {
    /// The dimensions.
    pub by: Vec<usize>,
    /// Those that do only where they grow: what was known of the old part is less, or nothing is known of
    /// the new one.
    pub up: Vec<usize>,
    /// Where a new part is this, nothing needs to sit there.
    pub not_to: Vec<(usize, Cases)>,
    /// Where the part that comes off was this, nothing sat there for its sake.
    pub not_from: Vec<(usize, Cases)>,
}

/// What changes at an end and drags something along.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Dragging {
    /// The dimensions that are others, or are not known to be the same.
    pub dimensions: Vec<usize>,
    /// True where something is known to have sat there: the old part was made for it.
    pub sat: bool,
}

impl Drags {
    pub(super) fn read(
        file: FileId,
        node: &Node,
        (dimensions, lists): (&[Dimension], &[List]),
        faults: &mut Faults,
    ) -> Drags {
        let mut row = Row::new(file, node, faults);
        let here = row.here();
        let (by, up) = (row.texts("by", faults), row.texts("up", faults));
        let numbers = |names: Vec<(&str, _)>, faults: &mut Faults| -> Vec<usize> {
            let names = names.into_iter();
            let number = |(name, _)| number_of(name, dimensions, here, faults);
            names.filter_map(number).collect()
        };
        let by = numbers(by, faults);
        let up = numbers(up, faults);
        let values = |node: Option<&Node>, faults: &mut Faults| {
            let rows = node.map_or(&[][..], Node::rows).iter();
            let value = |(key, value): &(crate::text::Key, Node), faults: &mut Faults| {
                let number = number_of(&key.name, dimensions, here, faults)?;
                let text = value.as_written().unwrap_or_default();
                let cases = cases(dimensions.get(number)?, lists, &text);
                if cases.is_none() {
                    let message = format!("`{text}` is no value of `{}`", &*key.name);
                    let place = Place { file, at: value.at };
                    faults.push(Fault::new(place, FaultKind::BadValue, &text, message));
                }
                Some((number, cases?))
            };
            rows.filter_map(|row| value(row, faults)).collect()
        };
        let (to, from) = (row.take("not_to"), row.take("not_from"));
        let not_to = values(to, faults);
        let not_from = values(from, faults);
        row.end(faults);
        Drags {
            by,
            up,
            not_to,
            not_from,
        }
    }

    /// Every dimension that may drag something along.
    fn all(&self) -> impl Iterator<Item = &usize> {
        self.by.iter().chain(&self.up)
    }

    /// A change as a number: one for all that come to the same.
    pub fn mark(&self, change: &Dragging) -> u32 {
        let bits = self.all().map(|own| change.dimensions.contains(own));
        bits.fold(u32::from(change.sat), |mark, bit| {
            mark << 1 | u32::from(bit)
        })
    }

    /// What drags something along where one part takes the place of another, by what is known of each.
    pub fn change<'a>(
        &self,
        before: impl Fn(usize) -> Option<&'a Reading>,
        after: impl Fn(usize) -> Option<&'a Reading>,
    ) -> Option<Dragging> {
        let is = |known: Option<&Reading>, wanted: &Cases| {
            known.is_some_and(|known| {
                let meets = |at| {
                    let one = known.cases.only(at);
                    one.is_some_and(|one| one.meet(wanted).is_some())
                };
                (0..known.cases.len()).all(meets)
            })
        };
        if (self.not_to.iter()).any(|(number, cases)| is(after(*number), cases)) {
            return None;
        }
        let other = |number: &&usize| match (before(**number), after(**number)) {
            (None, None) => false,
            (Some(old), Some(new)) => !same(&old.cases, &new.cases),
            _ => true,
        };
        let grows = |number: &&usize| match (before(**number), after(**number)) {
            (None, _) => false,
            (Some(_), None) => true,
            (Some(old), Some(new)) => more(&old.cases, &new.cases),
        };
        let up = self.up.iter().filter(grows);
        let dimensions = self.by.iter().filter(other).chain(up);
        let dimensions: Vec<usize> = dimensions.copied().collect();
        if dimensions.is_empty() {
            return None;
        }
        let bare = (self.not_from.iter()).any(|(number, cases)| is(before(*number), cases));
        let sat = !bare && self.all().any(|number| before(*number).is_some());
        Some(Dragging { dimensions, sat })
    }
}

/// True where two parts are known to be alike: both are marked the same, or one value meets the other.
fn same(old: &Cases, new: &Cases) -> bool {
    old == new || old.len() == 1 && new.len() == 1 && old.meet(new).is_some()
}

/// True where a number may be more than every one it was.
fn more(old: &Cases, new: &Cases) -> bool {
    let most = |cases: &Cases| match cases {
        Cases::Numbers(spans) => spans.iter().map(|span| span.high).max(),
        Cases::Names(_) => None,
    };
    most(new) > most(old)
}

fn cases(dimension: &Dimension, lists: &[List], text: &str) -> Option<Cases> {
    if dimension.quantity != Quantity::Name {
        return read(dimension.quantity, text).ok()?.0.map(Cases::Numbers);
    }
    let number = dimension.list?;
    let names = lists.get(number)?.find(number, text);
    (!names.is_empty()).then_some(Cases::Names(names))
}
