//! Identifying: laws over every size of the catalogue, and readings against what others publish.

use std::sync::OnceLock;

use compat_core::bike::Taken;
use compat_core::catalog::Catalog;
use compat_core::dim::{Cases, Quantity, Span};
use compat_core::formula::likelihood::{APART, FAR};
use compat_core::solve::{Candidate, Found, Identified, Off, Size, identify, sizes};
use compat_core::text::Place;
use compat_core::{Faults, Job};
use proptest::prelude::*;
use proptest::sample::Index;

fn catalog() -> &'static Catalog {
    static CATALOG: OnceLock<Catalog> = OnceLock::new();
    CATALOG.get_or_init(Catalog::compiled)
}

/// Every kind that has sizes, with them.
fn all() -> &'static [(usize, Vec<Size>)] {
    static ALL: OnceLock<Vec<(usize, Vec<Size>)>> = OnceLock::new();
    ALL.get_or_init(|| {
        let kinds = 0..catalog().kinds().len();
        let known = kinds.map(|kind| (kind, sizes(catalog(), kind)));
        known.filter(|(_, sizes)| !sizes.is_empty()).collect()
    })
}

/// What is read on a part of a size: each of its dimensions, `off` tenths of a standard error from the
/// middle of what it may be, in a part that is just as it is named.
fn read(kind: usize, size: &Size, off: &[i64]) -> Vec<Taken> {
    let mut offs = off.iter().cycle();
    size.fields
        .iter()
        .map(|(number, cases)| {
            let dimension = catalog().bench_dimension(kind, *number).unwrap();
            let error = catalog().tool_error(dimension, None);
            let off = *offs.next().unwrap_or(&0);
            let cases = match cases {
                Cases::Numbers(spans) => {
                    let span = spans[0];
                    let middle = match (span.low, span.high) {
                        (Span::LEAST, high) => high,
                        (low, Span::MOST) => low,
                        (low, high) => low + (high - low) / 2,
                    };
                    Cases::Numbers(vec![Span::exactly(middle + error * off / 10)])
                }
                Cases::Names(names) => Cases::Names(vec![names[0]]),
            };
            taken(kind, *number, cases, error)
        })
        .collect()
}

fn taken(kind: usize, number: usize, cases: Cases, error: i64) -> Taken {
    Taken {
        kind,
        number,
        cases,
        error,
        tool: None,
        place: Place::default(),
    }
}

fn only(found: &Found) -> &Identified {
    assert!(found.idle.is_empty(), "{:?}", found.idle);
    assert_eq!(found.things.len(), 1);
    &found.things[0]
}

fn place<'f>(found: &'f Identified, size: &Size) -> Option<(usize, &'f Candidate)> {
    let mut candidates = found.candidates.iter().enumerate();
    candidates.find(|(_, one)| one.size == *size)
}

#[test]
fn every_size_read_without_error_comes_first_or_level_with_the_first() {
    let mut count = 0;
    for (kind, sizes) in all() {
        for size in sizes {
            let found = identify(catalog(), &read(*kind, size, &[0]), None);
            let found = only(&found);
            let (_, own) = place(found, size).unwrap_or_else(|| panic!("{size:?}"));
            let first = found.candidates[0].share;
            assert!(own.share >= first * (1.0 - 1e-9), "{:?}", size.titles);
            assert!(own.furthest() == 0.0, "{:?}", size.titles);
            count += 1;
        }
    }
    assert!(count > 500, "only {count} sizes");
}

/// Every size of every page is among them: no family is left out.
#[test]
fn every_size_of_every_page_can_be_found() {
    for family in 0..compat_core::joints::FAMILIES.len() {
        for row in &catalog().prose(family).sizes {
            let fact = catalog().fact(row.fact).unwrap();
            let known = all().iter().flat_map(|(_, sizes)| sizes);
            let mut named = known.filter(|size| size.facts.iter().any(|(known, _)| known == fact));
            assert!(named.next().is_some(), "{}", row.title);
        }
    }
}

