//! Verdicts are stable under knowledge, on whole bikes: the examples with their swap sets.

use std::sync::OnceLock;

use compat_core::bike::JointAt;
use compat_core::dim::{Cases, Entry, Origin, Quantity, Reading, Span};
use compat_core::solve::{Check, Known, judged};
use compat_core::text::{Faults, Place};
use compat_core::verdict::Verdict;
use compat_core::{Bike, Catalog, Job, Options, Swap};
use proptest::prelude::*;

fn catalog() -> &'static Catalog {
    static CATALOG: OnceLock<Catalog> = OnceLock::new();
    CATALOG.get_or_init(Catalog::compiled)
}

fn pairs() -> &'static [(String, Bike, Swap)] {
    static PAIRS: OnceLock<Vec<(String, Bike, Swap)>> = OnceLock::new();
    PAIRS.get_or_init(|| super::whole::pairs(&mut Job::new(catalog())))
}

fn run(bike: &Bike, swap: &Swap) -> Check {
    judged(catalog(), bike, Some(swap), Options::default())
}

fn verdicts(check: &Check) -> Vec<(JointAt, Verdict)> {
    let all = check.findings.iter().chain(&check.quiet);
    let new = all.filter(|finding| !finding.standing);
    let mut all: Vec<_> = new.map(|finding| (finding.at, finding.outcome)).collect();
    all.sort();
    all
}

/// The verdicts on the ends as they are, no adaptor in between.
fn plain(check: &Check) -> Vec<(JointAt, Verdict)> {
    let all = check.findings.iter().chain(&check.quiet);
    let new = all.filter(|finding| !finding.standing);
    new.map(|finding| (finding.at, finding.plain)).collect()
}

/// The dimensions of a bike and what is known of each.
fn dimensions(bike: &Bike) -> Vec<(usize, usize)> {
    let parts = bike.parts.iter().enumerate();
    let parts = parts.filter_map(|(slot, part)| Some((slot, part.as_ref()?.entries.len())));
    parts
        .flat_map(|(slot, many)| (0..many).map(move |dimension| (slot, dimension)))
        .collect()
}

fn name((slot, dimension): (usize, usize)) -> String {
    let place = &catalog().slots()[slot];
    let dimension = &catalog().body(place.kind).dimensions[dimension];
    format!("{}.{}", place.name, dimension.name)
}

fn set(bike: &Bike, (slot, dimension): (usize, usize), cases: Cases) -> Bike {
    let mut bike = bike.clone();
    let origin = Origin::Measured(Place::default());
    bike.parts[slot].as_mut().unwrap().entries[dimension] = Entry {
        measured: Some(Reading { cases, origin }),
        ..Entry::default()
    };
    bike
}

