//! The catalogue as a whole: no faults, every example comes out as written, every code is shown.

use compat_core::catalog::Example;
use compat_core::dim::show_value;
use compat_core::joints::{Cells, FAMILIES};
use compat_core::solve::{Judgement, Setting, judge};
use compat_core::verdict::{Grade, Holds};
use compat_core::{Catalog, Job};

/// The cells of an example.
pub fn cells<'e>(family: usize, example: &'e Example) -> Cells<'e> {
    let mut cells = Cells::of(&FAMILIES[family]);
    for end in &example.ends {
        cells.put(*end);
    }
    for (field, reading) in &example.fields {
        cells.set(*field, Some(reading));
    }
    cells
}

fn run(catalog: &Catalog, family: usize, example: &Example) -> Judgement {
    judge(catalog, family, &cells(family, example), Setting::default())
}

#[test]
fn the_catalogue_has_no_fault() {
    let catalog = Catalog::compiled();
    let faults = catalog.all_faults();
    let shown: Vec<String> = faults
        .0
        .iter()
        .map(|fault| fault.show(catalog.files()))
        .collect();
    assert!(shown.is_empty(), "{}", shown.join("\n"));
}

#[test]
fn every_example_comes_out_as_written() {
    let catalog = Catalog::compiled();
    let mut wrong = Vec::new();
    for (index, family) in FAMILIES.iter().enumerate() {
        for example in &catalog.prose(index).examples {
            let judgement = run(&catalog, index, example);
            if judgement.verdict.words() != example.verdict {
                wrong.push(format!(
                    "{}: {}: {} where {} was expected",
                    family.name,
                    example.title,
                    judgement.verdict.words(),
                    example.verdict
                ));
            }
            for code in &example.shows {
                let number = family.codes.iter().position(|known| known == code).unwrap();
                let all = judgement.runs.iter().flat_map(|run| &run.claims);
                if !all.clone().any(|claim| usize::from(claim.code) == number) {
                    wrong.push(format!(
                        "{}: {}: shows no `{code}`",
                        family.name, example.title
                    ));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Two examples of one title are one that was written twice.
#[test]
fn no_example_stands_twice() {
    let catalog = Catalog::compiled();
    for (index, family) in FAMILIES.iter().enumerate() {
        let mut titles: Vec<&str> = Vec::new();
        for example in &catalog.prose(index).examples {
            let title = example.title.as_str();
            assert!(!titles.contains(&title), "{}: {title}", family.name);
            titles.push(title);
        }
    }
}

#[test]
fn every_code_is_shown_by_an_example_and_every_failure_fails_in_one() {
    let catalog = Catalog::compiled();
    let mut missing = Vec::new();
    for (index, family) in FAMILIES.iter().enumerate() {
        for (number, code) in family.codes.iter().enumerate() {
            let claims: Vec<_> = catalog
                .prose(index)
                .examples
                .iter()
                .filter(|example| example.shows.iter().any(|shown| shown == code))
                .flat_map(|example| run(&catalog, index, example).runs)
                .flat_map(|run| run.claims)
                .filter(|claim| usize::from(claim.code) == number)
                .collect();
            if claims.is_empty() {
                missing.push(format!("{}/{code} is shown by no example", family.name));
            }
            let book = &catalog.book(index).codes[number];
            let can_fail = book.ground.is_some();
            if can_fail && !claims.iter().any(|claim| claim.holds == Holds::No) {
                missing.push(format!("{}/{code} fails in no example", family.name));
            }
            if can_fail && book.fails.is_empty() {
                missing.push(format!("{}/{code} has no words for failing", family.name));
            }
        }
    }
    assert!(missing.is_empty(), "{}", missing.join("\n"));
}

#[test]
fn every_size_mates_with_itself() {
    let catalog = Catalog::compiled();
    for (index, family) in FAMILIES.iter().enumerate() {
        for size in &catalog.prose(index).sizes {
            let readings: Vec<_> = size
                .fields
                .iter()
                .map(|(field, cases)| {
                    let origin = compat_core::dim::Origin::Catalogue(size.fact.packed());
                    (
                        *field,
                        compat_core::dim::Reading {
                            cases: cases.clone(),
                            origin,
                        },
                    )
                })
                .collect();
            let mut cells = Cells::of(family);
            for (field, reading) in &readings {
                cells.put(field.end.into());
                cells.set(*field, Some(reading));
            }
            let both = readings
                .iter()
                .map(|(field, _)| field.end)
                .collect::<std::collections::BTreeSet<_>>()
                .len()
                > 1;
            if both {
                let judgement = judge(&catalog, index, &cells, Setting::default());
                let fails: Vec<_> = judgement
                    .claims()
                    .iter()
                    .filter(|claim| claim.holds == Holds::No)
                    .collect();
                assert!(
                    fails.is_empty(),
                    "{} {}: {fails:?}",
                    family.name,
                    size.title
                );
            }
        }
    }
}

/// Figures from memory are few: what nobody could look up must not carry the catalogue.
#[test]
fn few_figures_are_from_memory() {
    let catalog = Catalog::compiled();
    let facts = |index: usize| {
        let (book, prose) = (catalog.book(index), catalog.prose(index));
        book.facts.iter().chain(&prose.facts)
    };
    let all: Vec<_> = (0..FAMILIES.len()).flat_map(facts).collect();
    let memory = all
        .iter()
        .filter(|fact| fact.grade == Grade::Memory)
        .count();
    assert!(memory * 100 <= all.len() * 15, "{memory} of {}", all.len());
}

/// What the program has of the catalogue is what stands in its files.
#[test]
fn the_compact_form_is_the_catalogue() {
    let catalog = Catalog::compiled();
    let (shape, texts) = catalog.packed();
    let (shape, texts): (&'static [u8], &'static str) = (shape.leak(), texts.leak());
    let unpacked = Catalog::unpacked(shape, texts);
    let same = |what: &str, a: &dyn std::fmt::Debug, b: &dyn std::fmt::Debug| {
        assert_eq!(format!("{a:?}"), format!("{b:?}"), "{what}");
    };
    same("lists", &catalog.lists(), &unpacked.lists());
    same("slots", &catalog.slots(), &unpacked.slots());
    for (number, kind) in catalog.kinds().iter().enumerate() {
        assert_eq!(unpacked.kind_named(&kind.name), Some(number));
        same(&kind.name, catalog.body(number), unpacked.body(number));
        same(&kind.name, catalog.bench(number), unpacked.bench(number));
    }
    for (number, family) in FAMILIES.iter().enumerate() {
        for (a, b) in catalog.joints(number).iter().zip(unpacked.joints(number)) {
            let dimensions = a.dimensions(&catalog, family);
            same(family.name, &dimensions, &b.dimensions(&unpacked, family));
        }
        let (a, b) = (catalog.joints(number), unpacked.joints(number));
        same(family.name, &a, &b);
        same(family.name, catalog.book(number), unpacked.book(number));
        same(family.name, catalog.prose(number), unpacked.prose(number));
    }
    for (key, source) in catalog.sources() {
        assert_eq!(unpacked.source(key), Some(source));
    }
    // A form that is cut off is none, and the catalogue is read from its pages.
    let cut = Catalog::unpacked(shape.get(..shape.len() / 2).unwrap(), texts);
    same("cut off", &catalog.book(0), &cut.book(0));
}

/// A family's ends and fields are told apart by numbers of a few bits.
#[test]
fn no_family_has_more_ends_or_fields_than_are_told_apart() {
    for family in FAMILIES {
        let fields: usize = family.ends.iter().map(|end| end.fields.len()).sum();
        assert!(family.ends.len() <= 16, "{}", family.name);
        assert!(fields < 128, "{}", family.name);
    }
}

/// What else a dimension is called is read as the dimension, in files, lists and settings, and means
/// nothing else there.
#[test]
fn what_else_a_dimension_is_called_is_read_as_the_dimension() {
    let catalog = Catalog::compiled();
    let mut tried = 0;
    for (kind, named) in catalog.kinds().iter().enumerate() {
        let body = catalog.body(kind);
        for (at, (called, number)) in body.called.iter().enumerate() {
            let dimension = &body.dimensions[*number];
            let about = format!("{}: {called}", named.name);
            let shorthands = body.shorthands.iter().map(|short| &short.name);
            let others = body.dimensions.iter().map(|one| &one.name);
            assert!(
                others.chain(shorthands).all(|name| name != called),
                "{about}"
            );
            let mut others = body.called.iter().skip(at + 1);
            assert!(others.all(|(other, _)| other != called), "{about}");
            assert!(!["name", "note", "complaint", "kind", "id"].contains(&called.as_str()));
            let value = match dimension.list {
                Some(list) => catalog.lists()[list].names[0].name.to_string(),
                None => show_value(dimension.quantity, dimension.range.low),
            };
            let read = |name: &str| {
                let list = format!("kind,{name}\n{},\"{value}\"\n", named.name);
                let stock = Job::new(&catalog).stock("bin.csv", list.as_bytes());
                let stock = stock.unwrap_or_else(|faults| panic!("{about}: {faults:?}"));
                let part = stock.makes.part(0).unwrap();
                part.entries[*number].deciding().unwrap().cases.clone()
            };
            assert_eq!(read(called), read(&dimension.name), "{about}");
            tried += 1;
        }
    }
    assert!(tried > 100, "{tried}");
}
