//! What can be put on: the parts of the bin and of the price list, those that are alike taken
//! together.

use std::borrow::Cow;
use std::collections::BTreeSet;
use std::collections::hash_map::Entry;
use std::hash::BuildHasher;

use foldhash::fast::RandomState;
use foldhash::{HashMap, HashMapExt};
use smallvec::SmallVec;

use crate::bike::{Line, Stock};
use crate::catalog::{Catalog, Part};
use crate::dim::{Cases, Origin, Reading, read_money};
use crate::text::{At, Fault, FaultKind, Faults, Place};

/// Where a part comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Supply {
    /// The parts bin.
    Bin,
    /// The price list: it is bought.
    List,
}

/// A line a part can be taken from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Unit {
    /// Which list.
    pub from: Supply,
    /// Which of its lines.
    pub line: usize,
    /// What one costs, in hundredths.
    pub price: i64,
    /// How many there are; nothing where as many as are wanted can be had.
    pub count: Option<u32>,
}

/// Parts that are alike in everything a joint can ask of them.
#[derive(Clone, Debug)]
pub struct Class<'s> {
    stock: &'s Stock,
    make: usize,
    /// The numbers of the complaints about them.
    pub complaints: Vec<usize>,
    /// What is known of them: the numbers of dimensions, in their order, and of their values.
    known: Cow<'s, [(u16, u32)]>,
    /// The lines they are on, the cheapest first.
    pub units: SmallVec<[Unit; 1]>,
}

impl<'s> Class<'s> {
    /// One of them.
    pub fn part(&self) -> Option<&'s Part> {
        self.stock.makes.part(self.make)
    }

    /// The number of the value of a dimension: one for all that are equal.
    pub fn value(&self, dimension: usize) -> Option<u32> {
        let mut known = self.known.iter();
        let found = known.find(|(number, _)| usize::from(*number) == dimension);
        found.map(|(_, value)| *value)
    }

    /// What makes it another than others of its kind, by the dimensions that tell.
    fn told(&self, telling: &[bool]) -> Told<'_> {
        let known = self.known.iter().copied();
        let told = known.filter(|(number, _)| telling.get(usize::from(*number)) == Some(&true));
        (told.collect(), &self.complaints)
    }

    /// The numbers of the dimensions of which something is known, and of their values.
    pub fn known(&self) -> &[(u16, u32)] {
        &self.known
    }

    /// The lines of the first so many, the cheapest first.
    pub fn taken(&self, count: usize) -> Option<Vec<Unit>> {
        let mut taken = Vec::new();
        for unit in &self.units {
            let left = count - taken.len();
            let here = unit.count.map_or(left, |count| left.min(count as usize));
            taken.extend(std::iter::repeat_n(*unit, here));
            if taken.len() == count {
                return Some(taken);
            }
        }
        None
    }
}

/// Values that tell a part from others, and the complaints about it.
type Told<'c> = (SmallVec<[(u16, u32); 12]>, &'c [usize]);

/// The parts that can be put on, by kind.
#[derive(Debug, Default)]
pub struct Shelf<'s> {
    bin: Option<&'s Stock>,
    list: Option<&'s Stock>,
    /// For each kind its classes, in the order they are first met.
    pub classes: Vec<Vec<Class<'s>>>,
    /// The values of all lines, by number.
    values: Vec<Reading>,
    /// How many lines of the price list have no price, and so are passed over.
    pub unpriced: usize,
    /// How many lines there are.
    pub lines: usize,
}