/// A single reading out of what is known.
fn inside(cases: &Cases, pick: &prop::sample::Index) -> Cases {
    match cases {
        Cases::Names(labels) => Cases::Names(vec![labels[pick.index(labels.len())]]),
        Cases::Numbers(spans) => {
            let span = spans[pick.index(spans.len())];
            let low = span.low.max(0);
            let high = span.high.min(low.saturating_add(300_000_000)).max(low);
            let at = i64::try_from(pick.index(13)).unwrap();
            Cases::Numbers(vec![Span::exactly(low + (high - low) / 12 * at)])
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: super::laws::how_many(96), failure_persistence: None, ..ProptestConfig::default() })]

    /// Whatever is learnt inside what was known, stated or inferred, a joint that fits still does and
    /// one that does not still does not.
    #[test]
    fn narrowing_a_reading_never_turns_a_verdict(pair in 0..pairs().len(), what in any::<prop::sample::Index>(), pick in any::<prop::sample::Index>()) {
        let (pair_name, bike, swap) = &pairs()[pair];
        let before = run(bike, swap);
        let known = Known { catalog: catalog(), bike, inferred: before.inferred.clone() };
        let wide = |at: &(usize, usize)| {
            let reading = known.reading(at.0, at.1);
            reading.is_some_and(|reading| match &reading.cases {
                Cases::Names(labels) => labels.len() > 1,
                Cases::Numbers(spans) => spans.len() > 1 || !spans[0].is_exact(),
            })
        };
        let open: Vec<_> = dimensions(bike).into_iter().filter(wide).collect();
        prop_assume!(!open.is_empty());
        let at = open[what.index(open.len())];
        let cases = inside(&known.reading(at.0, at.1).unwrap().cases, &pick);
        let after = run(&set(bike, at, cases.clone()), swap);
        if !after.conflicts.is_empty() || !after.unsound.is_empty() || after.findings.iter().any(|finding| finding.standing && finding.outcome == Verdict::DoesNotFit) {
            return Ok(());
        }
        let now = verdicts(&after);
        for (joint, verdict) in verdicts(&before) {
            let found = now.iter().find(|(other, _)| *other == joint).map(|(_, verdict)| *verdict);
            let turned = match verdict {
                Verdict::Fits | Verdict::FitsWith => found > Some(Verdict::FitsWith),
                Verdict::DoesNotFit => found != Some(Verdict::DoesNotFit),
                Verdict::MeasureFirst => false,
            };
            let family = compat_core::joints::FAMILIES[joint.family].name;
            prop_assert!(!turned, "{pair_name}: {family} from {verdict:?} to {found:?} with {} = {cases:?}", name(at));
        }
    }

    /// Of a dimension that is one thing or another the verdict on the ends is that of both, or to measure.
    #[test]
    fn either_or_is_the_hull_of_its_cases(pair in 0..pairs().len(), what in any::<prop::sample::Index>(), step in 1_i64..40) {
        let (pair_name, bike, swap) = &pairs()[pair];
        let exact = |at: &(usize, usize)| {
            let entry = &bike.part(at.0).unwrap().entries[at.1];
            matches!(entry.deciding().map(|reading| &reading.cases), Some(Cases::Numbers(spans)) if spans.len() == 1 && spans[0].is_exact())
        };
        let stated: Vec<_> = dimensions(bike).into_iter().filter(exact).collect();
        let at = stated[what.index(stated.len())];
        let Some(Cases::Numbers(spans)) = bike.part(at.0).unwrap().entries[at.1].deciding().map(|reading| reading.cases.clone()) else { unreachable!() };
        let quantity = catalog().body(catalog().slots()[at.0].kind).dimensions[at.1].quantity;
        let by = if quantity == Quantity::Count { step } else { step * 50_000 };
        let other = Span::exactly(spans[0].low + by);
        let one = plain(&run(&set(bike, at, Cases::Numbers(spans.clone())), swap));
        let two = plain(&run(&set(bike, at, Cases::Numbers(vec![other])), swap));
        let both = plain(&run(&set(bike, at, Cases::Numbers(vec![spans[0], other])), swap));
        for (joint, verdict) in both {
            let of = |all: &[(JointAt, Verdict)]| all.iter().find(|(other, _)| *other == joint).map(|(_, verdict)| *verdict);
            let (Some(one), Some(two)) = (of(&one), of(&two)) else { continue };
            let family = compat_core::joints::FAMILIES[joint.family].name;
            let hull = one.either(two);
            prop_assert!(verdict == hull || verdict == Verdict::MeasureFirst, "{pair_name}: {family} {one:?} or {two:?} is {verdict:?} with {}", name(at));
        }
    }
}