/// A size of the catalogue, and how far its readings are off, in tenths of a standard error.
fn some() -> impl Strategy<Value = (usize, Size, Vec<i64>)> {
    let off = proptest::collection::vec(-20i64..=20, 1..6);
    (any::<Index>(), any::<Index>(), off).prop_map(|(kind, size, off)| {
        let (kind, sizes) = kind.get(all());
        (*kind, size.get(sizes).clone(), off)
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1_000, failure_persistence: None, ..ProptestConfig::default() })]

    /// A reading within two standard errors keeps its size in the running, and only sizes that lie as
    /// near to what was read stand before it.
    #[test]
    fn a_size_read_with_a_small_error_stays_in_the_running((kind, size, off) in some()) {
        let read = read(kind, &size, &off);
        let found = identify(catalog(), &read, None);
        let found = only(&found);
        let (at, own) = place(found, &size).expect("the size that was read");
        let far = |one: &Candidate| -> f64 {
            one.off.iter().map(|off| match off {
                Off::By(_, sigmas) => sigmas * sigmas,
                Off::Silent => 0.0,
            }).sum()
        };
        for before in &found.candidates[..at] {
            prop_assert!(far(before) <= far(own) + 1e-9, "{:?} before {:?}", before.size.titles, size.titles);
        }
        let total: f64 = found.candidates.iter().map(|one| one.share).sum();
        prop_assert!((total - 1.0).abs() < 1e-9);
        prop_assert!(found.candidates.iter().all(|one| one.furthest() <= FAR));
    }

    #[test]
    fn the_order_of_readings_is_irrelevant((kind, size, off) in some(), turn in 0usize..6) {
        let read = read(kind, &size, &off);
        let mut turned = read.clone();
        turned.rotate_left(turn % read.len());
        turned.reverse();
        let (one, other) = (identify(catalog(), &read, None), identify(catalog(), &turned, None));
        prop_assert_eq!(told(&one), told(&other));
    }

    #[test]
    fn a_smaller_error_adds_no_size((kind, size, off) in some(), less in 1i64..10) {
        let read = read(kind, &size, &off);
        let mut finer = read.clone();
        for taken in &mut finer {
            taken.error = taken.error * less / 10;
        }
        let wide: Vec<_> = names(&identify(catalog(), &read, None));
        for name in names(&identify(catalog(), &finer, None)) {
            prop_assert!(wide.contains(&name), "{name:?}");
        }
    }

    /// Of the two likeliest, each is what comes of it when the part turns out to be that one.
    #[test]
    fn the_next_reading_separates((kind, size, off) in some(), part in any::<Index>()) {
        let mut read = read(kind, &size, &off);
        // Only a part of the readings, so that something is left to ask.
        let keep = part.index(read.len());
        read = vec![read.swap_remove(keep)];
        let found = identify(catalog(), &read, None);
        let found = only(&found);
        let Some(next) = &found.next else { return Ok(()) };
        let dimension = catalog().bench_dimension(kind, next.number).unwrap();
        let error = catalog().tool_error(dimension, None);
        prop_assert!(next.shows.len() > 1);
        let mut separated = false;
        for (cases, who) in &next.shows {
            let mut more: Vec<Taken> = read.iter().filter(|taken| taken.number != next.number).cloned().collect();
            more.push(taken(kind, next.number, middle(cases), error));
            let after = identify(catalog(), &more, None);
            let after = after.things.first().unwrap();
            // Sizes that said nothing of the first reading may join; among those that were there, what the
            // reading shows is as likely as before at the least.
            let kept: f64 = found.candidates.iter()
                .filter_map(|before| place(after, &before.size))
                .map(|(_, own)| own.share)
                .sum();
            for index in who {
                let before = &found.candidates[*index];
                let (_, own) = place(after, &before.size).expect("what was shown stays");
                prop_assert!(own.share / kept >= before.share * 0.999, "{:?}", before.size.titles);
            }
            let gone = found.candidates.iter().any(|before| place(after, &before.size).is_none_or(|(_, own)| {
                own.share < before.share * 0.5
            }));
            separated |= gone;
        }
        prop_assert!(separated, "{}", dimension.name);
        prop_assert!(APART >= FAR);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1_000, failure_persistence: None, ..ProptestConfig::default() })]

    /// Whatever is typed is read or refused, and never ends the program.
    #[test]
    fn anything_may_be_typed(path in ".{0,24}", value in ".{0,24}", known in any::<bool>()) {
        let mut job = Job::new(catalog());
        let mut faults = Faults::default();
        let text = if known { format!("bearing.bore={value}") } else { format!("{path}={value}") };
        let taken = job.taken(None, &[("reading".to_owned(), text)], None, &mut faults);
        let report = job.identify(&taken, None, &mut faults);
        prop_assert!(taken.len() <= 8);
        prop_assert!(report.things.iter().all(|thing| !thing.readings.is_empty()));
    }
}

