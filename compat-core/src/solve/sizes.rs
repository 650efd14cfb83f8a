//! Every size the catalogue knows of a kind of part, under the dimensions of the kind.

use crate::catalog::{Body, Catalog, Derived, Formula, Implied, Joint, Told};
use crate::dim::{Cases, Quantity, show_cases};
use crate::formula::{bolt_circle, wheel_size};
use crate::joints::FAMILIES;
use crate::verdict::Fact;

/// A size: what it is called, and what it fixes.
#[derive(Clone, Debug, PartialEq)]
pub struct Size {
    /// What it is called; several where several names stand for one size.
    pub titles: Vec<String>,
    /// The dimensions it fixes, by their numbers on the bench.
    pub fields: Vec<(usize, Cases)>,
    /// Who says so, and of which dimensions.
    pub facts: Vec<(Fact, Vec<usize>)>,
    /// The dimension it goes by, where a row of what is implied made it.
    told: Option<usize>,
}

impl Size {
    fn new(title: &str, fields: &[(usize, Cases)], fact: Option<&Fact>) -> Size {
        let mut size = Size {
            titles: vec![title.to_owned()],
            fields: fields.to_vec(),
            facts: Vec::new(),
            told: None,
        };
        size.cite(fact, fields);
        size
    }

    /// The dimensions it fixes.
    pub fn numbers(&self) -> impl Iterator<Item = usize> + '_ {
        self.fields.iter().map(|(number, _)| *number)
    }

    /// What it fixes of a dimension.
    pub fn cases(&self, number: usize) -> Option<&Cases> {
        let mut fields = self.fields.iter();
        let field = fields.find(|(known, _)| *known == number);
        field.map(|(_, cases)| cases)
    }

    /// Adds what is not known of it yet, and who says so.
    fn learn(&mut self, fields: &[(usize, Cases)], fact: Option<&Fact>) {
        let new = fields.iter();
        let new: Vec<(usize, Cases)> = new
            .filter(|(number, _)| self.cases(*number).is_none())
            .cloned()
            .collect();
        if !new.is_empty() {
            self.cite(fact, &new);
            self.fields.extend(new);
        }
    }

    /// Where another gives other figures for the same, what both allow stands; where they allow nothing
    /// together, both stand.
    fn join(&mut self, other: &Size) {
        for (number, cases) in &mut self.fields {
            if let Some(theirs) = other.cases(*number).filter(|theirs| *theirs != cases) {
                match cases.meet(theirs) {
                    Some(both) => *cases = both,
                    None => cases.join(theirs),
                }
            }
        }
    }

    /// True where everything that must stand is fixed so.
    fn meets(&self, when: &[(usize, Cases)]) -> bool {
        let within = |(number, wanted): &(usize, Cases)| {
            self.cases(*number)
                .is_some_and(|known| within(known, wanted))
        };
        when.iter().all(within)
    }

    /// Adds who says so, of the dimensions of these fields.
    fn cite(&mut self, fact: Option<&Fact>, fields: &[(usize, Cases)]) {
        let numbers: Vec<usize> = fields.iter().map(|(number, _)| *number).collect();
        if let Some(fact) = fact {
            self.facts.push((fact.clone(), numbers));
        }
    }
}

/// True where everything the one allows lies in the other.
fn within(known: &Cases, wanted: &Cases) -> bool {
    match (known, wanted) {
        (Cases::Numbers(known), Cases::Numbers(wanted)) => known
            .iter()
            .all(|known| wanted.iter().any(|wanted| wanted.holds(*known))),
        (Cases::Names(known), Cases::Names(wanted)) => {
            known.iter().all(|name| wanted.contains(name))
        }
        _ => false,
    }
}

/// Every size of a kind, each once.
pub fn sizes(catalog: &Catalog, kind: usize) -> Vec<Size> {
    let bench = catalog.bench(kind);
    let mut found = Vec::new();
    for family in 0..FAMILIES.len() {
        let mut ends = Vec::new();
        for joint in catalog.joints(family) {
            for end in 0..joint.ends.len() {
                let numbers = played(catalog, joint, family, end, kind);
                if !numbers.is_empty() && !ends.contains(&(end, numbers.clone())) {
                    ends.push((end, numbers));
                }
            }
        }
        for (end, numbers) in ends {
            found.extend(of_page(catalog, family, end, &numbers));
            for told in &bench.told {
                found.extend(of_implied(catalog, family, end, &numbers, told, kind));
            }
        }
    }
    let named = bench.named.iter();
    found.extend(named.map(|named| Size::new(&named.title, &named.fields, Some(&named.fact))));
    for size in &mut found {
        enrich(catalog, kind, size);
    }
    let found = merged(found, catalog, kind);
    let mut found = particular(found);
    found.sort_by(|a, b| a.titles.cmp(&b.titles));
    found
}

