//! What is asked is needed: each question has two answers that come to different verdicts.
//!
//! An example of every family is tried, with what it states taken away.

use compat_core::bike::Look;
use compat_core::catalog::{Example, PartReader};
use compat_core::dim::{Cases, Entry, Origin, Reading, Span};
use compat_core::joints::FAMILIES;
use compat_core::solve::{self, Answer, Asked, Asking, Check, Finding, Measure, measure};
use compat_core::text::Place;
use compat_core::verdict::{Holds, Verdict};
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

/// How many rounds of answers there are at most.
const ROUNDS: usize = 12;

/// Examples of every family, with all they state taken away; where they stand far enough apart to
/// be few, also with each thing by itself taken away.
fn cases(catalog: &Catalog, apart: usize) -> Vec<(String, Bike, Bike)> {
    let mut all = Vec::new();
    for (index, family) in FAMILIES.iter().enumerate() {
        let examples = &catalog.prose(index).examples;
        for example in examples.iter().step_by(apart.min(examples.len()).max(1)) {
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
            for one in known.iter().filter(|_| apart == usize::MAX) {
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
    for (name, _, less) in cases(&catalog, usize::MAX) {
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

/// A reading for a question: what the example states, else one of the two of its proof, else what the
/// kind holds for plausible.
fn reading(catalog: &Catalog, whole: &Bike, asking: &Asking, turn: usize) -> Option<Cases> {
    let Asked::Dimension(slot, dimension) = asking.asked else {
        return None;
    };
    let part = whole.parts[slot].as_ref();
    let stated = part.and_then(|part| part.entries[dimension].deciding());
    if let Some(stated) = stated.filter(|_| turn == 0) {
        // What an example leaves open is answered here.
        let one = stated.cases.only(0);
        return one.map(|one| match one.span() {
            Some(span) => Cases::Numbers(vec![Span::exactly(span.low.max(0))]),
            None => one,
        });
    }
    let proof = asking.proof.as_ref();
    let proved = proof.map(|proof| {
        if turn == 0 {
            &proof.one.0
        } else {
            &proof.other.0
        }
    });
    if let Some(Answer::Reading(cases)) = proved {
        return Some(cases.clone());
    }
    let definition = &catalog.body(catalog.slots()[slot].kind).dimensions[dimension];
    Some(match definition.list {
        Some(list) => Cases::Names(vec![catalog.lists()[list].labels(list)[0]]),
        None => {
            let Span { low, high } = definition.range;
            Cases::Numbers(vec![Span::exactly(low + (high - low) / 2)])
        }
    })
}

/// Answers what is asked, one round after the other, but for one thing nobody knows; and what is left.
fn answered(
    catalog: &Catalog,
    (whole, less): (&Bike, &Bike),
    turn: usize,
    unknown: Option<Asked>,
) -> Measure {
    let mut with = less.clone();
    let mut found = run(catalog, &with);
    for _ in 0..ROUNDS {
        let asks = found.asks.iter().filter(|asking| !asking.later);
        let now: Vec<_> = asks
            .filter(|asking| Some(asking.asked) != unknown)
            .collect();
        if now.is_empty() {
            break;
        }
        for asking in now {
            let cases = reading(catalog, whole, asking, turn);
            answer(&mut with, asking.asked, cases.as_ref(), turn == 0);
        }
        found = run(catalog, &with);
    }
    found
}

fn open(found: &Measure) -> Vec<&Finding> {
    let findings = found.check.findings.iter();
    let open = findings.filter(|finding| finding.outcome == Verdict::MeasureFirst);
    open.collect()
}

fn shown(catalog: &Catalog, name: &str, found: &Measure, finding: &Finding) -> String {
    let family = &FAMILIES[finding.at.family];
    let claims = finding.judgement.claims().iter();
    let open = claims.filter(|claim| claim.holds == Holds::Open);
    let codes: Vec<_> = open
        .map(|claim| family.codes[usize::from(claim.code)])
        .collect();
    let asks: Vec<_> = found
        .asks
        .iter()
        .map(|asking| told(catalog, asking.asked))
        .collect();
    format!(
        "{name}: {} {codes:?} is left open; asked: {asks:?}",
        family.name
    )
}

/// Examples of every family with all they state taken away, and the first of each with one thing
/// taken away: with every question answered no joint is left open. `MEASURE_APART=1` tries them all.
#[test]
fn answering_every_question_leaves_none_open() {
    let catalog = Catalog::compiled();
    let (mut wrong, mut tried) = (Vec::new(), 0);
    let apart = std::env::var("MEASURE_APART").ok();
    let apart = apart.and_then(|apart| apart.parse().ok()).unwrap_or(6);
    let all = [cases(&catalog, apart), cases(&catalog, usize::MAX)].concat();
    for (name, whole, less) in &all {
        for turn in 0..2 {
            let found = answered(&catalog, (whole, less), turn, None);
            tried += 1;
            let left = open(&found);
            wrong.extend(
                left.iter()
                    .map(|finding| shown(&catalog, name, &found, finding)),
            );
        }
    }
    wrong.dedup();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(tried > 900, "only {tried} were tried");
}

/// What nobody knows leaves open the joints it decides and no other, and nothing else is asked.
#[test]
fn what_nobody_knows_leaves_just_that_one() {
    let catalog = Catalog::compiled();
    let (mut wrong, mut tried) = (Vec::new(), 0);
    for (name, whole, less) in &cases(&catalog, usize::MAX) {
        let first = run(&catalog, less);
        let asks = first.asks.iter().filter(|asking| !asking.later);
        for asking in asks.take(2) {
            let found = answered(&catalog, (whole, less), 0, Some(asking.asked));
            tried += 1;
            for finding in open(&found) {
                let own = found
                    .asks
                    .iter()
                    .filter(|asks| asks.joints.contains(&finding.at));
                let mut now = own.filter(|asks| !asks.later);
                if !now.any(|asks| asks.asked == asking.asked) {
                    wrong.push(shown(&catalog, name, &found, finding));
                }
            }
            let others = found.asks.iter().filter(|asks| !asks.later);
            let others: Vec<_> = others.filter(|asks| asks.asked != asking.asked).collect();
            wrong.extend(others.iter().map(|other| {
                let (other, first) = (told(&catalog, other.asked), told(&catalog, asking.asked));
                format!("{name}: {other} is still asked beside {first}")
            }));
        }
    }
    wrong.dedup();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(tried > 100, "only {tried} were tried");
}