fn middle(cases: &Cases) -> Cases {
    match cases {
        Cases::Numbers(spans) => Cases::Numbers(vec![Span::exactly(
            spans[0].low + (spans[0].high - spans[0].low) / 2,
        )]),
        Cases::Names(names) => Cases::Names(vec![names[0]]),
    }
}

fn told(found: &Found) -> Vec<String> {
    let things = found.things.iter().flat_map(|thing| {
        let all = thing.candidates.iter();
        all.map(|one| format!("{:?} {:.9}", one.size.titles, one.share))
    });
    things.collect()
}

fn names(found: &Found) -> Vec<Vec<String>> {
    let things = found.things.iter().flat_map(|thing| &thing.candidates);
    things.map(|one| one.size.titles.clone()).collect()
}

/// What readings come to as they are written: names with their shares in thousandths.
fn say(readings: &[&str]) -> Vec<(String, u32)> {
    say_with(readings, None)
}

fn say_with(readings: &[&str], error: Option<i64>) -> Vec<(String, u32)> {
    let mut job = Job::new(catalog());
    let mut faults = Faults::default();
    let texts: Vec<(String, String)> = readings
        .iter()
        .map(|text| ("reading".to_owned(), (*text).to_owned()))
        .collect();
    let taken = job.taken(None, &texts, error, &mut faults);
    let found = job.identify(&taken, error, &mut faults);
    assert!(faults.is_empty(), "{faults:?}");
    let all = found.things.into_iter().flat_map(|thing| thing.candidates);
    all.map(|one| (one.names.join(", "), one.thousandths))
        .collect()
}

fn first(readings: &[&str]) -> String {
    let said = say(readings);
    let (name, share) = said.first().unwrap_or_else(|| panic!("{readings:?}"));
    assert!(*share > 850, "{readings:?}: {said:?}");
    name.clone()
}

#[test]
fn units_are_irrelevant() {
    let ways = ["31.8", "31.8 mm", "3.18 cm", "31,8", "1.251968503937 in"];
    let said = say(&["handlebar.clamp_diameter=31.8"]);
    for way in ways.into_iter().take(4) {
        assert_eq!(
            say(&[&format!("handlebar.clamp_diameter={way}")]),
            said,
            "{way}"
        );
    }
    // Threads to the inch and their pitch: 25.4 / 24.
    let inch = say(&["thread.outside=34.7", "thread.pitch=24 tpi"]);
    assert_eq!(inch, say(&["thread.outside=34.7", "thread.pitch=1.058333"]));
}

/// Boundary dimensions of ISO 15 as makers' tables print them: bore, outside, width (those of DIN 625-1
/// in BOLTS, Open Library of Technical Specifications, bearings.blt; `x-BRG1` among the sources).
#[test]
fn bearings_are_those_of_the_published_boundary_dimensions() {
    let table = [
        ("608", 8, 22, 7),
        ("6000", 10, 26, 8),
        ("6001", 12, 28, 8),
        ("6200", 10, 30, 9),
        ("6802", 15, 24, 5),
        ("6902", 15, 28, 7),
        ("6903", 17, 30, 7),
        ("6803", 17, 26, 5),
        ("6806", 30, 42, 7),
    ];
    for (number, bore, outside, width) in table {
        let readings = [
            format!("bearing.bore={bore}.02"),
            format!("bearing.outside={}.97", outside - 1),
            format!("bearing.width={width}"),
        ];
        let readings: Vec<&str> = readings.iter().map(String::as_str).collect();
        let name = first(&readings);
        assert!(name.contains(number), "{number}: {name}");
    }
}

