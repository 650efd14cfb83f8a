//! The distinct parts of a list.
//!
//! A long list says few things many times over: the same cell under the same kind and column means the
//! same, whoever's line it stands on. So each distinct cell is read once, a part is kept as the numbers
//! of the cells that say it, and made of them when somebody asks for it.

use std::hash::BuildHasher;
use std::sync::OnceLock;

use foldhash::fast::RandomState;
use foldhash::{HashMap, HashMapExt};
use hashbrown::HashTable;
use smallvec::SmallVec;

use super::rows::Places;
use super::word::Words;
use crate::catalog::{Catalog, Part, PartReader};
use crate::dim::{Cases, Entry, Origin, Reading};
use crate::text::{At, Faults, FileId, Place};

/// The distinct parts of a list.
#[derive(Clone, Debug, Default)]
pub struct Makes {
    file: FileId,
    makes: Vec<Make>,
    cells: Vec<Cell>,
    /// The cells that say each part, and where they stand.
    said: Vec<(u32, At)>,
    /// What decides each dimension of each part: the number of the dimension, and that of its value.
    known: Vec<(u16, u32)>,
    values: Vec<Cases>,
}

/// A part: where its kind stands, and its stretch of each list.
#[derive(Clone, Debug)]
struct Make {
    kind: usize,
    dimensions: usize,
    at: At,
    said: (usize, usize),
    known: (usize, usize),
    complained: bool,
    part: OnceLock<Box<Part>>,
}

/// What a cell says of its part.
#[derive(Clone, Debug, Default)]
struct Cell {
    entries: SmallVec<[(u16, Entry, u32); 1]>,
    complaints: SmallVec<[usize; 1]>,
    /// True where it only counts of what nothing else is said.
    yields: bool,
    /// True where it cannot be read.
    faulty: bool,
}

impl Makes {
    /// How many there are.
    pub fn len(&self) -> usize {
        self.makes.len()
    }

    /// How many distinct cells there were.
    pub(super) fn cells(&self) -> usize {
        self.cells.len()
    }

    /// True where there is none.
    pub fn is_empty(&self) -> bool {
        self.makes.is_empty()
    }

    /// The number of the kind of one.
    pub fn kind(&self, number: usize) -> Option<usize> {
        Some(self.makes.get(number)?.kind)
    }

    /// A part.
    pub fn part(&self, number: usize) -> Option<&Part> {
        let make = self.makes.get(number)?;
        Some(make.part.get_or_init(|| Box::new(self.made(make))))
    }

    /// Every part, in the order they are first met.
    pub fn parts(&self) -> impl Iterator<Item = &Part> {
        (0..self.len()).filter_map(|number| self.part(number))
    }

    /// What decides each dimension of a part of which something is known, by the number of the
    /// dimension: the number of a value. Equal values have one number.
    pub fn known(&self, number: usize) -> &[(u16, u32)] {
        let make = self.makes.get(number);
        make.and_then(|make| self.known.get(make.known.0..make.known.1))
            .unwrap_or(&[])
    }

    /// The value of a number.
    pub fn value(&self, number: u32) -> Option<&Cases> {
        self.values.get(number as usize)
    }

    /// Every value, by number.
    pub fn values(&self) -> &[Cases] {
        &self.values
    }

    /// The numbers of the complaints about a part.
    pub fn complaints(&self, number: usize) -> Vec<usize> {
        let complained = self.makes.get(number).is_some_and(|make| make.complained);
        let part = complained.then(|| self.part(number)).flatten();
        let complaints = part.map_or(&[][..], |part| &part.complaints);
        complaints.iter().map(|(number, _)| *number).collect()
    }

    /// The cells that say a part.
    fn cells_of(&self, number: u32) -> impl Iterator<Item = u32> {
        let make = self.makes.get(number as usize);
        let said = make.and_then(|make| self.said.get(make.said.0..make.said.1));
        said.unwrap_or(&[]).iter().map(|(cell, _)| *cell)
    }

    /// True where these cells say a part of a kind.
    fn says(&self, number: u32, kind: usize, said: &Said) -> bool {
        self.kind(number as usize) == Some(kind)
            && self.cells_of(number).eq(said.iter().map(|(cell, _)| *cell))
    }

    /// What a part is found by: the number of its kind, and the cells that say it.
    fn key(&self, number: u32) -> SmallVec<[u32; 16]> {
        let kind = self
            .kind(number as usize)
            .and_then(|kind| u32::try_from(kind).ok());
        let mut key: SmallVec<[u32; 16]> = SmallVec::new();
        key.push(kind.unwrap_or(u32::MAX));
        key.extend(self.cells_of(number));
        key
    }

