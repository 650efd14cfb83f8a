//! What is asked is needed: each question has two answers that come to different verdicts.
//!
//! An example of every family is tried, with what it states taken away.

use compat_core::bike::Look;
use compat_core::catalog::{Example, PartReader};
use compat_core::dim::{Cases, Entry, Origin, Reading};
use compat_core::joints::FAMILIES;
use compat_core::solve::{self, Answer, Asked, Check, Measure, measure};
use compat_core::text::Place;
use compat_core::{Bike, Catalog, Options, Swap};

/// The bike of an example: the parts of the first joint of its family, with what it states; and
/// which dimensions those are.
fn bike(
    catalog: &Catalog,
    family: usize,
    example: &Example,
) -> Option<(Bike, Vec<(usize, usize)>)> {
    let mut bike = Bike::unknown(catalog);
    let joint = catalog
        .joints(family)
        .iter()
        .find(|joint| example.ends.iter().all(|end| joint.ends[*end].is_some()))?;
    let mut known = Vec::new();
    for (number, end) in joint.ends.iter().enumerate() {
        let Some(end) = end.as_ref().filter(|_| example.ends.contains(&number)) else {
            continue;
        };
        let kind = catalog.slots()[end.slot].kind;
        let mut part = bike.parts[end.slot]
            .take()
            .unwrap_or_else(|| PartReader::new(catalog, kind, Place::default()).part);
        let body = catalog.body(kind);
        let presented = body.end(&end.end)?;
        for (field, reading) in &example.fields {
            if usize::from(field.end) != number {
                continue;
            }
            let name = FAMILIES[family].field(*field)?.name;
            let (_, dimension) = presented.fields.iter().find(|(known, _)| known == name)?;
            part.entries[*dimension].stated = Some(reading.clone());
            known.push((end.slot, *dimension));
        }
        bike.parts[end.slot] = Some(part);
    }
    known.sort_unstable();
    known.dedup();
    Some((bike, known))
}

fn answer(bike: &mut Bike, asked: Asked, cases: Option<&Cases>, holds: bool) {
    match (asked, cases) {
        (Asked::Dimension(slot, dimension), Some(cases)) => {
            let reading = Reading {
                cases: cases.clone(),
                origin: Origin::Measured(Place::default()),
            };
            bike.parts[slot].as_mut().unwrap().entries[dimension] = Entry {
                measured: Some(reading),
                ..Entry::default()
            };
        }
        (Asked::Look(at, code), _) => bike.looks.push(Look {
            family: at.family,
            code,
            slot: None,
            holds,
            place: Place::default(),
        }),
        _ => {}
    }
}

/// What is fixed on the bike stays; everything else is new.
fn apart(catalog: &Catalog, whole: &Bike) -> (Bike, Swap) {
    let mut bike = Bike::unknown(catalog);
    let mut swap = Swap {
        looks: whole.looks.clone(),
        ..Swap::default()
    };
    for (slot, part) in whole.parts.iter().enumerate() {
        let place = &catalog.slots()[slot];
        match part {
            Some(part) if place.fixed || place.no_part => bike.parts[slot] = Some(part.clone()),
            Some(part) => swap.parts.push((slot, part.clone())),
            None => {}
        }
    }
    (bike, swap)
}

fn run(catalog: &Catalog, whole: &Bike) -> Measure {
    let (bike, swap) = apart(catalog, whole);
    measure(catalog, &bike, Some(&swap), Options::default())
}

fn judged(catalog: &Catalog, whole: &Bike) -> Check {
    let (bike, swap) = apart(catalog, whole);
    solve::judged(catalog, &bike, Some(&swap), Options::default())
}

/// An example of every family, with all it states taken away.
fn cases(catalog: &Catalog) -> Vec<(String, Bike, Bike)> {
    let mut all = Vec::new();
    for (index, family) in FAMILIES.iter().enumerate() {
        let examples = &catalog.prose(index).examples;
        for example in examples.iter().step_by(examples.len().max(1)) {
            let Some((whole, known)) = bike(catalog, index, example) else {
                continue;
            };
            let name = format!("{}: {}", family.name, example.title);
            let without = |gone: &[(usize, usize)]| {
                let mut less = whole.clone();
                for (slot, dimension) in gone {
                    less.parts[*slot].as_mut().unwrap().entries[*dimension] = Entry::default();
                }
                less
            };
            for one in &known {
                all.push((
                    name.clone(),
                    whole.clone(),
                    without(std::slice::from_ref(one)),
                ));
            }
            all.push((name, whole.clone(), without(&known)));
        }
    }
    all
}

fn told(catalog: &Catalog, asked: Asked) -> String {
    match asked {
        Asked::Dimension(slot, dimension) => {
            let place = &catalog.slots()[slot];
            let name = &catalog.body(place.kind).dimensions[dimension].name;
            format!("{}.{name}", place.name)
        }
        Asked::Look(at, code) => compat_core::solve::look_name(catalog, at, code),
    }
}

/// The two answers that are said to differ are given, with those to the other questions, and judged
/// as any check is.
#[test]
fn every_question_has_two_answers_that_come_to_different_verdicts() {
    let catalog = Catalog::compiled();
    let (mut tried, mut unproved) = (0, 0);
    for (name, _, less) in cases(&catalog) {
        for asking in run(&catalog, &less).asks {
            let Some(proof) = &asking.proof else {
                unproved += 1;
                continue;
            };
            let verdict = |last: &Answer| {
                let mut with = less.clone();
                let all = proof.others.iter().map(|(asked, answer)| (*asked, answer));
                for (asked, given) in all.chain([(asking.asked, last)]) {
                    match given {
                        Answer::Reading(cases) => answer(&mut with, asked, Some(cases), true),
                        Answer::Holds(holds) => answer(&mut with, asked, None, *holds),
                    }
                }
                let check = judged(&catalog, &with);
                let mut all = check.findings.iter().chain(&check.quiet);
                let found = all.find(|finding| finding.at == proof.joint);
                found
                    .unwrap_or_else(|| panic!("{name}: the joint is gone"))
                    .outcome
            };
            let (one, other) = (verdict(&proof.one.0), verdict(&proof.other.0));
            let what = told(&catalog, asking.asked);
            assert_eq!(one, proof.one.1, "{name}: {what}");
            assert_eq!(other, proof.other.1, "{name}: {what}");
            assert_ne!(one, other, "{name}: {what}");
            tried += 1;
        }
    }
    assert!(tried > 200, "only {tried} were tried");
    assert!(
        unproved * 20 <= tried,
        "{unproved} of {tried} without a proof"
    );
}
