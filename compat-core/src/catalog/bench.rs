//! What a part shows on the bench: the readings that tell its size, beside those that rules compare
//! with, and the sizes that go by a name there.
//!
//! The sizes on the pages of the families are the first that are looked through; what stands here adds
//! to them: how a nominal size and a reading differ, what a name measures, and sizes that no rule needs.

use super::Catalog;
use super::kinds::{self, Dimension};
use super::parts::PartReader;
use crate::dim::{Cases, Quantity, Span, read_span};
use crate::text::{Fault, FaultKind, Faults, FileId, Key, Node, Phrase, Place, Row, nearest};
use crate::verdict::{Fact, Grade};

/// What is known of a kind of part on the bench. Dimensions are numbered as the kind numbers its own,
/// and the readings that are only taken here follow.
#[derive(Clone, Debug, Default)]
pub struct Bench {
    /// Readings that no rule compares with.
    pub readings: Vec<Dimension>,
    /// Sizes that go by a name.
    pub named: Vec<Named>,
    /// What a tool reads where names or numbers stand.
    pub seen: Vec<Seen>,
    /// Dimensions whose rows of `[[implied]]` are sizes, and what such a size is called.
    pub told: Vec<Told>,
    /// How far a good part's reading may lie from its nominal size.
    pub allowances: Vec<Allowance>,
    /// Readings that follow from others by a formula.
    pub derived: Vec<Derived>,
}

/// A size that goes by a name.
#[derive(Clone, Debug)]
pub struct Named {
    /// What the trade calls it.
    pub title: String,
    /// What it fixes.
    pub fields: Vec<(usize, Cases)>,
    /// Who says so.
    pub fact: Fact,
}

/// What a tool reads on a part of which something is known.
#[derive(Clone, Debug)]
pub struct Seen {
    /// What must be known.
    pub when: Vec<(usize, Cases)>,
    /// What a tool reads then.
    pub gives: Vec<(usize, Cases)>,
    /// Who says so.
    pub fact: Fact,
}

/// A dimension whose implied rows are sizes.
#[derive(Clone, Debug)]
pub struct Told {
    /// The dimension.
    pub number: usize,
    /// What a size is called, `{value}` standing for the dimension.
    pub title: String,
}

/// How far a good part's reading may lie from its nominal size.
#[derive(Clone, Debug)]
pub struct Allowance {
    /// The dimension.
    pub number: usize,
    /// What may be read, less the nominal size.
    pub span: Span,
    /// Who says so.
    pub fact: Fact,
}

/// A reading that follows from others.
#[derive(Clone, Debug)]
pub struct Derived {
    /// The reading.
    pub number: usize,
    /// What it follows from, in the order the formula takes them.
    pub from: Vec<usize>,
    /// The formula.
    pub by: Formula,
}

/// The formulas readings follow by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Formula {
    /// Between neighbouring bolts: from the circle and their number.
    Chord,
    /// Round a circle: from its diameter.
    Round,
}

impl Formula {
    const ALL: &'static [(Formula, &'static str, usize)] =
        &[(Formula::Chord, "chord", 2), (Formula::Round, "round", 1)];
}

/// What a tool can tell.
#[derive(Clone, Debug)]
pub struct Tool {
    /// Its name, as the dimensions name it.
    pub name: String,
    /// The standard error of a length taken with it.
    pub length: i64,
    /// The standard error of an angle taken with it.
    pub angle: i64,
    /// Who says so.
    pub fact: Fact,
}

pub(super) fn tools(file: FileId, node: &Node) -> (Vec<Tool>, Faults) {
    let mut faults = Faults::default();
    let mut row = Row::new(file, node, &mut faults);
    let rows = row.list("tool");
    row.end(&mut faults);
    let tools = rows.into_iter().map(|node| {
        let mut row = Row::new(file, node, &mut faults);
        let name = row.must("name", &mut faults).to_owned();
        let length = error(&mut row, "length", Quantity::Length, &mut faults);
        let angle = error(&mut row, "angle", Quantity::Angle, &mut faults);
        let fact = fact(&mut row, &mut faults);
        row.end(&mut faults);
        Tool {
            name,
            length,
            angle,
            fact,
        }
    });
    (tools.collect(), faults)
}

fn error(row: &mut Row<'_>, key: &'static str, quantity: Quantity, faults: &mut Faults) -> i64 {
    let here = row.here();
    let Some(text) = row.text(key, faults) else {
        return 0;
    };
    match read_span(quantity, text) {
        Ok(span) if span.is_exact() && span.low >= 0 => span.low,
        _ => {
            let message = format!("`{key}`: one value that is not less than nothing");
            faults.push(Fault::new(here, FaultKind::BadValue, text, message));
            0
        }
    }
}

