//! What names imply, and which rows of it can speak where a name stands.

use std::ops::Deref;
use std::sync::OnceLock;

use foldhash::HashMap;
use smallvec::SmallVec;

use super::book::Implied;
use crate::dim::{Cases, Label, Origin, Reading};
use crate::joints::Cells;
use crate::text::{Packed, Packer, Unpacker};
use crate::verdict::Field;

/// The rows of a page, in their order.
#[derive(Clone, Debug, Default)]
pub struct ImpliedRows {
    rows: Vec<Implied>,
    sorted: OnceLock<Sorted>,
}

/// The numbers of the rows that ask for a name, by the first name they ask for, and of the others.
#[derive(Clone, Debug, Default)]
struct Sorted {
    named: Vec<(Field, HashMap<Label, Vec<u16>>)>,
    others: Vec<u16>,
    /// What each row gives, as readings.
    readings: Vec<Vec<Reading>>,
    /// The fields each row asks for, and those it gives.
    bits: Vec<(u128, u128)>,
}

impl ImpliedRows {
    /// The rows that can speak of what stands there, in their order, each with what it gives. Any other
    /// asks for a name that does not stand there or a field of which nothing is known, or gives nothing
    /// that may be filled.
    pub fn of(&self, cells: &Cells<'_>) -> impl Iterator<Item = (&Implied, &[Reading])> {
        let sorted = self.sorted.get_or_init(|| Sorted::of(&self.rows, cells));
        let (known, open) = cells.bits();
        let mut numbers: SmallVec<[u16; 32]> = SmallVec::new();
        let mut add = |all: &[u16]| {
            let can = |number: &&u16| {
                let bits = sorted.bits.get(usize::from(**number));
                bits.is_some_and(|(when, gives)| when & !known == 0 && gives & open != 0)
            };
            for number in all.iter().filter(can) {
                numbers.push(*number);
            }
        };
        add(&sorted.others);
        for (field, of) in &sorted.named {
            let name = cells.get(*field).and_then(|reading| reading.cases.label());
            add(name
                .and_then(|name| of.get(&name))
                .map_or(&[], Vec::as_slice));
        }
        numbers.sort_unstable();
        let numbers = numbers.into_iter();
        numbers.filter_map(|number| {
            let readings = sorted.readings.get(usize::from(number))?;
            Some((self.rows.get(usize::from(number))?, readings.as_slice()))
        })
    }
}

impl Sorted {
    fn of(rows: &[Implied], cells: &Cells<'_>) -> Sorted {
        let all = |fields: &[(Field, Cases)], none: u128| {
            let mut bits = fields.iter().map(|(field, _)| cells.bit(*field));
            let all = bits.try_fold(0, |all, bit| Some(all | bit?));
            all.unwrap_or(none)
        };
        let mut sorted = Sorted::default();
        for (number, row) in (0_u16..).zip(rows) {
            let reading = |(_, cases): &(Field, Cases)| Reading {
                cases: cases.clone(),
                origin: Origin::Catalogue(row.fact.packed()),
            };
            sorted
                .readings
                .push(row.gives.iter().map(reading).collect());
            let bits = (all(&row.when, 0), all(&row.gives, u128::MAX));
            sorted.bits.push(bits);
            let mut when = row.when.iter();
            let first = when.find_map(|(field, wanted)| match wanted {
                Cases::Names(labels) => Some((field, labels)),
                Cases::Numbers(_) => None,
            });
            let Some((field, labels)) = first else {
                sorted.others.push(number);
                continue;
            };
            let known = sorted.named.iter().position(|(known, _)| known == field);
            let place = known.unwrap_or_else(|| {
                sorted.named.push((*field, HashMap::default()));
                sorted.named.len() - 1
            });
            if let Some((_, of)) = sorted.named.get_mut(place) {
                for label in labels {
                    of.entry(*label).or_default().push(number);
                }
            }
        }
        sorted
    }
}

impl Deref for ImpliedRows {
    type Target = [Implied];

    fn deref(&self) -> &[Implied] {
        &self.rows
    }
}

impl FromIterator<Implied> for ImpliedRows {
    fn from_iter<I: IntoIterator<Item = Implied>>(rows: I) -> Self {
        ImpliedRows {
            rows: rows.into_iter().collect(),
            sorted: OnceLock::new(),
        }
    }
}

impl Packed for ImpliedRows {
    fn pack(&self, into: &mut Packer) {
        self.rows.pack(into);
    }

    fn unpack(from: &mut Unpacker) -> Option<Self> {
        Some(Vec::unpack(from)?.into_iter().collect())
    }
}