/// Every length again in centimetres and in inches of a fraction of it: nothing changes.
#[test]
fn units_are_irrelevant() {
    for (pair_name, bike, swap) in pairs() {
        let mut other = bike.clone();
        let mut job = Job::new(catalog());
        let mut lines = String::new();
        for (slot, dimension) in dimensions(bike) {
            let kind = catalog().slots()[slot].kind;
            let entry = &bike.part(slot).unwrap().entries[dimension];
            let length = catalog().body(kind).dimensions[dimension].quantity == Quantity::Length;
            let Some(Cases::Numbers(spans)) = entry.deciding().map(|reading| &reading.cases) else {
                continue;
            };
            let one = spans.len() == 1 && spans[0].is_exact();
            if !length || !one || entry.measured.is_some() {
                continue;
            }
            let (whole, rest) = (spans[0].low / 10_000_000, spans[0].low % 10_000_000);
            lines += &format!("{} = {whole}.{rest:07} cm\n", name((slot, dimension)));
        }
        let mut faults = Faults::default();
        let said = job.settings("units", &lines, &mut faults);
        assert!(faults.is_empty() && said.len() > 20, "{pair_name}");
        job.set(&mut other, None, &said).unwrap();
        assert_eq!(
            verdicts(&run(bike, swap)),
            verdicts(&run(&other, swap)),
            "{pair_name}"
        );
    }
}

fn shown(value: &toml::Value) -> String {
    match value {
        toml::Value::Integer(number) => number.to_string(),
        toml::Value::Float(number) => number.to_string(),
        toml::Value::Boolean(flag) => flag.to_string(),
        toml::Value::Array(items) => {
            let items: Vec<_> = items.iter().map(shown).collect();
            format!("[{}]", items.join(", "))
        }
        toml::Value::Table(rows) => {
            let row = |(key, value)| format!("{key} = {}", shown(value));
            let rows: Vec<_> = rows.iter().map(row).collect();
            format!("{{ {} }}", rows.join(", "))
        }
        other => format!("{:?}", other.as_str().unwrap()),
    }
}

/// The lines of a bike file in whatever order.
#[test]
fn the_order_of_facts_is_irrelevant() {
    for name in ["trail", "road", "city"] {
        let text = String::from_utf8(super::whole::bytes(&format!("{name}.toml"))).unwrap();
        let table: toml::Table = text.parse().unwrap();
        let mut lines: Vec<String> = Vec::new();
        for (slot, part) in &table {
            match part {
                toml::Value::Table(rows) => {
                    lines.extend(
                        rows.iter()
                            .map(|(key, value)| format!("{slot}.{key} = {}", shown(value))),
                    );
                }
                other => lines.push(format!("{slot} = {}", shown(other))),
            }
        }
        let read = |lines: &[String]| {
            let mut job = Job::new(catalog());
            job.bike(name, lines.join("\n").as_bytes()).unwrap()
        };
        let straight = read(&lines);
        lines.reverse();
        let reversed = read(&lines);
        let third = lines.len() / 3;
        lines.rotate_left(third);
        let turned = read(&lines);
        for (pair_name, _, swap) in pairs().iter().filter(|(pair, ..)| pair.starts_with(name)) {
            let first = verdicts(&run(&straight, swap));
            assert_eq!(first, verdicts(&run(&reversed, swap)), "{pair_name}");
            assert_eq!(first, verdicts(&run(&turned, swap)), "{pair_name}");
        }
    }
}

/// What contradicts what the bike told is a finding, whether or not the joint that told it is touched.
#[test]
fn what_contradicts_the_evidence_is_a_finding() {
    let mut job = Job::new(catalog());
    let text = b"[frame]\nseat_tube_bore = 27.2\n[seatpost]\ndiameter = 31.6\n";
    let bike = job.bike("bike.toml", text).unwrap();
    let swap = job
        .swap("swap.toml", b"[seatpost]\ndiameter = 27.2\n", None)
        .unwrap();
    let alone = job.check(&bike, None, Options::default());
    assert_eq!(alone.verdict, Verdict::DoesNotFit);
    let report = job.check(&bike, Some(&swap), Options::default());
    assert_eq!(report.conflicts.len(), 1, "{:?}", report.conflicts);
    assert!(report.conflicts[0].contains("seatpost in seat tube"));
    // A shim nobody wrote down may be in there: the bore as stated and the post go together with one.
    let text = b"[frame]\nseat_tube_bore = 31.6\n[seatpost]\ndiameter = 27.2\n";
    let bike = job.bike("bike.toml", text).unwrap();
    let report = job.check(&bike, Some(&swap), Options::default());
    assert!(report.conflicts.is_empty(), "{:?}", report.conflicts);
}