pub(super) fn fact(row: &mut Row<'_>, faults: &mut Faults) -> Fact {
    let place = row.here();
    let sources = row.texts("source", faults);
    let sources = sources.into_iter().map(|(text, _)| text.into());
    let sources = sources.collect();
    let word = row.must("grade", faults);
    let grade = Grade::from_word(word).unwrap_or_else(|| {
        let near = nearest(word, Grade::ALL.iter().map(|(_, word)| *word));
        let message = format!("`{word}` is no grade");
        faults.push(Fault::new(place, FaultKind::UnknownName, word, message).near(near));
        Grade::Memory
    });
    let note = row.text("note", faults).map(Phrase::from);
    Fact {
        place,
        sources,
        grade,
        note,
    }
}

pub(super) fn read(catalog: &Catalog, kind: usize, file: FileId, node: &Node) -> (Bench, Faults) {
    let mut faults = Faults::default();
    let mut bench = Bench::default();
    let mut row = Row::new(file, node, &mut faults);
    let inner = row.take("bench");
    row.end(&mut faults);
    let Some(inner) = inner else {
        return (bench, faults);
    };
    let mut row = Row::new(file, inner, &mut faults);
    let readings = row.list("reading").into_iter();
    bench.readings = readings
        .map(|node| kinds::dimension(file, node, catalog.lists(), &mut faults))
        .collect();
    let lists = ["named", "seen", "told", "allowance", "derived"].map(|name| row.list(name));
    row.end(&mut faults);
    let [named, seen, told, allowances, derived] = lists;
    let mut reader = Reader {
        catalog,
        kind,
        file,
        bench: &bench,
        faults: &mut faults,
    };
    let named = named.into_iter().map(|node| reader.named(node)).collect();
    let seen = seen.into_iter().map(|node| reader.seen(node)).collect();
    let told = told.into_iter().filter_map(|node| reader.told(node));
    let told = told.collect();
    let allowances = allowances.into_iter();
    let allowances = allowances.filter_map(|node| reader.allowance(node));
    let allowances = allowances.collect();
    let derived = derived.into_iter().filter_map(|node| reader.derived(node));
    let derived = derived.collect();
    bench.named = named;
    bench.seen = seen;
    bench.told = told;
    bench.allowances = allowances;
    bench.derived = derived;
    (bench, faults)
}

struct Reader<'r> {
    catalog: &'r Catalog,
    kind: usize,
    file: FileId,
    bench: &'r Bench,
    faults: &'r mut Faults,
}

impl Reader<'_> {
    fn number(&mut self, name: &str, place: Place) -> Option<usize> {
        let found = number(self.catalog, self.kind, self.bench, name);
        if found.is_none() {
            let names = names(self.catalog, self.kind, self.bench);
            let near = nearest(name, names.iter().copied());
            let message = format!("`{name}` is no dimension of this kind");
            let fault = Fault::new(place, FaultKind::UnknownName, name, message);
            self.faults.push(fault.near(near));
        }
        found
    }

    fn fields(&mut self, rows: &[(&Key, &Node)]) -> Vec<(usize, Cases)> {
        let mut fields = Vec::new();
        for (key, node) in rows {
            let at = |at| Place {
                file: self.file,
                at,
            };
            let (key_at, place) = (at(key.at), at(node.at));
            let Some(number) = self.number(&key.name, key_at) else {
                continue;
            };
            let Some(dimension) = dimension(self.catalog, self.kind, self.bench, number) else {
                continue;
            };
            let text = node.as_written().unwrap_or_default();
            let reader = PartReader::new(self.catalog, self.kind, place);
            let (stated, measured) = reader.said(dimension, &text, place, self.faults);
            fields.extend(measured.or(stated).map(|cases| (number, cases)));
        }
        fields
    }

    fn inner(&mut self, node: Option<&Node>) -> Vec<(usize, Cases)> {
        let rows = node.map_or(&[] as &[_], Node::rows);
        let rows: Vec<(&Key, &Node)> = rows.iter().map(|(key, node)| (key, node)).collect();
        self.fields(&rows)
    }

    fn named(&mut self, node: &Node) -> Named {
        let mut row = Row::new(self.file, node, self.faults);
        let title = row.must("title", self.faults).to_owned();
        let fact = fact(&mut row, self.faults);
        let fields = self.fields(&row.rest());
        Named {
            title,
            fields,
            fact,
        }
    }

    fn seen(&mut self, node: &Node) -> Seen {
        let mut row = Row::new(self.file, node, self.faults);
        let (when, gives) = (row.take("when"), row.take("gives"));
        let fact = fact(&mut row, self.faults);
        row.end(self.faults);
        Seen {
            when: self.inner(when),
            gives: self.inner(gives),
            fact,
        }
    }

    fn told(&mut self, node: &Node) -> Option<Told> {
        let mut row = Row::new(self.file, node, self.faults);
        let here = row.here();
        let name = row.must("dimension", self.faults).to_owned();
        let title = row.must("title", self.faults).to_owned();
        row.end(self.faults);
        let number = self.number(&name, here)?;
        Some(Told { number, title })
    }

    fn allowance(&mut self, node: &Node) -> Option<Allowance> {
        let mut row = Row::new(self.file, node, self.faults);
        let here = row.here();
        let name = row.must("dimension", self.faults).to_owned();
        let value = row.must("value", self.faults).to_owned();
        let fact = fact(&mut row, self.faults);
        row.end(self.faults);
        let number = self.number(&name, here)?;
        let dimension = dimension(self.catalog, self.kind, self.bench, number)?;
        match read_span(dimension.quantity, &value) {
            Ok(span) if span.low <= 0 && span.high >= 0 => Some(Allowance { number, span, fact }),
            _ => {
                let message = "an allowance is a range round nothing: \"-0.05 .. 0.2 mm\"";
                let fault = Fault::new(here, FaultKind::BadValue, &value, message);
                self.faults.push(fault);
                None
            }
        }
    }

    fn derived(&mut self, node: &Node) -> Option<Derived> {
        let mut row = Row::new(self.file, node, self.faults);
        let here = row.here();
        let name = row.must("dimension", self.faults).to_owned();
        let from = row.texts("from", self.faults);
        let by = row.must("by", self.faults).to_owned();
        row.end(self.faults);
        let number = self.number(&name, here)?;
        let wanted = from.len();
        let from: Vec<usize> = from
            .into_iter()
            .filter_map(|(name, _)| self.number(name, here))
            .collect();
        let known = Formula::ALL
            .iter()
            .find(|(_, word, takes)| *word == by && *takes == wanted);
        let Some((by, ..)) = known else {
            let near = nearest(&by, Formula::ALL.iter().map(|(_, word, _)| *word));
            let message = format!("`{by}` is no formula that takes {wanted} readings");
            let fault = Fault::new(here, FaultKind::UnknownName, &by, message);
            self.faults.push(fault.near(near));
            return None;
        };
        (from.len() == wanted).then_some(Derived {
            number,
            from,
            by: *by,
        })
    }
}

