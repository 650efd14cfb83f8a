//! What can be put on: the parts of the bin and of the price list, those that are alike taken
//! together.

use std::collections::BTreeSet;

use foldhash::{HashMap, HashMapExt};

use crate::bike::{Line, Stock};
use crate::catalog::{Catalog, Part};
use crate::dim::{Cases, read_money};
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
    /// One of them.
    pub part: &'s Part,
    /// The lines they are on, the cheapest first.
    pub units: Vec<Unit>,
}

impl Class<'_> {
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

/// The parts that can be put on, by kind.
#[derive(Debug, Default)]
pub struct Shelf<'s> {
    bin: Option<&'s Stock>,
    list: Option<&'s Stock>,
    /// For each kind its classes, in the order they are first met.
    pub classes: Vec<Vec<Class<'s>>>,
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
        let mut telling: HashMap<usize, Vec<usize>> = HashMap::new();
        let mut classes: HashMap<Likeness<'s>, usize> = HashMap::new();
        for (from, stock) in [(Supply::Bin, bin), (Supply::List, list)] {
            let Some(stock) = stock else { continue };
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
                let Some(part) = stock.makes.get(make) else {
                    continue;
                };
                let of_kind = shelf.classes.get_mut(part.kind);
                let (Some(of_kind), Some(class)) = (of_kind, of_make.get_mut(make)) else {
                    continue;
                };
                let class = class.get_or_insert_with(|| {
                    let telling = telling
                        .entry(part.kind)
                        .or_insert_with(|| telling_dimensions(catalog, part.kind, wanted));
                    let next = of_kind.len();
                    let class = *classes.entry(Likeness::of(part, telling)).or_insert(next);
                    if class == next {
                        of_kind.push(Class {
                            part,
                            units: Vec::new(),
                        });
                    }
                    class
                });
                let count = match from {
                    Supply::Bin => Some(line.quantity),
                    Supply::List => None,
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
            class
                .units
                .sort_by(|a, b| (a.price, a.from, id(a)).cmp(&(b.price, b.from, id(b))));
        }
        for of_kind in &mut shelf.classes {
            of_kind.retain(|class| !class.units.is_empty());
        }
        faults.or(shelf)
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
            let pairs = part.entries.iter().zip(&class.part.entries);
            pairs.into_iter().all(|(wanted, there)| {
                let wanted = wanted.deciding().map(|reading| &reading.cases);
                let there = there.deciding().map(|reading| &reading.cases);
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
    let written = stock.text(line.price).trim();
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

/// The dimensions of a kind that any end presents, or a wish is about.
fn telling_dimensions(
    catalog: &Catalog,
    kind: usize,
    wanted: &BTreeSet<(usize, usize)>,
) -> Vec<usize> {
    let ends = catalog.body(kind).ends.iter();
    let mut all: Vec<usize> = ends
        .flat_map(|end| end.fields.iter().map(|(_, number)| *number))
        .chain(
            wanted
                .iter()
                .filter(|(of, _)| *of == kind)
                .map(|(_, number)| *number),
        )
        .collect();
    all.sort_unstable();
    all.dedup();
    all
}

/// What makes two parts alike.
#[derive(PartialEq, Eq, Hash)]
struct Likeness<'s> {
    kind: usize,
    said: Vec<(usize, &'s Cases)>,
    complaints: Vec<usize>,
}

impl<'s> Likeness<'s> {
    fn of(part: &'s Part, telling: &[usize]) -> Likeness<'s> {
        let said = telling.iter().filter_map(|number| {
            let reading = part.entries.get(*number)?.deciding()?;
            Some((*number, &reading.cases))
        });
        Likeness {
            kind: part.kind,
            said: said.collect(),
            complaints: part.complaints.iter().map(|(number, _)| *number).collect(),
        }
    }
}