/// Distances between neighbouring bolts as printed beside their circles at sheldonbrown.com/numbers.html
/// (`d-SBN`) and modernbike.com/help-117 (`d-MOD`).
#[test]
fn bolt_circles_are_those_of_the_published_chords() {
    let table = [
        (5, "88.8", 151),
        (5, "84.6", 144),
        (5, "79.5", 135),
        (5, "76.4", 130),
        (5, "75.2", 128),
        (5, "71.7", 122),
        (5, "64.7", 110),
        (5, "55.4", 94),
        (5, "43.5", 74),
        (5, "34.3", 58),
        (4, "73.6", 104),
        (4, "48.1", 68),
        (4, "45.3", 64),
        (4, "84.9", 120),
        (4, "62.2", 88),
        (3, "74.5", 86),
    ];
    for (arms, gap, circle) in table {
        for part in ["crankset", "chainrings"] {
            let even = format!("{part}.ring_mount=even");
            let arms_read = format!("{part}.arms={arms}");
            let gap_read = format!("{part}.bolt_gap={gap}");
            assert_eq!(
                first(&[&arms_read, &gap_read, &even]),
                format!("{arms} bolts on {circle}")
            );
        }
    }
}

/// Limits of the outside of bolts of tolerance 6g, as the chart of a machine shop prints them (`v-APPO`):
/// a bolt at either limit is still told by its pitch.
#[test]
fn bolts_at_the_limits_of_their_tolerance_are_known() {
    let table = [
        ("M5 x 0.8", "0.8", ["4.976", "4.826"]),
        ("M6 x 1", "1", ["5.974", "5.794"]),
        ("M8 x 1.25", "1.25", ["7.972", "7.760"]),
        ("M8 x 1,", "1", ["7.974", "7.794"]),
        ("M10 x 1,", "1", ["9.974", "9.794"]),
        ("M10 x 1.5", "1.5", ["9.968", "9.732"]),
    ];
    for (name, pitch, limits) in table {
        for outside in limits {
            let outside = format!("thread.outside={outside}");
            let pitch = format!("thread.pitch={pitch}");
            let found = first(&[&outside, &pitch]);
            assert!(found.starts_with(name), "{name}: {found}");
        }
    }
}

/// Bores of head tubes and outsides of cups as a headset maker prints them under the codes of S.H.I.S.
/// (`s-CCG`: EC34 34.10, bore 33.95 to 34.00; EC29 bore 29.85 to 29.90; EC30 bore 30.05 to 30.10).
#[test]
fn head_tubes_go_by_the_printed_bores() {
    for (bore, code) in [("29.87", "EC29"), ("30.08", "EC30"), ("33.98", "EC34")] {
        let said = say(&[&format!("frame.head_tube_upper_bore={bore}")]);
        assert!(said[0].0.contains(code), "{bore}: {said:?}");
        assert!(said[0].1 > 600, "{bore}: {said:?}");
    }
    assert!(first(&["headset.upper_diameter=34.12"]).contains("EC34"));
}

/// ISO 5775 goes by the bead seat: 622 is 1954 mm round, 584 is 1835, 559 is 1756 (pi times the diameter).
#[test]
fn rims_are_told_by_a_tape_in_the_bead_seat() {
    for (round, seat) in [
        ("1954", "622"),
        ("1835", "584"),
        ("1756", "559"),
        ("1275", "406"),
    ] {
        assert_eq!(first(&[&format!("rim.bead_circumference={round}")]), seat);
    }
    assert_eq!(first(&["tyre.size=37-622"]), "622");
}

/// Bores of threaded shells and pressed ones as printed (`d-BRI`, `d-PAR`).
#[test]
fn shells_are_told_by_bore_width_and_pitch() {
    let english = [
        "frame.shell_bore=33.8",
        "frame.shell_width=68",
        "frame.shell_pitch=24 tpi",
    ];
    assert!(first(&english).starts_with("BSA thread, 68 mm"));
    let italian = ["frame.shell_bore=34.7", "frame.shell_width=70"];
    assert!(first(&italian).starts_with("Italian thread"));
    assert!(first(&["frame.shell_bore=41.96", "frame.shell_width=68"]).starts_with("BB30"));
}