    fn made(&self, make: &Make) -> Part {
        let mut part = Part {
            kind: make.kind,
            place: self.place(make.at),
            entries: vec![Entry::default(); make.dimensions],
            ..Part::default()
        };
        for (cell, at) in self.said.get(make.said.0..make.said.1).unwrap_or(&[]) {
            let Some(cell) = self.cells.get(*cell as usize) else {
                continue;
            };
            let place = self.place(*at);
            for (number, entry, _) in &cell.entries {
                let there = part.entries.get_mut(usize::from(*number));
                if let Some(there) = there.filter(|there| !cell.yields || there.is_unknown()) {
                    *there = entry.clone();
                    stand(&mut there.stated, Origin::Stated(place));
                    stand(&mut there.measured, Origin::Measured(place));
                }
            }
            let complaints = cell.complaints.iter().map(|number| (*number, place));
            part.complaints.extend(complaints);
        }
        part
    }

    fn place(&self, at: At) -> Place {
        Place {
            file: self.file,
            at,
        }
    }
}

/// Says where a reading comes from.
fn stand(reading: &mut Option<Reading>, origin: Origin) {
    if let Some(reading) = reading {
        reading.origin = origin;
    }
}

/// The cells of a line that tell its part from others: the number of each, and which of the cells of the
/// line that are not empty it is.
pub(super) type Said = SmallVec<[(u32, usize); 16]>;

/// Reads the parts of a list.
pub(super) struct Maker<'c> {
    catalog: &'c Catalog,
    /// Those read so far.
    pub makes: Makes,
    numbers: HashMap<Cases, u32>,
    /// For each kind and each column what each text of a cell means.
    read: Vec<Vec<Words>>,
    /// The parts by the cells that say them.
    seen: HashTable<u32>,
    hasher: RandomState,
}

impl<'c> Maker<'c> {
    pub fn new(catalog: &'c Catalog, file: FileId) -> Self {
        Maker {
            catalog,
            makes: Makes {
                file,
                ..Makes::default()
            },
            numbers: HashMap::new(),
            read: vec![Vec::new(); catalog.kinds().len()],
            seen: HashTable::new(),
            hasher: RandomState::default(),
        }
    }

    /// The number of a cell: what a text in a column says of a part of a kind; its condition, where the
    /// column is that of no dimension.
    pub fn cell(&mut self, kind: usize, column: usize, name: Option<&str>, text: &str) -> u32 {
        let Some(columns) = self.read.get_mut(kind) else {
            return u32::MAX;
        };
        if columns.len() <= column {
            columns.resize_with(column + 1, Words::default);
        }
        if let Some(known) = columns.get(column).and_then(|known| known.get(text)) {
            return known;
        }
        let number = u32::try_from(self.makes.cells.len()).unwrap_or(u32::MAX);
        let cell = self.read_cell(kind, name, text);
        self.makes.cells.push(cell);
        let columns = self.read.get_mut(kind);
        if let Some(known) = columns.and_then(|columns| columns.get_mut(column)) {
            known.put(text, number);
        }
        number
    }

    fn read_cell(&mut self, kind: usize, name: Option<&str>, text: &str) -> Cell {
        let place = self.makes.place(At::default());
        let mut faults = Faults::default();
        let mut reader = PartReader::new(self.catalog, kind, place);
        let part = match name {
            Some(name) => {
                reader.set(name, text, place, &mut faults);
                reader.part
            }
            None => PartReader::conditioned(self.catalog, reader.part, text, place, &mut faults),
        };
        let mut entries = SmallVec::new();
        for (number, entry) in part.entries.into_iter().enumerate() {
            let Some(reading) = entry.deciding() else {
                continue;
            };
            let value = self.number(&reading.cases);
            entries.push((u16::try_from(number).unwrap_or(u16::MAX), entry, value));
        }
        Cell {
            entries,
            complaints: part.complaints.iter().map(|(number, _)| *number).collect(),
            yields: name.is_none(),
            faulty: !faults.is_empty(),
        }
    }

    /// The number of a value.
    fn number(&mut self, cases: &Cases) -> u32 {
        if let Some(number) = self.numbers.get(cases) {
            return *number;
        }
        let number = u32::try_from(self.makes.values.len()).unwrap_or(u32::MAX);
        self.makes.values.push(cases.clone());
        self.numbers.insert(cases.clone(), number);
        number
    }

