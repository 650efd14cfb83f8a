//! Laws that hold for every family, tried on random readings drawn from its own examples, sizes
//! and names.

use compat_core::Catalog;
use compat_core::dim::{Cases, Label, Origin, Quantity, Reading, Span};
use compat_core::joints::{Cells, FAMILIES};
use compat_core::solve::{Judgement, Setting, judge, quick, quick_or_never};
use compat_core::text::Place;
use compat_core::verdict::{Field, Verdict};
use proptest::prelude::*;
use std::sync::OnceLock;

fn catalog() -> &'static Catalog {
    static CATALOG: OnceLock<Catalog> = OnceLock::new();
    CATALOG.get_or_init(Catalog::compiled)
}

fn fields(family: usize) -> Vec<(Field, Quantity)> {
    let ends = FAMILIES[family].ends.iter().enumerate();
    ends.flat_map(|(end, definition)| {
        definition
            .fields
            .iter()
            .enumerate()
            .map(move |(field, known)| {
                (
                    Field {
                        end: u8::try_from(end).unwrap(),
                        field: u8::try_from(field).unwrap(),
                    },
                    known.quantity,
                )
            })
    })
    .collect()
}

/// Values the catalogue itself speaks of, for a field of a family.
fn pool(family: usize, field: Field, quantity: Quantity) -> Vec<i64> {
    let (book, prose) = (catalog().book(family), catalog().prose(family));
    let mut values: Vec<i64> = Vec::new();
    let mut add = |cases: &Cases| {
        if let Cases::Numbers(spans) = cases {
            values.extend(spans.iter().flat_map(|span| [span.low, span.high]));
        }
    };
    for example in &prose.examples {
        example
            .fields
            .iter()
            .filter(|(known, _)| *known == field)
            .for_each(|(_, reading)| add(&reading.cases));
    }
    for size in &prose.sizes {
        size.fields
            .iter()
            .filter(|(known, _)| *known == field)
            .for_each(|(_, cases)| add(cases));
    }
    for row in book.implied.iter() {
        row.gives
            .iter()
            .filter(|(known, _)| *known == field)
            .for_each(|(_, cases)| add(cases));
    }
    values.retain(|value| *value != Span::LEAST && *value != Span::MOST);
    if values.is_empty() {
        values.push(if quantity == Quantity::Count {
            11
        } else {
            30_000_000
        });
    }
    values
}

fn labels(family: usize, field: Field) -> Vec<Label> {
    let list = catalog().book(family).lists[usize::from(field.end)][usize::from(field.field)];
    list.map(|list| catalog().lists()[list].labels(list))
        .unwrap_or_default()
}

/// What may be known of a field: nothing, one value, a span, or one of two.
fn cases(family: usize, field: Field, quantity: Quantity) -> BoxedStrategy<Option<Cases>> {
    if quantity == Quantity::Name {
        let labels = labels(family, field);
        let one = proptest::sample::select(labels.clone());
        let two = (
            proptest::sample::select(labels.clone()),
            proptest::sample::select(labels),
        );
        return prop_oneof![
            2 => Just(None),
            6 => one.prop_map(|label| Some(Cases::Names(vec![label]))),
            1 => two.prop_map(|(a, b)| Some(Cases::Names(if a == b { vec![a] } else { vec![a, b] }))),
        ]
        .boxed();
    }
    let step = if quantity == Quantity::Count {
        1
    } else {
        20_000
    };
    let value = (
        proptest::sample::select(pool(family, field, quantity)),
        -12_i64..=12,
    )
        .prop_map(move |(value, off)| value + off * step);
    prop_oneof![
        2 => Just(None),
        5 => value.clone().prop_map(|value| Some(Cases::Numbers(vec![Span::exactly(value)]))),
        3 => (value.clone(), 0_i64..12).prop_map(move |(value, wide)| Some(Cases::Numbers(vec![Span::between(value, value + wide * step)]))),
        1 => (value.clone(), value).prop_map(|(a, b)| {
            Some(Cases::Numbers(if a == b { vec![Span::exactly(a)] } else { vec![Span::exactly(a), Span::exactly(b)] }))
        }),
    ]
    .boxed()
}