impl<'s> Shelf<'s> {
    /// Sorts the lines. `worth` takes the parts of the bin at their price and not for nothing.
    ///
    /// # Errors
    ///
    /// Every price that is none.
    pub fn new(
        catalog: &Catalog,
        bin: Option<&'s Stock>,
        list: Option<&'s Stock>,
        worth: bool,
        wanted: &BTreeSet<(usize, usize)>,
    ) -> Result<Shelf<'s>, Faults> {
        let mut shelf = Shelf {
            bin,
            list,
            classes: vec![Vec::new(); catalog.kinds().len()],
            ..Shelf::default()
        };
        let mut faults = Faults::default();
        let mut telling: Vec<Option<Vec<bool>>> = vec![None; catalog.kinds().len()];
        // By what tells parts from others, boiled down to a number; where two have the same, the second
        // goes to the next.
        let hasher = RandomState::default();
        let mut classes: HashMap<u64, (usize, usize)> = HashMap::new();
        for (from, stock) in [(Supply::Bin, bin), (Supply::List, list)] {
            let Some(stock) = stock else { continue };
            let numbers = shelf.number(stock);
            let mut of_make: Vec<Option<usize>> = vec![None; stock.makes.len()];
            for (number, line) in stock.lines.iter().enumerate() {
                shelf.lines += 1;
                let price = match price(stock, line, from, worth) {
                    Ok(Some(price)) => price,
                    Ok(None) => {
                        shelf.unpriced += 1;
                        continue;
                    }
                    Err(fault) => {
                        faults.push(*fault);
                        continue;
                    }
                };
                let make = line.make as usize;
                let Some(kind) = stock.makes.kind(make) else {
                    continue;
                };
                let of_kind = shelf.classes.get_mut(kind);
                let telling = telling.get_mut(kind);
                let (Some(of_kind), Some(telling), Some(class)) =
                    (of_kind, telling, of_make.get_mut(make))
                else {
                    continue;
                };
                let class = class.get_or_insert_with(|| {
                    let telling =
                        telling.get_or_insert_with(|| telling_dimensions(catalog, kind, wanted));
                    let known = stock.makes.known(make);
                    let known = match numbers.is_empty() {
                        true => Cow::Borrowed(known),
                        false => Cow::Owned(renumbered(known, &numbers)),
                    };
                    let new = Class {
                        stock,
                        make,
                        complaints: stock.makes.complaints(make),
                        known,
                        units: SmallVec::new(),
                    };
                    let mut key = hasher.hash_one((kind, new.told(telling)));
                    loop {
                        match classes.entry(key) {
                            Entry::Vacant(place) => {
                                place.insert((kind, of_kind.len()));
                                of_kind.push(new);
                                return of_kind.len() - 1;
                            }
                            Entry::Occupied(place) => {
                                let (of, class) = *place.get();
                                let there = of_kind.get(class).filter(|_| of == kind);
                                if there
                                    .is_some_and(|there| there.told(telling) == new.told(telling))
                                {
                                    return class;
                                }
                            }
                        }
                        key = key.wrapping_add(1);
                    }
                });
                let count = match from {
                    Supply::Bin => Some(line.quantity),
                    // A shop has as many as are wanted, or says how many it has.
                    Supply::List => line.counted.then_some(line.quantity),
                };
                if let Some(class) = of_kind.get_mut(*class) {
                    class.units.push(Unit {
                        from,
                        line: number,
                        price,
                        count,
                    });
                }
            }
        }
        for class in shelf.classes.iter_mut().flatten() {
            class.units.retain(|unit| unit.count != Some(0));
        }
        let (bin, list) = (shelf.bin, shelf.list);
        let id = |unit: &Unit| id(bin, list, unit);
        for class in shelf.classes.iter_mut().flatten() {
            class.units.sort_by(|a, b| {
                (a.price, a.from)
                    .cmp(&(b.price, b.from))
                    .then_with(|| id(a).cmp(id(b)))
            });
        }
        for of_kind in &mut shelf.classes {
            of_kind.retain(|class| !class.units.is_empty());
        }
        faults.or(shelf)
    }

    /// Takes in the values of a list. Says the number of each where that is another than in the list.
    fn number(&mut self, stock: &'s Stock) -> Vec<u32> {
        let reading = |cases: &Cases| Reading {
            cases: cases.clone(),
            origin: Origin::Stated(Place::default()),
        };
        if self.values.is_empty() {
            self.values = stock.makes.values().iter().map(reading).collect();
            return Vec::new();
        }
        let known = (0_u32..).zip(&self.values);
        let known: HashMap<&Cases, u32> = known
            .map(|(number, value)| (&value.cases, number))
            .collect();
        let mut new = Vec::new();
        let mut numbers = Vec::new();
        for cases in stock.makes.values() {
            let next = u32::try_from(self.values.len() + new.len()).unwrap_or(u32::MAX);
            numbers.push(known.get(cases).copied().unwrap_or_else(|| {
                new.push(reading(cases));
                next
            }));
        }
        self.values.extend(new);
        numbers
    }

    /// A value, as a reading from the shelf.
    pub fn value(&self, number: u32) -> Option<&Reading> {
        self.values.get(number as usize)
    }

    /// The list a unit stands on, and its line.
    pub fn line(&self, unit: &Unit) -> Option<(&'s Stock, &'s Line)> {
        let stock = match unit.from {
            Supply::Bin => self.bin,
            Supply::List => self.list,
        }?;
        Some((stock, stock.lines.get(unit.line)?))
    }

    /// The id of a line.
    pub fn id(&self, unit: &Unit) -> &'s str {
        id(self.bin, self.list, unit)
    }

    /// The part of a unit, with its name and id.
    pub fn part(&self, unit: &Unit) -> Option<Part> {
        let (stock, line) = self.line(unit)?;
        stock.part(line)
    }

    /// The class of a kind.
    pub fn class(&self, kind: usize, class: usize) -> Option<&Class<'s>> {
        self.classes.get(kind)?.get(class)
    }

    /// The lines of parts that have every dimension another has, as exactly, the cheapest first: those
    /// an adaptor of the catalogue can be had from.
    pub fn like(&self, part: &Part) -> Vec<&Unit> {
        let same = |class: &&Class| {
            let mut wanted = part.entries.iter().enumerate();
            wanted.all(|(number, wanted)| {
                let there = class.value(number).and_then(|value| self.value(value));
                let there = there.map(|reading| &reading.cases);
                let wanted = wanted.deciding().map(|reading| &reading.cases);
                wanted.is_none() || wanted == there
            })
        };
        let classes = self.classes.get(part.kind).into_iter().flatten();
        let mut alike: Vec<&Unit> = classes
            .filter(same)
            .flat_map(|class| &class.units)
            .collect();
        alike.sort_by_key(|unit| (unit.price, unit.from, self.id(unit)));
        alike
    }
}

