//! A part of the same make, model and size as the one that was fitted: what holds for it, and what is asked
//! of it all the same.

use compat_core::bike::{Bike, Swap};
use compat_core::catalog::{Example, PartReader};
use compat_core::joints::FAMILIES;
use compat_core::solve::check;
use compat_core::text::Place;
use compat_core::verdict::Verdict;
use compat_core::{Catalog, Job, Options};

use super::plan::{bike, catalog, planned, stock, wishes};

/// The bike of an example: the parts of the first joint of its family, with what it states.
fn bike_of(catalog: &Catalog, family: usize, example: &Example) -> Option<Bike> {
    let mut bike = Bike::unknown(catalog);
    let joints = catalog.joints(family).iter();
    let mut whole =
        joints.filter(|joint| example.ends.iter().all(|end| joint.ends[*end].is_some()));
    let joint = whole.next()?;
    for (number, end) in joint.ends.iter().enumerate() {
        let Some(end) = end.as_ref().filter(|_| example.ends.contains(&number)) else {
            continue;
        };
        let kind = catalog.slots()[end.slot].kind;
        let fitted = bike.parts[end.slot].take();
        let mut part =
            fitted.unwrap_or_else(|| PartReader::new(catalog, kind, Place::default()).part);
        let presented = catalog.body(kind).end(&end.end)?;
        for (field, reading) in &example.fields {
            if usize::from(field.end) == number {
                let name = FAMILIES[family].field(*field)?.name;
                let (_, dimension) = presented.fields.iter().find(|(known, _)| known == name)?;
                part.entries[*dimension].stated = Some(reading.clone());
            }
        }
        bike.parts[end.slot] = Some(part);
    }
    Some(bike)
}

/// The verdict of every joint, with a part put in place of its like.
fn verdicts(
    catalog: &Catalog,
    bike: &Bike,
    slot: usize,
    same: bool,
) -> Vec<(usize, usize, bool, Verdict)> {
    let mut part = bike.parts[slot].clone().unwrap();
    part.same_as_fitted = same;
    let swap = Swap {
        parts: vec![(slot, part)],
        ..Swap::default()
    };
    let found = check(catalog, bike, Some(&swap), Options::default());
    let all = found.findings.iter().chain(&found.quiet);
    let mut all: Vec<_> = all
        .filter(|finding| !finding.standing)
        .map(|finding| {
            let joint = &catalog.joints(finding.at.family)[finding.at.joint];
            let wears = joint.ends.iter().flatten().any(|end| {
                let kind = catalog.slots()[end.slot].kind;
                end.slot == slot
                    && catalog
                        .body(kind)
                        .end(&end.end)
                        .is_some_and(|end| end.wears)
            });
            (finding.at.family, finding.at.joint, wears, finding.outcome)
        })
        .collect();
    all.sort_unstable_by_key(|(family, joint, ..)| (*family, *joint));
    all
}

#[test]
fn the_same_part_again_settles_questions_and_nothing_else() {
    let catalog = Catalog::compiled();
    let (mut settled, mut refused, mut worn) = (0, 0, 0);
    for (family, _) in FAMILIES.iter().enumerate() {
        for example in &catalog.prose(family).examples {
            let Some(bike) = bike_of(&catalog, family, example) else {
                continue;
            };
            for (slot, place) in catalog.slots().iter().enumerate() {
                if place.no_part
                    || !bike.parts[slot]
                        .as_ref()
                        .is_some_and(|part| part.entries.iter().any(|entry| !entry.is_unknown()))
                {
                    continue;
                }
                let plain = verdicts(&catalog, &bike, slot, false);
                let same = verdicts(&catalog, &bike, slot, true);
                assert_eq!(plain.len(), same.len(), "{}", example.title);
                for (plain, same) in plain.iter().zip(&same) {
                    let at = (FAMILIES[plain.0].name, &example.title, &place.name);
                    assert_eq!((plain.0, plain.1), (same.0, same.1), "{at:?}");
                    if plain.3 == Verdict::MeasureFirst && !plain.2 {
                        assert_ne!(same.3, Verdict::DoesNotFit, "{at:?}");
                        settled += usize::from(same.3 < Verdict::MeasureFirst);
                    } else {
                        assert_eq!(plain.3, same.3, "{at:?}");
                        refused += usize::from(plain.3 == Verdict::DoesNotFit);
                        worn += usize::from(plain.3 == Verdict::MeasureFirst);
                    }
                }
            }
        }
    }
    assert!(
        settled > 0 && refused > 0 && worn > 0,
        "{settled} {refused} {worn}"
    );
}

/// The verdict of a joint by its family's name, and the notes of the whole.
fn told(bike: &str, swap: &str, family: &str) -> (Verdict, Vec<String>, Verdict) {
    let catalog = Catalog::compiled();
    let mut job = Job::new(&catalog);
    let bike = job.bike("bike.toml", bike.as_bytes()).unwrap();
    let swap = job.swap("swap.toml", swap.as_bytes(), None).unwrap();
    let found = check(&catalog, &bike, Some(&swap), Options::default());
    let report = job.check(&bike, Some(&swap), Options::default());
    let mut all = found.findings.iter().chain(&found.quiet);
    let joint = all
        .find(|finding| FAMILIES[finding.at.family].name == family)
        .unwrap();
    (joint.outcome, report.disagreements, found.verdict)
}

