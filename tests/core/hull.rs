//! Adaptors where something is one thing or another: the verdict with them is the hull of its cases'.

use std::sync::OnceLock;

use super::laws::{Known, known};
use compat_core::bike::JointAt;
use compat_core::catalog::PartReader;
use compat_core::dim::{Cases, Entry, Origin, Reading};
use compat_core::joints::FAMILIES;
use compat_core::solve::judged;
use compat_core::text::Place;
use compat_core::verdict::Verdict;
use compat_core::{Bike, Catalog, Job, Options, Swap};
use proptest::prelude::*;

fn catalog() -> &'static Catalog {
    static CATALOG: OnceLock<Catalog> = OnceLock::new();
    CATALOG.get_or_init(Catalog::compiled)
}

/// What a joint of nothing but new parts comes to, adaptors and all.
fn outcome(at: JointAt, known: &Known) -> Option<Verdict> {
    let (catalog, family) = (catalog(), &FAMILIES[at.family]);
    let joint = &catalog.joints(at.family)[at.joint];
    let dimensions = joint.dimensions(catalog, family);
    let slots = catalog.slots();
    let bike = Bike {
        title: String::new(),
        parts: vec![None; slots.len()],
        looks: Vec::new(),
    };
    let mut swap = Swap::default();
    for (number, end) in joint.ends.iter().enumerate() {
        let Some(end) = end else { continue };
        let mine = |(field, cases): &&(_, Option<Cases>)| {
            let field: &compat_core::verdict::Field = field;
            usize::from(field.end) == number && cases.is_some()
        };
        let optional = family.ends[number].optional;
        if optional && !known.iter().any(|one| mine(&one)) {
            continue;
        }
        let part = swap.parts.iter().position(|(slot, _)| *slot == end.slot);
        let part = part.unwrap_or_else(|| {
            let new = PartReader::new(catalog, slots[end.slot].kind, Place::default()).part;
            swap.parts.push((end.slot, new));
            swap.parts.len() - 1
        });
        for (field, cases) in known.iter().filter(mine) {
            let dimension = dimensions[number][usize::from(field.field)];
            let origin = Origin::Stated(Place::default());
            let reading = cases.clone().map(|cases| Reading { cases, origin });
            swap.parts[part].1.entries[dimension?] = Entry {
                stated: reading,
                ..Entry::default()
            };
        }
    }
    let check = judged(catalog, &bike, Some(&swap), Options::default());
    let all = check.findings.iter().chain(&check.quiet);
    let mut here = all.filter(|finding| finding.at == at);
    here.next().map(|finding| finding.outcome)
}

fn with_adaptors() -> BoxedStrategy<(JointAt, Known, Known, prop::sample::Index)> {
    let some = |at: &usize| !catalog().book(*at).adaptors.is_empty();
    let families: Vec<usize> = (0..FAMILIES.len()).filter(some).collect();
    assert!(families.len() > 9, "few families have adaptors");
    let of = |family: usize| {
        let joints = 0..catalog().joints(family).len();
        let at = joints.prop_map(move |joint| JointAt { family, joint });
        let known = || known(family).prop_map(|(_, known)| known);
        (at, known(), known(), any::<prop::sample::Index>())
    };
    proptest::sample::select(families).prop_flat_map(of).boxed()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: super::laws::how_many(256), failure_persistence: None, ..ProptestConfig::default() })]

    /// Learning which of two it is never turns a refusal into a fit nor a fit into a refusal, and where
    /// both come to one verdict, that is the verdict: but for adaptors that differ, and must be told apart.
    #[test]
    fn either_or_with_adaptors_is_the_hull_of_its_cases((at, one, other, pick) in with_adaptors()) {
        let single = |known: &Known, index: usize| {
            let cases = known[index].1.clone();
            cases.filter(|cases| cases.len() == 1)
        };
        let both: Vec<usize> = (0..one.len())
            .filter(|index| single(&one, *index).is_some() && single(&other, *index).is_some())
            .filter(|index| one[*index].1 != other[*index].1)
            .collect();
        prop_assume!(!both.is_empty());
        let index = both[pick.index(both.len())];
        let (mut second, mut whole) = (one.clone(), one.clone());
        second[index].1.clone_from(&other[index].1);
        if let (Some(cases), Some(more)) = (&mut whole[index].1, &other[index].1) {
            cases.join(more);
            prop_assume!(cases.len() == 2);
        }
        let found = [outcome(at, &whole), outcome(at, &one), outcome(at, &second)];
        let [Some(whole), Some(one), Some(second)] = found else {
            return Ok(());
        };
        let hull = one.either(second);
        let apart = whole == Verdict::MeasureFirst && hull == Verdict::FitsWith;
        prop_assert!(whole == hull || apart, "{}: {whole:?} of {one:?} and {second:?}", FAMILIES[at.family].name);
    }
}

fn verdict(bike: &str, swap: &str, family: &str) -> (String, Vec<String>) {
    let mut job = Job::new(catalog());
    let bike = job.bike("bike.toml", bike.as_bytes()).expect("a bike");
    let swap = job
        .swap("swap.toml", swap.as_bytes(), None)
        .expect("a swap");
    let report = job.check(&bike, Some(&swap), Options::default());
    let mut all = report.findings.into_iter();
    let found = all.find(|found| found.family == family).unwrap();
    (found.verdict.to_owned(), found.advice)
}

/// An adaptor that mends the one case only is told with the case, and which it is is to be measured.
#[test]
fn an_adaptor_for_one_of_two_cases_waits_for_which_it_is() {
    for (bike, swap, family) in [
        (
            "[frame]\nshell = 'BB30'",
            "[bottom_bracket]\nshell = 'BSA 68'",
            "bottom_bracket_in_shell",
        ),
        (
            "[frame]\nshell = 'BB30'",
            "[bottom_bracket]\nshell = 'BSA'",
            "bottom_bracket_in_shell",
        ),
        (
            "[frame]\nseat_tube_bore = '27.2 or 26.0'",
            "[seatpost]\ndiameter = 25.4",
            "seatpost_fit",
        ),
        (
            "[frame]\nfront_derailleur_mount = '28.6 or 34.9'",
            "[front_derailleur]\nmount = '31.8'",
            "front_derailleur_mounting",
        ),
        (
            "[stem]\nbar_clamp = '26.0 or 26.4'",
            "[handlebar]\nclamp_diameter = 25.4",
            "bar_in_stem",
        ),
        (
            "[bottom_bracket]\nspindle = '24 or DUB'",
            "[crankset]\nspindle = 'GXP'",
            "spindle_in_bottom_bracket",
        ),
        (
            "[rear_brake]\npull = 'long pull or hydraulic'",
            "[rear_brake_lever]\npull = 'short pull'",
            "brake_control",
        ),
    ] {
        let (found, advice) = verdict(bike, swap, family);
        assert_eq!(found, "measure first", "{bike}");
        let told =
            |line: &String| line.starts_with("fits with ") && line.contains(" in between if ");
        assert!(advice.iter().any(told), "{bike}: {advice:?}");
    }
    let never = (
        "[stem]\nbar_clamp = '26.4 or 31.8'",
        "[handlebar]\nclamp_diameter = 22.2",
    );
    assert_eq!(verdict(never.0, never.1, "bar_in_stem").0, "does not fit");
}