fn id<'s>(bin: Option<&'s Stock>, list: Option<&'s Stock>, unit: &Unit) -> &'s str {
    let stock = match unit.from {
        Supply::Bin => bin,
        Supply::List => list,
    };
    let line = stock.and_then(|stock| Some((stock, stock.lines.get(unit.line)?)));
    line.map_or("", |(stock, line)| stock.text(line.id))
}

/// What a line costs; nothing where it stands on a price list without a price.
fn price(stock: &Stock, line: &Line, from: Supply, worth: bool) -> Result<Option<i64>, Box<Fault>> {
    if from == Supply::Bin && !worth {
        return Ok(Some(0));
    }
    if line.amount.is_some() {
        return Ok(line.amount);
    }
    let written = stock.text(line.price);
    if written.is_empty() {
        return Ok((from == Supply::Bin).then_some(0));
    }
    read_money(written).map(Some).map_err(|message| {
        let at = At {
            line: line.line,
            column: 1,
            length: 1,
        };
        let place = Place {
            file: stock.file,
            at,
        };
        Box::new(Fault::new(place, FaultKind::BadValue, written, message))
    })
}

/// Which dimensions of a kind any end presents, or a wish is about.
fn telling_dimensions(
    catalog: &Catalog,
    kind: usize,
    wanted: &BTreeSet<(usize, usize)>,
) -> Vec<bool> {
    let body = catalog.body(kind);
    let mut told = vec![false; body.dimensions.len()];
    let ends = body.ends.iter().flat_map(|end| &end.fields);
    let presented = ends.map(|(_, number)| *number);
    let wanted = wanted.iter().filter(|(of, _)| *of == kind);
    for number in presented.chain(wanted.map(|(_, number)| *number)) {
        if let Some(told) = told.get_mut(number) {
            *told = true;
        }
    }
    told
}

/// What is known of a part of a list, by the numbers the shelf has for its values.
fn renumbered(known: &[(u16, u32)], numbers: &[u32]) -> Vec<(u16, u32)> {
    let known = known.iter().map(|(dimension, value)| {
        let number = numbers.get(*value as usize);
        (*dimension, number.copied().unwrap_or(*value))
    });
    known.collect()
}