pub type Known = Vec<(Field, Option<Cases>)>;

pub fn known(family: usize) -> BoxedStrategy<(usize, Known)> {
    let each: Vec<_> = fields(family)
        .into_iter()
        .map(|(field, quantity)| {
            cases(family, field, quantity)
                .prop_map(move |cases| (field, cases))
                .boxed()
        })
        .collect();
    // Half the time a part the joint stands without is not there.
    let absent = any::<u8>();
    (each, absent)
        .prop_map(move |(mut known, absent)| {
            for (field, cases) in &mut known {
                let optional = FAMILIES[family].ends[usize::from(field.end)].optional;
                if optional && absent >> (field.end % 8) & 1 == 1 {
                    *cases = None;
                }
            }
            (family, known)
        })
        .boxed()
}

/// Which ends are there: those the joint wants, and others where something is known of them.
fn present(family: usize, known: &Known) -> Vec<bool> {
    let there = |end: usize| {
        let of_end = |(field, cases): &(Field, Option<Cases>)| {
            usize::from(field.end) == end && cases.is_some()
        };
        !FAMILIES[family].ends[end].optional || known.iter().any(of_end)
    };
    (0..FAMILIES[family].ends.len()).map(there).collect()
}

fn any_family() -> BoxedStrategy<(usize, Known)> {
    let asked = std::env::var("LAWS_FAMILIES").unwrap_or_default();
    let named = |at: &usize| asked.split(',').any(|name| name == FAMILIES[*at].name);
    let some: Vec<usize> = (0..FAMILIES.len()).filter(named).collect();
    if some.is_empty() {
        return (0..FAMILIES.len()).prop_flat_map(known).boxed();
    }
    proptest::sample::select(some).prop_flat_map(known).boxed()
}

fn readings(known: &Known) -> Vec<(Field, Reading)> {
    let origin = Origin::Stated(Place::default());
    known
        .iter()
        .filter_map(|(field, cases)| {
            Some((
                *field,
                Reading {
                    cases: cases.clone()?,
                    origin,
                },
            ))
        })
        .collect()
}

fn cells<'r>(family: usize, readings: &'r [(Field, Reading)], present: &[bool]) -> Cells<'r> {
    let mut cells = Cells::of(&FAMILIES[family]);
    for (end, _) in present.iter().enumerate().filter(|(_, there)| **there) {
        cells.put(end);
    }
    for (field, reading) in readings {
        cells.set(*field, Some(reading));
    }
    cells
}

fn run(family: usize, known: &Known) -> Judgement {
    run_with(family, known, &present(family, known))
}

fn run_with(family: usize, known: &Known, present: &[bool]) -> Judgement {
    let readings = readings(known);
    let cells = cells(family, &readings, present);
    judge(catalog(), family, &cells, Setting::default())
}

/// The readings of a field that its judgement allows it: what is known, else what the catalogue
/// says of the names that stand there, else anything.
fn narrower(family: usize, known: &Known, judgement: &Judgement, pick: &[u8]) -> Known {
    let mut picks = pick.iter().copied().cycle();
    let mut next = move || usize::from(picks.next().unwrap());
    // What is learnt of a part does not put it on the bike.
    let there = present(family, known);
    known
        .iter()
        .zip(fields(family))
        .map(|((field, cases), (_, quantity))| {
            let implied: Vec<&Reading> = judgement
                .runs
                .iter()
                .flat_map(|run| &run.implied)
                .filter(|(known, _)| known == field)
                .map(|(_, reading)| reading)
                .collect();
            let learnt = match cases {
                Some(Cases::Numbers(spans)) => {
                    let span = spans[next() % spans.len()];
                    let value = span.low
                        + (span.high - span.low) / 12 * i64::try_from(next() % 13).unwrap();
                    Some(Cases::Numbers(vec![Span::exactly(value)]))
                }
                Some(Cases::Names(labels)) => {
                    Some(Cases::Names(vec![labels[next() % labels.len()]]))
                }
                // What the catalogue says stands for a reading; only readings inside it are news.
                None if !implied.is_empty() || !there[usize::from(field.end)] => None,
                None if quantity == Quantity::Name => {
                    let labels = labels(family, *field);
                    (next() % 2 == 0).then(|| Cases::Names(vec![labels[next() % labels.len()]]))
                }
                None => {
                    let pool = pool(family, *field, quantity);
                    (next() % 2 == 0)
                        .then(|| Cases::Numbers(vec![Span::exactly(pool[next() % pool.len()])]))
                }
            };
            (*field, learnt)
        })
        .collect()
}

