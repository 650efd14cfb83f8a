//! Whole bikes: evidence, remedies, and that neither order nor units nor repetition matter.

use std::fs;
use std::path::{Path, PathBuf};

use compat_core::bike::Graph;
use compat_core::catalog::PartReader;
use compat_core::dim::{Entry, Origin, Reading};
use compat_core::solve::{Check, Step, check, infer};
use compat_core::text::Place;
use compat_core::{Bike, Catalog, Job, Options, Stock, Swap, Verdict};

fn examples() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../examples")
}

pub fn bytes(name: &str) -> Vec<u8> {
    fs::read(examples().join(name)).unwrap()
}

fn stock(job: &mut Job<'_>) -> Stock {
    job.stock("bin.csv", bytes("bin.csv")).unwrap()
}

/// Every swap set of the examples with its bike.
pub fn pairs(job: &mut Job<'_>) -> Vec<(String, Bike, Swap)> {
    let stock = stock(job);
    let mut paths: Vec<_> = fs::read_dir(examples().join("swaps"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    paths.sort();
    paths
        .into_iter()
        .map(|path| {
            let name = path.file_stem().unwrap().to_str().unwrap().to_owned();
            let bike = name.split('-').next().unwrap();
            let bike = job.bike(bike, &bytes(&format!("{bike}.toml"))).unwrap();
            let swap = job
                .swap(&name, &fs::read(&path).unwrap(), Some(&stock))
                .unwrap();
            (name, bike, swap)
        })
        .collect()
}

fn verdicts(check: &Check) -> Vec<(usize, usize, Verdict)> {
    let all = check.findings.iter().chain(&check.quiet);
    let mut all: Vec<_> = all
        .map(|finding| (finding.at.family, finding.at.joint, finding.outcome))
        .collect();
    all.sort();
    all
}

const BIKE: &str = "[frame]\nseat_tube_length = 450\n[seatpost]\ndiameter = 31.6\n";

fn seat(bike: &str, swap: &str) -> compat_core::report::FindingText {
    let catalog = Catalog::compiled();
    let mut job = Job::new(&catalog);
    let bike = job.bike("b", bike.as_bytes()).unwrap();
    let swap = job.swap("s", swap.as_bytes(), None).unwrap();
    let report = job.check(&bike, Some(&swap), Options::default());
    report
        .findings
        .into_iter()
        .chain(report.quiet)
        .find(|finding| finding.family == "seatpost_fit")
        .unwrap()
}

#[test]
fn what_is_fitted_tells_its_mate_and_the_verdict_says_so() {
    let same = seat(BIKE, "[seatpost]\ndiameter = 31.6\n");
    assert_eq!(same.verdict, "fits");
    assert!(
        same.rests_on[0].contains("seatpost 31.6 mm that is fitted now"),
        "{:?}",
        same.rests_on
    );
    let thinner = seat(BIKE, "[seatpost]\ndiameter = 27.2\n");
    assert_eq!(
        (thinner.plain, thinner.verdict),
        ("does not fit", "fits with")
    );
    assert!(!thinner.rests_on.is_empty());
}

#[test]
fn a_complaint_withdraws_what_a_part_tells() {
    let bike = BIKE.replace(
        "diameter = 31.6\n",
        "diameter = 31.6\ncomplaint = \"slips\"\n",
    );
    let found = seat(&bike, "[seatpost]\ndiameter = 31.6\n");
    assert_eq!(found.verdict, "measure first");
    assert!(found.rests_on.is_empty());
    assert_eq!(found.measure[0].dimension, "frame.seat_tube_bore");
}

#[test]
fn a_complaint_about_the_new_part_is_looked_into_first() {
    let found = seat(
        "[frame]\nseat_tube_bore = 31.6\n",
        "[seatpost]\ndiameter = 31.6\ncomplaint = \"creaks\"\n",
    );
    assert_eq!(found.verdict, "measure first");
}

/// Takes away each dimension the inferences of the examples rest on, one at a time.
#[test]
fn without_its_evidence_an_inference_is_gone() {
    let catalog = Catalog::compiled();
    let mut job = Job::new(&catalog);
    let mut tried = 0;
    for bike in ["trail", "road", "city"] {
        let bike = job.bike(bike, &bytes(&format!("{bike}.toml"))).unwrap();
        let graph = Graph::of(&catalog, &bike);
        let told = infer(&catalog, &bike, &graph, false).inferences;
        for inference in &told {
            for (slot, dimension) in &inference.from {
                let mut less = bike.clone();
                let part = less.parts[*slot].as_mut().unwrap();
                if part.entries[*dimension].is_unknown() {
                    continue;
                }
                part.entries[*dimension] = Entry::default();
                let now = infer(&catalog, &less, &Graph::of(&catalog, &less), false).inferences;
                // What the rest of the bike tells of it as well is still evidence.
                let mut told = now.iter();
                if told.any(|other| (other.slot, other.dimension) == (*slot, *dimension)) {
                    continue;
                }
                let same = now.iter().any(|other| {
                    (other.slot, other.dimension, other.joint)
                        == (inference.slot, inference.dimension, inference.joint)
                        && other.cases == inference.cases
                        && other.from == inference.from
                });
                assert!(!same, "{inference:?} stands without {slot}.{dimension}");
                tried += 1;
            }
        }
    }
    assert!(tried >= 8, "only {tried} were tried");
}

/// Nothing is inferred of a bike of which nothing is known.
#[test]
fn nothing_comes_of_nothing() {
    let catalog = Catalog::compiled();
    let bike = Bike::unknown(&catalog);
    let told = infer(&catalog, &bike, &Graph::of(&catalog, &bike), false);
    assert!(told.inferences.is_empty() && told.known.inferred.is_empty());
}

/// A new part of which nothing is known fits nowhere that anything is judged.
#[test]
fn a_part_of_which_nothing_is_known_is_never_a_fit() {
    let catalog = Catalog::compiled();
    let mut job = Job::new(&catalog);
    for bike in ["trail", "road", "city"] {
        let bike = job.bike(bike, &bytes(&format!("{bike}.toml"))).unwrap();
        for (slot, definition) in catalog.slots().iter().enumerate() {
            if definition.no_part || slot == catalog.slot_named("frame").unwrap() {
                continue;
            }
            // A lever nobody described harms nothing where the post has nothing to pull.
            if definition.name == "dropper_remote" {
                continue;
            }
            let part = PartReader::new(&catalog, definition.kind, Place::default()).part;
            let swap = Swap {
                parts: vec![(slot, part)],
                ..Swap::default()
            };
            let found = check(&catalog, &bike, Some(&swap), Options::default());
            assert!(
                found.verdict >= Verdict::MeasureFirst,
                "{} on {}: {:?}",
                definition.name,
                bike.title,
                verdicts(&found)
            );
        }
    }
}

/// Every change offered is made, and the whole bike is checked again: the joint is mended.
#[test]
fn every_remedy_mends_its_joint_and_adaptors_are_parts() {
    let catalog = Catalog::compiled();
    let mut job = Job::new(&catalog);
    let mut changes = 0;
    for (name, bike, swap) in pairs(&mut job) {
        let found = check(&catalog, &bike, Some(&swap), Options::default());
        for finding in &found.findings {
            for change in &finding.remedies.changes {
                let mut after = found.bike.clone();
                let mut part = after.parts[change.slot].take().unwrap();
                for (dimension, cases) in &change.to {
                    let reading = Reading {
                        cases: cases.clone(),
                        origin: Origin::Stated(Place::default()),
                    };
                    part.entries[*dimension] = Entry {
                        stated: Some(reading),
                        ..Entry::default()
                    };
                }
                part.complaints.clear();
                let again = Swap {
                    parts: swap
                        .parts
                        .iter()
                        .filter(|(slot, _)| *slot != change.slot)
                        .cloned()
                        .chain([(change.slot, part)])
                        .collect(),
                    ..swap.clone()
                };
                let again = check(&catalog, &bike, Some(&again), Options::default());
                let mended = again
                    .findings
                    .iter()
                    .chain(&again.quiet)
                    .find(|other| other.at == finding.at)
                    .unwrap();
                assert!(
                    mended.plain <= Verdict::FitsWith,
                    "{name}: {change:?} leaves {:?}",
                    mended.plain
                );
                changes += 1;
            }
            for insert in &finding.remedies.inserts {
                assert!(
                    !insert.need.what.is_empty() && insert.part.name.is_some(),
                    "{name}"
                );
            }
        }
    }
    assert!(changes >= 6, "only {changes} remedies");
}

/// Names each thing that makes it fit.
#[test]
fn what_fits_with_something_names_it() {
    let catalog = Catalog::compiled();
    let mut job = Job::new(&catalog);
    for (name, bike, swap) in pairs(&mut job) {
        let report = job.check(&bike, Some(&swap), Options::default());
        for finding in report
            .findings
            .iter()
            .filter(|finding| finding.verdict == "fits with")
        {
            assert!(
                !finding.needs.is_empty() || !finding.adaptors.is_empty(),
                "{name}: {}",
                finding.joint
            );
        }
        for finding in report
            .findings
            .iter()
            .filter(|finding| finding.verdict == "measure first")
        {
            assert!(
                !finding.headline.is_empty() && !finding.headline.contains('{'),
                "{name}: {finding:?}"
            );
            let complained = finding.standing;
            assert!(
                complained || !finding.measure.is_empty() || !finding.advice.is_empty(),
                "{name}: {}",
                finding.headline
            );
        }
        for finding in report
            .findings
            .iter()
            .filter(|finding| finding.verdict == "does not fit")
        {
            assert!(
                !finding.grounds.is_empty() && !finding.headline.is_empty(),
                "{name}: {finding:?}"
            );
        }
    }
}

#[test]
fn neither_order_nor_repetition_changes_anything() {
    let catalog = Catalog::compiled();
    let mut job = Job::new(&catalog);
    for (name, bike, swap) in pairs(&mut job) {
        let one = check(&catalog, &bike, Some(&swap), Options::default());
        let mut turned = swap.clone();
        turned.parts.reverse();
        let other = check(&catalog, &bike, Some(&turned), Options::default());
        assert_eq!(verdicts(&one), verdicts(&other), "{name}");
    }
    let text = "[frame]\nseat_tube_length = 450\nseat_tube_bore = 31.6\n[saddle]\nheight = 45\n[seatpost]\ndiameter = 31.6\n";
    let turned = "[seatpost]\ndiameter = 31.6\n[saddle]\nheight = 45\n[frame]\nseat_tube_bore = 31.6\nseat_tube_length = 450\n";
    let swap = "[seatpost]\ndiameter = 30.9\nlength = 440\n";
    assert_eq!(seat(text, swap).headline, seat(turned, swap).headline);
}

#[test]
fn units_do_not_matter() {
    for (bore, post) in [
        ("31.6", "30.9"),
        ("31.6 mm", "3.09 cm"),
        ("3.16 cm", "30.9 mm"),
        ("\"31,6 mm\"", "30.9"),
    ] {
        let quoted = |text: &str| format!("\"{}\"", text.trim_matches('"'));
        let bike = format!("[frame]\nseat_tube_bore = {}\n", quoted(bore));
        let found = seat(&bike, &format!("[seatpost]\ndiameter = {}\n", quoted(post)));
        assert_eq!(found.verdict, "fits with");
        assert!(
            found.headline.contains("31.6 mm") && found.headline.contains("30.9 mm"),
            "{}",
            found.headline
        );
    }
    let inch = seat(
        "[frame]\nseat_tube_bore = \"1-1/16 in\"\n",
        "[seatpost]\ndiameter = \"26.9875 mm\"\n",
    );
    assert_eq!(inch.verdict, "fits");
}

#[test]
fn a_measurement_that_agrees_confirms_and_one_that_does_not_decides() {
    let bike = "[frame]\nseat_tube_bore = 27.2\n";
    assert_eq!(
        seat(bike, "[seatpost]\ndiameter = \"27.2, measured 27.18\"\n").verdict,
        "fits"
    );
    let other = seat(bike, "[seatpost]\ndiameter = \"27.2, measured 26.8\"\n");
    assert_eq!(other.verdict, "does not fit");
    let catalog = Catalog::compiled();
    let mut job = Job::new(&catalog);
    let bike = job.bike("b", bike.as_bytes()).unwrap();
    let swap = job
        .swap(
            "s",
            b"[seatpost]\ndiameter = \"27.2, measured 26.8\"\n",
            None,
        )
        .unwrap();
    let report = job.check(&bike, Some(&swap), Options::default());
    assert_eq!(report.disagreements.len(), 1);
    assert!(
        report.disagreements[0].contains("marked 27.2 mm and measures 26.8 mm"),
        "{:?}",
        report.disagreements
    );
}

/// The audit says of a line what a check with that line says.
#[test]
fn audit_and_check_agree() {
    let catalog = Catalog::compiled();
    let mut job = Job::new(&catalog);
    let stock = stock(&mut job);
    for bike in ["trail", "road", "city"] {
        let bike = job.bike(bike, &bytes(&format!("{bike}.toml"))).unwrap();
        let audit = job.audit(&bike, &stock, Options::default());
        assert_eq!(audit.lines.len(), stock.lines.len());
        for line in &audit.lines {
            let part = stock.part_by_id(&line.id).unwrap();
            for place in line.slots.iter() {
                let slot = catalog.slot_named(&place.slot).unwrap();
                let swap = Swap {
                    parts: vec![(slot, part.clone())],
                    ..Swap::default()
                };
                let found = check(&catalog, &bike, Some(&swap), Options::default());
                let new = found
                    .findings
                    .iter()
                    .chain(&found.quiet)
                    .filter(|finding| !finding.standing);
                let worst = new
                    .map(|finding| finding.outcome)
                    .max()
                    .unwrap_or(Verdict::MeasureFirst);
                let worst = match found.unjudged.iter().any(|end| end.vital) {
                    true => worst.and(Verdict::MeasureFirst),
                    false => worst,
                };
                assert_eq!(
                    place.verdict,
                    worst.words(),
                    "{} in {} of {}",
                    line.id,
                    place.slot,
                    bike.title
                );
            }
        }
    }
}

/// Best first, and lines of the same part with the same answer.
#[test]
fn an_audit_is_sorted_and_judges_each_kind_of_part_once() {
    let catalog = Catalog::compiled();
    let mut job = Job::new(&catalog);
    let stock = stock(&mut job);
    assert!(stock.lines.len() >= 60 && stock.makes.len() < stock.lines.len());
    let bike = job.bike("trail", &bytes("trail.toml")).unwrap();
    let audit = job.audit(&bike, &stock, Options::default());
    let rank = |words: &str| {
        Verdict::ALL
            .iter()
            .position(|verdict| verdict.words() == words)
            .unwrap()
    };
    let ranks: Vec<_> = audit
        .lines
        .iter()
        .filter_map(|line| line.slots.first())
        .map(|slot| rank(slot.verdict))
        .collect();
    assert!(ranks.windows(2).all(|pair| pair[0] <= pair[1]), "{ranks:?}");
    for line in &audit.lines {
        assert!(
            line.slots.iter().all(|slot| !slot.reason.is_empty()),
            "{}",
            line.id
        );
    }
}

fn verdict(bike: &str, swap: &str, options: Options) -> Verdict {
    let catalog = Catalog::compiled();
    let mut job = Job::new(&catalog);
    let bike = job.bike("b", bike.as_bytes()).unwrap();
    let swap = job.swap("s", swap.as_bytes(), None).unwrap();
    check(&catalog, &bike, Some(&swap), options).verdict
}

#[test]
fn a_swap_set_without_a_line_is_no_fit() {
    let bike = "handlebar = { clamp_diameter = 31.8 }\nstem = { bar_clamp = 31.8 }\n";
    assert_eq!(verdict(bike, "", Options::default()), Verdict::MeasureFirst);
}

const CLAMPS: &str = "stem = { steerer_clamp = 28.6, bar_clamp = 31.8, clamp_height = 40 }";

/// A bike whose steerer is as long as a stem of 40 mm wants it.
const LONG_ENOUGH: &str = "handlebar = { clamp_diameter = 31.8 }\nheadset = { stack = 30 }\n\
     [frame]\nhead_tube_length = 150\n[fork]\nsteerer = 28.6\ncrown_race_seat = 30\n\
     steerer_length = 217\nsteerer_material = \"steel\"\n";

#[test]
fn what_the_old_part_never_asked_for_does_not_stand() {
    let with = |bike: &str, swap: &str| verdict(bike, swap, Options::default());
    let bike = LONG_ENOUGH;
    // Nobody looked at the top of the steerer, and the old stem says nothing of it.
    assert_eq!(with(bike, CLAMPS), Verdict::MeasureFirst);
    let quill = format!("{bike}steerer_bore = 22.2\n[stem]\nfixing = \"clamp\"\n");
    assert_eq!(
        with(&quill, "stem = { quill = 22.2, bar_clamp = 31.8 }"),
        Verdict::DoesNotFit
    );
    let clamped = format!("{bike}[stem]\nfixing = \"clamp\"\n");
    assert_eq!(with(&clamped, CLAMPS), Verdict::Fits);
}

#[test]
fn what_never_stood_proves_nothing() {
    let bike = |old: &str| {
        format!(
            "{old}\nrear_shifter = {{ speeds = 11, shifts_as = \"j_road_11\" }}\n\
             rear_hub = {{ freehub = \"hg_l\" }}\nrear_derailleur = {{ rated_largest_cog = 34 }}\n"
        )
    };
    let swap = "cassette = { cogs = \"11-32\", speeds = 11, fitting = \"hg_11_road\", cogs_of = \"eleven_road\" }";
    let catalog = Catalog::compiled();
    let indexing = |old: &str| {
        let mut job = Job::new(&catalog);
        let bike = job.bike("b", bike(old).as_bytes()).unwrap();
        let swap = job.swap("s", swap.as_bytes(), None).unwrap();
        let check = check(&catalog, &bike, Some(&swap), Options::default());
        let family = compat_core::joints::family_named("rear_indexing");
        let mut all = check.findings.iter().chain(&check.quiet);
        let indexing = all.find(|finding| Some(finding.at.family) == family);
        indexing.unwrap().outcome
    };
    assert_eq!(indexing(""), Verdict::MeasureFirst);
    // Lever and derailleur stood, and how far the derailleur goes on a click nobody knows.
    assert_eq!(
        indexing("cassette = { speeds = 11 }"),
        Verdict::MeasureFirst
    );
}

#[test]
fn strict_offers_no_adaptor_from_memory() {
    let with = |strict: bool| {
        let catalog = Catalog::compiled();
        let mut job = Job::new(&catalog);
        let bike = "[frame]\nseat_tube_bore = 31.6\n";
        let swap = "seatpost = { diameter = 30.9 }";
        let bike = job.bike("b", bike.as_bytes()).unwrap();
        let swap = job.swap("s", swap.as_bytes(), None).unwrap();
        let check = check(&catalog, &bike, Some(&swap), Options { strict });
        let family = compat_core::joints::family_named("seatpost_fit");
        let mut all = check.findings.iter().chain(&check.quiet);
        let fit = all.find(|finding| Some(finding.at.family) == family);
        fit.unwrap().outcome
    };
    assert_eq!(with(false), Verdict::FitsWith);
    assert_eq!(with(true), Verdict::DoesNotFit);
}

#[test]
fn a_complaint_is_not_mended_by_an_adaptor_before_a_look() {
    let bike = "[stem]\nbar_clamp = 31.8\ncomplaint = \"slips\"\n";
    let with = verdict(
        bike,
        "handlebar = { clamp_diameter = 25.4 }",
        Options::default(),
    );
    assert_eq!(with, Verdict::MeasureFirst);
}

#[test]
fn a_measurement_tells_two_markings_apart() {
    let bike = "[frame]\nseat_tube_bore = \"30.9 or 31.6, measured 31.58\"\n";
    assert_eq!(seat(bike, "seatpost = { diameter = 31.6 }").verdict, "fits");
    let other = seat(bike, "seatpost = { diameter = 30.9 }");
    assert_eq!((other.plain, other.verdict), ("does not fit", "fits with"));
}

/// The one change that is said to settle most is made, and what is said of it counted again.
#[test]
fn the_one_change_settles_what_it_says() {
    let catalog = Catalog::compiled();
    let mut job = Job::new(&catalog);
    let mut tried = 0;
    for (name, bike, swap) in pairs(&mut job) {
        let before = check(&catalog, &bike, Some(&swap), Options::default());
        let failing = |check: &Check| -> Vec<(usize, String)> {
            let all = check
                .findings
                .iter()
                .filter(|finding| finding.outcome == Verdict::DoesNotFit && !finding.standing);
            all.map(|finding| {
                let joint = &catalog.joints(finding.at.family)[finding.at.joint];
                (finding.at.family, joint.title.to_string())
            })
            .collect()
        };
        let fails = failing(&before);
        assert!(fails.len() >= 2 || before.singles.is_empty(), "{name}");
        for single in &before.singles {
            let mut swap = swap.clone();
            match &single.step {
                Step::AsBefore(slot) => swap.parts.retain(|(there, _)| there != slot),
                Step::Another(change) => {
                    let mut part = before.bike.part(change.slot).unwrap().clone();
                    for (dimension, cases) in &change.to {
                        let origin = Origin::Stated(Place::default());
                        part.entries[*dimension] = Entry {
                            stated: Some(Reading {
                                cases: cases.clone(),
                                origin,
                            }),
                            ..Entry::default()
                        };
                    }
                    swap.parts.retain(|(there, _)| *there != change.slot);
                    swap.parts.push((change.slot, part));
                }
            }
            let after = check(&catalog, &bike, Some(&swap), Options::default());
            let left = failing(&after);
            assert!(
                left.iter().all(|joint| fails.contains(joint)),
                "{name}: {left:?}"
            );
            let open = fails.len() - left.len();
            assert!(
                single.settles <= open && single.settles > 0,
                "{name}: {single:?}"
            );
            assert_eq!(single.of, fails.len());
            tried += 1;
        }
    }
    assert!(tried >= 3, "only {tried} were tried");
}