    /// The number of the part that some cells say; `places` tells where the cells of the line stand, and
    /// one of them names the kind. It is read as a whole by `whole` where they do not say it each by
    /// itself.
    pub fn make(
        &mut self,
        (kind, named): (usize, usize),
        said: &Said,
        places: impl FnOnce() -> Places,
        whole: impl FnOnce() -> Part,
    ) -> u32 {
        let mut key: SmallVec<[u32; 16]> = SmallVec::new();
        key.push(u32::try_from(kind).unwrap_or(u32::MAX));
        key.extend(said.iter().map(|(cell, _)| *cell));
        let hash = self.hasher.hash_one(&key);
        let makes = &self.makes;
        let known = self
            .seen
            .find(hash, |number| makes.says(*number, kind, said));
        if let Some(known) = known {
            return *known;
        }
        let places = places();
        let place = |index: usize| places.get(index).copied().unwrap_or_default();
        let cells = said.iter().map(|(cell, index)| (*cell, place(*index)));
        let number = match self.together(kind, said) {
            Some(known) => self.keep(kind, place(named), cells, &known),
            None => self.put_said(whole(), cells),
        };
        let (makes, hasher) = (&self.makes, &self.hasher);
        let again = |number: &u32| hasher.hash_one(makes.key(*number));
        self.seen.insert_unique(hash, number, again);
        number
    }

    /// What cells say together, if no two say the same dimension.
    fn together(&self, kind: usize, said: &Said) -> Option<SmallVec<[(u16, u32); 16]>> {
        let mut known: SmallVec<[(u16, u32); 16]> = SmallVec::new();
        for (cell, _) in said {
            let cell = self.makes.cells.get(*cell as usize)?;
            if cell.faulty {
                return None;
            }
            for (number, _, value) in &cell.entries {
                match known.iter().any(|(other, _)| other == number) {
                    false => known.push((*number, *value)),
                    true if cell.yields => {}
                    true => return None,
                }
            }
        }
        known.sort_unstable();
        let span = |number: &usize| {
            let found = known
                .iter()
                .find(|(known, _)| usize::from(*known) == *number);
            self.makes.value(found?.1)?.span()
        };
        // What must stand in order and does not is told where the whole part is read.
        let mut order = self.catalog.body(kind).order.iter();
        let wrong = |(low, high): &(usize, usize)| {
            let both = span(low).zip(span(high));
            both.is_some_and(|(small, large)| small.low > large.high)
        };
        (!order.any(wrong)).then_some(known)
    }

    fn keep(
        &mut self,
        kind: usize,
        at: At,
        said: impl Iterator<Item = (u32, At)>,
        known: &[(u16, u32)],
    ) -> u32 {
        let makes = &mut self.makes;
        let number = u32::try_from(makes.makes.len()).unwrap_or(u32::MAX);
        let from = (makes.said.len(), makes.known.len());
        makes.said.extend(said);
        makes.known.extend_from_slice(known);
        let said = makes.said.get(from.0..).unwrap_or(&[]).iter();
        let mut cells = said.filter_map(|(cell, _)| makes.cells.get(*cell as usize));
        let complained = cells.any(|cell| !cell.complaints.is_empty());
        makes.makes.push(Make {
            kind,
            dimensions: self.catalog.body(kind).dimensions.len(),
            at,
            said: (from.0, makes.said.len()),
            known: (from.1, makes.known.len()),
            complained,
            part: OnceLock::new(),
        });
        number
    }

    /// Adds a part that was read as a whole.
    pub fn put(&mut self, part: Part) -> u32 {
        self.put_said(part, std::iter::empty())
    }

    /// The same, with the cells that say it.
    fn put_said(&mut self, part: Part, said: impl Iterator<Item = (u32, At)>) -> u32 {
        let mut known: SmallVec<[(u16, u32); 16]> = SmallVec::new();
        for (number, entry) in part.entries.iter().enumerate() {
            if let Some(reading) = entry.deciding() {
                let value = self.number(&reading.cases);
                known.push((u16::try_from(number).unwrap_or(u16::MAX), value));
            }
        }
        let number = self.keep(part.kind, part.place.at, said, &known);
        if let Some(make) = self.makes.makes.get_mut(number as usize) {
            make.complained = !part.complaints.is_empty();
            make.part = OnceLock::from(Box::new(part));
        }
        number
    }
}