/// Names that change what the catalogue says of other dimensions may not be learnt together with
/// them: a law about rules, not about the catalogue. Learning a name fills in what it implies.
fn steady(verdict: Verdict) -> bool {
    verdict != Verdict::MeasureFirst
}

/// True where there are so few cases that all are told apart, with those the catalogue adds: of more the
/// answer is to measure.
fn few(known: &Known) -> bool {
    let cases = known.iter().flat_map(|(_, cases)| cases);
    cases.map(Cases::len).product::<usize>() <= 32
}

/// How many cases each law is tried on; `PROPTEST_CASES` asks for more, and `LAWS_FAMILIES` for the
/// families named in it alone.
/// So many cases, or as many as are asked for.
pub fn how_many(usual: u32) -> u32 {
    let asked = std::env::var("PROPTEST_CASES").ok();
    asked.and_then(|text| text.parse().ok()).unwrap_or(usual)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: how_many(12_000), failure_persistence: None, ..ProptestConfig::default() })]

    /// Learning more never turns a fit into no fit or back; only "measure first" may change.
    #[test]
    fn a_verdict_stands_whatever_is_learnt((family, known) in any_family(), pick in proptest::collection::vec(any::<u8>(), 40)) {
        let before = run(family, &known);
        if !steady(before.verdict) {
            return Ok(());
        }
        let learnt = narrower(family, &known, &before, &pick);
        let after = run(family, &learnt);
        // What is learnt may contradict what was stated, or call it in question; then that is said.
        let contradicts = |claim: &compat_core::verdict::Claim| {
            let code = FAMILIES[family].codes[usize::from(claim.code)];
            claim.holds != compat_core::verdict::Holds::Yes && code.ends_with("-contradicted")
        };
        if after.runs.iter().any(|run| run.claims.iter().any(contradicts)) {
            return Ok(());
        }
        let fit = |verdict: Verdict| verdict <= Verdict::FitsWith;
        prop_assert!(fit(before.verdict) == fit(after.verdict) && steady(after.verdict),
            "{}: {:?} became {:?}\nknown {known:?}\nlearnt {learnt:?}", FAMILIES[family].name, before.verdict, after.verdict);
    }

    /// What never comes to fit does not, however exactly what is known is learnt.
    #[test]
    fn what_never_fits_does_not_when_figures_are_learnt((family, known) in any_family(), pick in proptest::collection::vec(any::<u8>(), 40)) {
        let never = |known: &Known| {
            let readings = readings(known);
            let cells = cells(family, &readings, &present(family, known));
            quick_or_never(catalog(), family, &cells, Setting::default()).1
        };
        if never(&known) {
            let mut learnt = narrower(family, &known, &run(family, &known), &pick);
            for ((_, learnt), (_, known)) in learnt.iter_mut().zip(&known) {
                *learnt = learnt.take().filter(|_| known.is_some());
            }
            let after = run(family, &learnt);
            prop_assert!(after.verdict > Verdict::FitsWith, "{}: {:?}\nknown {known:?}\nlearnt {learnt:?}", FAMILIES[family].name, after.verdict);
        }
    }

    /// The rule says the same with an argument and without one.
    #[test]
    fn both_speeds_agree((family, known) in any_family()) {
        let readings = readings(&known);
        let cells = cells(family, &readings, &present(family, &known));
        prop_assert_eq!(judge(catalog(), family, &cells, Setting::default()).verdict, quick(catalog(), family, &cells, Setting::default()));
    }

    /// Either-or gives the hull of the verdicts of its cases.
    #[test]
    fn either_or_is_the_hull_of_its_cases((family, known) in any_family()) {
        if !few(&known) {
            return Ok(());
        }
        let Some(index) = known.iter().position(|(_, cases)| cases.as_ref().is_some_and(|cases| cases.len() == 2)) else {
            return Ok(());
        };
        let with = |case: usize| {
            let mut known = known.clone();
            known[index].1 = known[index].1.as_ref().and_then(|cases| cases.only(case));
            run(family, &known).verdict
        };
        prop_assert_eq!(run(family, &known).verdict, with(0).either(with(1)));
    }

    /// With nothing but what the argument cites, the verdict stays.
    #[test]
    fn what_is_not_cited_does_not_matter((family, known) in any_family()) {
        if !few(&known) {
            return Ok(());
        }
        let before = run(family, &known);
        let mut cited: Vec<Field> = before.runs.iter().flat_map(|run| &run.claims).flat_map(|claim| &claim.terms).map(|term| term.field).collect();
        // A name stands behind what the catalogue says of it.
        for row in catalog().book(family).implied.iter() {
            cited.extend(row.when.iter().map(|(field, _)| *field));
        }
        let kept: Known = known.iter().map(|(field, cases)| (*field, cases.clone().filter(|_| cited.contains(field)))).collect();
        let kept = run_with(family, &kept, &present(family, &known));
        prop_assert_eq!(before.verdict, kept.verdict, "{}", FAMILIES[family].name);
    }

    /// A reading that the claim says surely holds makes that claim hold.
    #[test]
    fn the_readings_named_as_deciding_do_decide((family, known) in any_family()) {
        let before = run(family, &known);
        let Some(only) = before.runs.first().filter(|_| before.runs.len() == 1) else { return Ok(()) };
        for claim in &only.claims {
            for turn in &claim.turns {
                let Some(sure) = &turn.sure else { continue };
                let mut learnt = known.clone();
                let Some(place) = learnt.iter_mut().find(|(field, _)| *field == turn.field) else { continue };
                let one = match sure {
                    Cases::Numbers(spans) => {
                        let value = if spans[0].low == Span::LEAST { spans[0].high } else { spans[0].low };
                        if value == Span::MOST { continue }
                        Cases::Numbers(vec![Span::exactly(value)])
                    }
                    Cases::Names(labels) => Cases::Names(vec![labels[0]]),
                };
                place.1 = Some(one);
                let after = run(family, &learnt);
                // Another reading may bring other figures with it; then the claim is another one.
                let implied = catalog()
                    .book(family)
                    .implied
                    .iter()
                    .any(|row| row.when.iter().any(|(field, _)| *field == turn.field));
                let again = after.runs.first().and_then(|run| run.claims.iter().find(|other| other.code == claim.code && other.terms == claim.terms));
                if let Some(again) = again.filter(|_| !implied && after.runs.len() == 1) {
                    prop_assert_eq!(again.holds, compat_core::verdict::Holds::Yes, "{} {:?} {:?}", FAMILIES[family].name, claim, learnt);
                }
            }
        }
    }
}

fn verdicts() -> impl Strategy<Value = Verdict> {
    proptest::sample::select(Verdict::ALL.to_vec())
}

proptest! {
    #[test]
    fn verdicts_combine_in_any_order(a in verdicts(), b in verdicts(), c in verdicts()) {
        prop_assert_eq!(a.and(b), b.and(a));
        prop_assert_eq!(a.and(b).and(c), a.and(b.and(c)));
        prop_assert_eq!(a.and(a), a);
        prop_assert_eq!(a.either(b), b.either(a));
        prop_assert_eq!(a.either(a), a);
        prop_assert_eq!(a.either(b).either(c), a.either(b.either(c)));
    }
}