/// Every name of a dimension of a kind, those only read on the bench with them.
pub(super) fn names<'c>(catalog: &'c Catalog, kind: usize, bench: &'c Bench) -> Vec<&'c str> {
    let own = catalog.body(kind).dimensions.iter();
    let all = own.chain(&bench.readings);
    all.map(|dimension| dimension.name.as_str()).collect()
}

/// The number of a dimension of a kind on the bench.
fn number(catalog: &Catalog, kind: usize, bench: &Bench, name: &str) -> Option<usize> {
    let body = catalog.body(kind);
    let extra = || {
        let mut readings = bench.readings.iter();
        let at = readings.position(|reading| reading.name == name)?;
        Some(body.dimensions.len() + at)
    };
    body.dimension(name).or_else(extra)
}

/// A dimension of a kind on the bench.
fn dimension<'c>(
    catalog: &'c Catalog,
    kind: usize,
    bench: &'c Bench,
    number: usize,
) -> Option<&'c Dimension> {
    let own = &catalog.body(kind).dimensions;
    match number.checked_sub(own.len()) {
        None => own.get(number),
        Some(extra) => bench.readings.get(extra),
    }
}

impl Catalog {
    /// The number of a dimension of a kind on the bench: the kind's own, then those only read here.
    pub fn bench_number(&self, kind: usize, name: &str) -> Option<usize> {
        number(self, kind, self.bench(kind), name)
    }

    /// A dimension of a kind on the bench, by its number.
    pub fn bench_dimension(&self, kind: usize, at: usize) -> Option<&Dimension> {
        dimension(self, kind, self.bench(kind), at)
    }

    /// The standard error of a dimension's tool; the coarsest, where it names several. `calliper` is
    /// that of the calliper, where it is stated.
    pub fn tool_error(&self, dimension: &Dimension, calliper: Option<i64>) -> i64 {
        let named = dimension.tool.split(" or ");
        let named = named.flat_map(|tool| tool.split(" and "));
        let known = named.filter_map(|name| self.tool(name.trim()));
        let errors = known.map(|tool| {
            let length = dimension.quantity == Quantity::Length;
            let stated = calliper.filter(|_| length && tool.name == "calliper");
            stated.unwrap_or_else(|| tool.error(dimension.quantity))
        });
        errors.max().unwrap_or(0)
    }

    /// A tool by name.
    pub fn tool(&self, name: &str) -> Option<&Tool> {
        self.tools().iter().find(|tool| tool.name == name)
    }
}

impl Catalog {
    /// Every fact of the bench: those of the tools, and of each kind.
    pub fn bench_facts(&self) -> impl Iterator<Item = &Fact> + '_ {
        let tools = self.tools().iter().map(|tool| &tool.fact);
        let kinds = (0..self.kinds().len()).map(|kind| self.bench(kind));
        tools.chain(kinds.flat_map(|bench| {
            let named = bench.named.iter().map(|row| &row.fact);
            let seen = bench.seen.iter().map(|row| &row.fact);
            let allowed = bench.allowances.iter().map(|row| &row.fact);
            named.chain(seen).chain(allowed)
        }))
    }
}

impl Tool {
    /// The standard error of what is taken with it; nothing for what is counted or named.
    pub fn error(&self, quantity: Quantity) -> i64 {
        match quantity {
            Quantity::Length => self.length,
            Quantity::Angle => self.angle,
            _ => 0,
        }
    }
}