const SAME_TYRE: &str = "[front_tyre]\nsame_as_fitted = true\n";
const TYRE: &str = "[front_rim]\nsize = \"622x19\"\nflange = \"hooked\"\n[front_tyre]\nsize = \"38-622\"\nmounted = 37\n";

#[test]
fn what_is_marked_on_the_fitted_part_holds_and_a_new_tyre_still_wants_room() {
    assert_eq!(told(TYRE, SAME_TYRE, "tyre_on_rim").0, Verdict::Fits);
    assert_eq!(
        told(TYRE, SAME_TYRE, "tyre_clearance").0,
        Verdict::MeasureFirst
    );
    // The width of the worn one is not taken for that of the new one.
    let room = "[fork]\ntyre_room = 44\ntyre_reach = 400\nwheel = 622\nclass = \"racing\"\n";
    let bike = format!("{TYRE}{room}");
    let again = "[front_tyre]\nsize = \"38-622\"\nmounted = 34\n";
    assert_eq!(
        told(
            &bike.replace("mounted = 37", "mounted = 34"),
            SAME_TYRE,
            "tyre_clearance"
        )
        .0,
        Verdict::MeasureFirst
    );
    assert_eq!(told(&bike, again, "tyre_clearance").0, Verdict::Fits);
}

#[test]
fn what_would_be_unsafe_is_asked_of_the_same_tyre_too() {
    let nobody_looked = TYRE.replace("flange = \"hooked\"\n", "");
    assert_eq!(
        told(&nobody_looked, SAME_TYRE, "tyre_on_rim").0,
        Verdict::MeasureFirst
    );
}

const PADS: &str = "[rear_brake]\nmount = \"post\"\n[rear_pads]\nfixing = \"disc\"\n";

#[test]
fn pads_of_the_brake_that_were_in_it_have_its_shape() {
    let same = "[rear_pads]\nsame_as_fitted = true\n";
    assert_eq!(told(PADS, same, "pads_in_brake").0, Verdict::Fits);
    let like = "[rear_pads]\nfixing = \"disc\"\n";
    assert_eq!(told(PADS, like, "pads_in_brake").0, Verdict::MeasureFirst);
    // With another brake what they proved is nothing.
    let both = format!("{same}[rear_brake]\nmount = \"post\"\n");
    assert_eq!(told(PADS, &both, "pads_in_brake").0, Verdict::MeasureFirst);
}

#[test]
fn a_complaint_takes_back_what_the_fitted_part_proved() {
    let post = "[seatpost]\ndiameter = 27.2\n";
    let same = "[seatpost]\nsame_as_fitted = true\n";
    assert_eq!(told(post, same, "seatpost_fit").0, Verdict::Fits);
    let sinks = "[seatpost]\ndiameter = 27.2\ncomplaint = \"sinks\"\n";
    assert_eq!(told(sinks, same, "seatpost_fit").0, Verdict::MeasureFirst);
}

#[test]
fn what_differs_or_is_not_there_is_not_the_same() {
    let other = format!("{SAME_TYRE}size = \"40-622\"\n");
    let (_, notes, verdict) = told(TYRE, &other, "tyre_on_rim");
    assert!(
        notes
            .iter()
            .any(|note| note.contains("they differ in nominal width")),
        "{notes:?}"
    );
    assert_eq!(verdict, Verdict::MeasureFirst);
    let (_, notes, verdict) = told(
        TYRE,
        "[front_rim_tape]\nsame_as_fitted = true\n",
        "tape_on_rim",
    );
    assert!(
        notes
            .iter()
            .any(|note| note.contains("lists no front rim tape")),
        "{notes:?}"
    );
    assert_eq!(verdict, Verdict::MeasureFirst);
}

#[test]
fn a_bike_cannot_say_it_of_what_is_fitted() {
    let catalog = Catalog::compiled();
    let mut job = Job::new(&catalog);
    assert!(job.bike("bike.toml", SAME_TYRE.as_bytes()).is_err());
    assert!(
        job.swap(
            "swap.toml",
            b"[front_tyre]\nsame_as_fitted = \"perhaps\"\n",
            None
        )
        .is_err()
    );
}

/// What was open as it stood stands again beside a new part that says the same of it, as in a check.
#[test]
fn what_a_new_part_says_as_the_old_one_did_stands_again() {
    let stem =
        "[handlebar]\nshape = \"flat\"\nclamp_diameter = 31.8\ngrip_diameter = 22.2\n[stem]\n";
    let bike = bike(stem.as_bytes(), &[]);
    let wishes = wishes("change = [\"handlebar\"]");
    let list = |clamp: &str| {
        let line = format!("A,handlebar,{clamp},22.2,flat\n");
        stock(&format!(
            "id,kind,clamp_diameter,grip_diameter,shape\n{line}"
        ))
    };
    let (same, other) = (list("31.8"), list("35"));
    let planned_same = planned(&bike, &wishes, &same, None);
    let plan = planned_same.plans.first().unwrap();
    let again = check(catalog(), &bike, Some(&plan.swap), Options::default());
    assert_eq!(again.verdict, Verdict::Fits);
    assert!(planned(&bike, &wishes, &other, None).plans.is_empty());
}