/// The dimensions of a kind that an end of a joint reads, where a part of that kind plays it.
fn played(
    catalog: &Catalog,
    joint: &Joint,
    family: usize,
    end: usize,
    kind: usize,
) -> Vec<Option<usize>> {
    let own = joint.ends.get(end).and_then(Option::as_ref);
    let slot = own.and_then(|own| catalog.slots().get(own.slot));
    match (slot, FAMILIES.get(family)) {
        (Some(slot), Some(family)) if slot.kind == kind => {
            let dimensions = joint.dimensions(catalog, family);
            dimensions.get(end).cloned().unwrap_or_default()
        }
        _ => Vec::new(),
    }
}

/// What fields of an end are, as dimensions of the kind that plays it.
fn own(
    fields: &[(crate::verdict::Field, Cases)],
    end: usize,
    numbers: &[Option<usize>],
) -> Vec<(usize, Cases)> {
    let of_end = fields
        .iter()
        .filter(|(field, _)| usize::from(field.end) == end);
    of_end
        .filter_map(|(field, cases)| {
            let number = numbers.get(usize::from(field.field)).copied().flatten()?;
            Some((number, cases.clone()))
        })
        .collect()
}

/// The sizes that stand on a page.
fn of_page(catalog: &Catalog, family: usize, end: usize, numbers: &[Option<usize>]) -> Vec<Size> {
    let rows = catalog.prose(family).sizes.iter();
    let sizes = rows.map(|row| {
        let fields = own(&row.fields, end, numbers);
        Size::new(&row.title, &fields, catalog.fact(row.fact))
    });
    sizes.filter(|size| !size.fields.is_empty()).collect()
}

/// The sizes that rows of what is implied come to, each with what the other rows add to it.
fn of_implied(
    catalog: &Catalog,
    family: usize,
    end: usize,
    numbers: &[Option<usize>],
    told: &Told,
    kind: usize,
) -> Vec<Size> {
    let book = catalog.book(family);
    let rows: Vec<&Implied> = book.implied.iter().filter(|row| row.end == end).collect();
    let mut found: Vec<Size> = Vec::new();
    for row in &rows {
        let mut fields = own(&row.when, end, numbers);
        fields.extend(own(&row.gives, end, numbers));
        let Some((_, value)) = fields.iter().find(|(number, _)| *number == told.number) else {
            continue;
        };
        let title = title(catalog, kind, told, value);
        let mut size = Size::new(&title, &fields, catalog.fact(row.fact));
        size.told = Some(told.number);
        for other in &rows {
            let when = own(&other.when, end, numbers);
            let gives = own(&other.gives, end, numbers);
            if !when.is_empty() && size.meets(&when) {
                size.learn(&gives, catalog.fact(other.fact));
            }
        }
        found.push(size);
    }
    // A row that says less than another of the same, or less of more, gives way to it.
    let gives_way = |index: usize, size: &Size| {
        found.iter().enumerate().any(|(other, known)| {
            let less = size
                .fields
                .iter()
                .all(|(number, cases)| known.cases(*number).is_some_and(|own| within(own, cases)));
            let same = known.fields.len() == size.fields.len() && size.meets(&known.fields);
            less && other != index && (!same || other < index)
        })
    };
    let kept = found.iter().enumerate();
    kept.filter(|(index, size)| !gives_way(*index, size))
        .map(|(_, size)| size.clone())
        .collect()
}

fn title(catalog: &Catalog, kind: usize, told: &Told, value: &Cases) -> String {
    let body: &Body = catalog.body(kind);
    let quantity = body
        .dimensions
        .get(told.number)
        .map_or(Quantity::Name, |dimension| dimension.quantity);
    let value = show_cases(quantity, value, |label| catalog.label_title(label));
    told.title.replace("{value}", &value)
}

