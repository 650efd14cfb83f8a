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

use super::rows::{Places, Rows};
use super::word::Words;
use crate::catalog::{Catalog, Part, PartReader};
use crate::dim::{Cases, Entry, Origin, Reading};
use crate::text::{At, Faults, FileId, Place};

/// The distinct parts of a list.
#[derive(Clone, Debug, Default)]
pub struct Makes {
    file: FileId,
    /// The list they were read from, where that is CSV, and what divides its cells.
    pub(super) list: String,
    pub(super) divides: u8,
    makes: Vec<Make>,
    cells: Vec<Cell>,
    /// The cells that say each part, and which of those of its line that are not empty each is.
    said: Vec<(u32, u32)>,
    /// What decides each dimension of each part: the number of the dimension, and that of its value.
    known: Vec<(u16, u32)>,
    values: Vec<Cases>,
}

/// A part: the line that says it, and its stretch of each list.
#[derive(Clone, Debug)]
struct Make {
    kind: usize,
    dimensions: usize,
    line: Told,
    said: (u32, u32),
    known: (u32, u32),
    complained: bool,
    part: OnceLock<Box<Part>>,
}

/// Where a part is told: where its line begins in the list, the number of the line, and which of its
/// cells that are not empty names the kind.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Told {
    pub start: u32,
    pub line: u32,
    pub named: u32,
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
        make.and_then(|make| stretch(&self.known, make.known))
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
        let Some(make) = self.makes.get(number).filter(|make| make.complained) else {
            return Vec::new();
        };
        // Most parts need not be made for it.
        if let Some(part) = make.part.get() {
            return part.complaints.iter().map(|(number, _)| *number).collect();
        }
        let cells = stretch(&self.said, make.said).unwrap_or(&[]);
        let cells = cells
            .iter()
            .filter_map(|(cell, _)| self.cells.get(*cell as usize));
        cells
            .flat_map(|cell| cell.complaints.iter().copied())
            .collect()
    }

    /// The cells that say a part.
    fn cells_of(&self, number: u32) -> impl Iterator<Item = u32> {
        let make = self.makes.get(number as usize);
        let said = make.and_then(|make| stretch(&self.said, make.said));
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
        let places = self.places(make.line);
        let place =
            |index: u32| self.place(places.get(index as usize).copied().unwrap_or_default());
        let mut part = Part {
            kind: make.kind,
            place: place(make.line.named),
            entries: vec![Entry::default(); make.dimensions],
            ..Part::default()
        };
        for (cell, index) in stretch(&self.said, make.said).unwrap_or(&[]) {
            let Some(cell) = self.cells.get(*cell as usize) else {
                continue;
            };
            let place = place(*index);
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

    /// Where the cells of a line stand that are not empty.
    fn places(&self, line: Told) -> Places {
        let from = (line.start, line.line);
        let mut rows = Rows::again(&self.list, self.file, self.divides, from);
        match rows.next() {
            true => rows.places(),
            false => Places::new(),
        }
    }

    fn place(&self, at: At) -> Place {
        Place {
            file: self.file,
            at,
        }
    }
}

/// A stretch of a list.
fn stretch<T>(list: &[T], (from, to): (u32, u32)) -> Option<&[T]> {
    list.get(from as usize..to as usize)
}

/// Says where a reading comes from.
fn stand(reading: &mut Option<Reading>, origin: Origin) {
    if let Some(reading) = reading {
        reading.origin = origin;
    }
}

/// The cells of a line that tell its part from others: the number of each, and which of the cells of the
/// line that are not empty it is.
pub(super) type Said = SmallVec<[(u32, u32); 16]>;

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

    /// The number of the part of a kind that some cells of a line say. It is read as a whole by `whole`
    /// where they do not say it each by itself.
    pub fn make(
        &mut self,
        kind: usize,
        line: Told,
        said: &Said,
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
        let number = match self.together(kind, said) {
            Some(known) => self.keep(kind, line, said, &known),
            None => self.put_said(whole(), said),
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

    fn keep(&mut self, kind: usize, line: Told, said: &[(u32, u32)], known: &[(u16, u32)]) -> u32 {
        let makes = &mut self.makes;
        let number = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
        let own = number(makes.makes.len());
        let from = (number(makes.said.len()), number(makes.known.len()));
        makes.said.extend_from_slice(said);
        makes.known.extend_from_slice(known);
        let cells = said.iter();
        let mut cells = cells.filter_map(|(cell, _)| makes.cells.get(*cell as usize));
        let complained = cells.any(|cell| !cell.complaints.is_empty());
        makes.makes.push(Make {
            kind,
            dimensions: self.catalog.body(kind).dimensions.len(),
            line,
            said: (from.0, number(makes.said.len())),
            known: (from.1, number(makes.known.len())),
            complained,
            part: OnceLock::new(),
        });
        own
    }

    /// Adds a part that was read as a whole.
    pub fn put(&mut self, part: Part) -> u32 {
        self.put_said(part, &[])
    }

    /// The same, with the cells that say it.
    fn put_said(&mut self, part: Part, said: &[(u32, u32)]) -> u32 {
        let mut known: SmallVec<[(u16, u32); 16]> = SmallVec::new();
        for (number, entry) in part.entries.iter().enumerate() {
            if let Some(reading) = entry.deciding() {
                let value = self.number(&reading.cases);
                known.push((u16::try_from(number).unwrap_or(u16::MAX), value));
            }
        }
        let number = self.keep(part.kind, Told::default(), said, &known);
        if let Some(make) = self.makes.makes.get_mut(number as usize) {
            make.complained = !part.complaints.is_empty();
            make.part = OnceLock::from(Box::new(part));
        }
        number
    }
}