/// What a reading cannot tell must come out as level, with the reading that can.
#[test]
fn what_looks_alike_is_never_told_with_confidence() {
    let alike = [
        // Two posts two tenths apart, and a calliper good to a tenth.
        (vec!["seatpost.diameter=27.1"], Some(100_000)),
        // A hub taped between 130 and 135.
        (vec!["hub.spacing=132.5 by tape"], None),
        // Headset bearings of one size and two angles.
        (
            vec![
                "bearing.bore=30.15",
                "bearing.outside=41",
                "bearing.width=6.5",
            ],
            None,
        ),
        // Six sizes have a bore of 15.
        (vec!["bearing.bore=15"], None),
        // A cup of 44 that goes in whole, and one that stands outside.
        (vec!["headset.upper_diameter=44"], None),
        // English and French shells measure the same across the thread.
        (vec!["frame.shell_bore=33.7", "frame.shell_width=68"], None),
        // Five bolts on 110, and the like with one of them further out.
        (vec!["crankset.arms=5", "crankset.bolt_gap=64.7"], None),
        // A bar between the sizes of two standards, where a third was made for both.
        (vec!["handlebar.clamp_diameter=25.9"], None),
        // 110 mm is a hub of a track bike, and two of forks.
        (vec!["hub.spacing=110"], None),
        // A T47 shell and a pressed one.
        (vec!["frame.shell_bore=46", "frame.shell_width=68"], None),
    ];
    for (readings, error) in alike {
        let said = say_with(&readings, error);
        assert!(said.len() > 1, "{readings:?}: {said:?}");
        assert!(said[0].1 <= 700, "{readings:?}: {said:?}");
        let mut job = Job::new(catalog());
        let mut faults = Faults::default();
        let texts = readings
            .iter()
            .map(|text| ("reading".to_owned(), (*text).to_owned()));
        let texts: Vec<(String, String)> = texts.collect();
        let taken = job.taken(None, &texts, error, &mut faults);
        let found = job.identify(&taken, error, &mut faults);
        let thing = &found.things[0];
        assert!(
            thing.next.is_some() || thing.else_do.is_some(),
            "{readings:?}"
        );
    }
}

/// Over-locknut distances as the crib sheet at sheldonbrown.com/cribsheet-spacing.html lists them (`v-CRIB`):
/// a hub that was measured with a calliper is never taken for one of another spacing.
#[test]
fn hubs_go_by_the_listed_distances() {
    for wide in [74, 100, 110, 114, 120, 126, 130, 135, 140, 145, 150, 160] {
        let said = say(&[&format!("hub.spacing={wide}.1")]);
        assert!(!said.is_empty(), "{wide}");
        assert!(said[0].0.contains(&wide.to_string()), "{wide}: {said:?}");
        // 141 is listed elsewhere, and a millimetre from 140.
        let others = said
            .iter()
            .filter(|(name, _)| !name.contains(&wide.to_string()));
        assert!(
            others.count() <= usize::from(wide == 140),
            "{wide}: {said:?}"
        );
    }
}

#[test]
fn what_is_no_size_is_not_named() {
    for readings in [
        vec!["bearing.bore=15", "bearing.outside=29.5", "bearing.width=7"],
        vec!["crankset.arms=4", "crankset.bolt_gap=76.4"],
        vec!["seatpost.diameter=36.2"],
    ] {
        assert!(
            say(&readings).is_empty(),
            "{readings:?}: {:?}",
            say(&readings)
        );
    }
}

#[test]
fn every_fault_of_what_was_read_is_told() {
    let mut job = Job::new(catalog());
    let mut faults = Faults::default();
    let lines = "bearing.bor=15\nbearin.bore=15\nbearing.bore=15 by micromter\nbearing.width=4 m\nbearing.width=?\nbore=3\nseatpost";
    let texts = [("lines".to_owned(), lines.to_owned())];
    job.taken(None, &texts, None, &mut faults);
    let near: Vec<_> = faults
        .0
        .iter()
        .filter_map(|fault| fault.nearest.clone())
        .collect();
    assert_eq!(faults.0.len(), 6, "{faults:?}");
    for wanted in ["bore", "bearing", "micrometer", "bearing.bore"] {
        assert!(
            near.iter().any(|known| known == wanted),
            "{wanted}: {near:?}"
        );
    }
}

#[test]
fn every_kind_with_a_size_reads_it_with_a_known_tool() {
    for (kind, sizes) in all() {
        let numbers = sizes.iter().flat_map(Size::numbers);
        for number in numbers.collect::<std::collections::BTreeSet<_>>() {
            let dimension = catalog().bench_dimension(*kind, number).unwrap();
            if matches!(dimension.quantity, Quantity::Length | Quantity::Angle) {
                let error = catalog().tool_error(dimension, None);
                assert!(error > 0, "{}: {}", dimension.name, dimension.tool);
            }
        }
    }
}