/// What the bench adds to a size: what a tool reads where a name stands, and what follows by a formula.
fn enrich(catalog: &Catalog, kind: usize, size: &mut Size) {
    let bench = catalog.bench(kind);
    // What one row adds may be what another hangs on.
    for _ in 0..2 {
        for seen in &bench.seen {
            if size.meets(&seen.when) {
                size.learn(&seen.gives, Some(&seen.fact));
            }
        }
    }
    for derived in &bench.derived {
        if let Some(cases) = follow(size, derived) {
            size.learn(&[(derived.number, cases)], None);
        }
    }
}

/// A reading that follows from what a size fixes.
fn follow(size: &Size, derived: &Derived) -> Option<Cases> {
    let spans = |at: usize| match size.cases(*derived.from.get(at)?)? {
        Cases::Numbers(spans) => Some(spans),
        Cases::Names(_) => None,
    };
    let found: Option<Vec<_>> = match derived.by {
        Formula::Chord => {
            let bolts = size.cases(*derived.from.get(1)?)?.span()?;
            let each = spans(0)?.iter();
            each.map(|circle| bolt_circle::apart_of(*circle, bolts))
                .collect()
        }
        Formula::Round => {
            let each = spans(0)?.iter();
            each.map(|diameter| wheel_size::around(*diameter)).collect()
        }
    };
    found.map(Cases::Numbers)
}

/// Names of one size are one size with several names.
fn merged(all: Vec<Size>, catalog: &Catalog, kind: usize) -> Vec<Size> {
    let mut found: Vec<Size> = Vec::new();
    for size in all {
        let one = |known: &&mut Size| same(known, &size, catalog, kind) || told_alike(known, &size);
        match found.iter_mut().find(one) {
            Some(known) => {
                known.join(&size);
                for title in &size.titles {
                    let told = known.titles.iter().any(|one| one.contains(title.as_str()));
                    if !told {
                        known.titles.push(title.clone());
                    }
                }
                known.learn(&size.fields, None);
                for fact in size.facts {
                    if !known.facts.contains(&fact) {
                        known.facts.push(fact);
                    }
                }
            }
            None => found.push(size),
        }
    }
    found
}

/// A row that stands for several names at once gives way where each has a row of its own.
fn particular(all: Vec<Size>) -> Vec<Size> {
    let names = |size: &Size| -> Vec<Cases> {
        let named = size.told.and_then(|number| size.cases(number));
        let each = named.filter(|cases| matches!(cases, Cases::Names(_)));
        each.map_or_else(Vec::new, |cases| {
            (0..cases.len()).filter_map(|at| cases.only(at)).collect()
        })
    };
    let single = |wanted: &Size, name: &Cases| {
        all.iter().any(|size| {
            size.told == wanted.told && size.told.and_then(|at| size.cases(at)) == Some(name)
        })
    };
    let general = |size: &Size| {
        let names = names(size);
        names.len() > 1 && names.iter().all(|name| single(size, name))
    };
    let keep: Vec<bool> = all.iter().map(|size| !general(size)).collect();
    let kept = all.into_iter().zip(keep);
    kept.filter(|(_, keep)| *keep)
        .map(|(size, _)| size)
        .collect()
}

/// True where two pages tell of one name, and no other name differs: both figures stand.
fn told_alike(a: &Size, b: &Size) -> bool {
    let identity = |size: &Size| size.told.and_then(|number| size.cases(number).cloned());
    let names = |one: &Size, other: &Size| {
        one.fields
            .iter()
            .all(|(at, cases)| match (cases, other.cases(*at)) {
                (Cases::Names(_), Some(known)) => known == cases,
                _ => true,
            })
    };
    a.told.is_some() && a.told == b.told && identity(a) == identity(b) && names(a, b)
}

/// True where two sizes fix the same numbers, and no name that differs.
fn same(a: &Size, b: &Size, catalog: &Catalog, kind: usize) -> bool {
    let number = |number: usize| {
        let dimension = catalog.bench_dimension(kind, number);
        dimension.is_some_and(|dimension| dimension.quantity != Quantity::Name)
    };
    let both = |one: &Size, other: &Size| {
        one.fields.iter().all(|(at, cases)| match other.cases(*at) {
            Some(known) => known == cases,
            None => !number(*at),
        })
    };
    let some = a.numbers().any(number);
    some && both(a, b) && both(b, a)
}
