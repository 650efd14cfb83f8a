//! The bike as evidence: laws that hold for bikes put together from examples of every family, with some
//! of what they state forgotten; and what contradicts itself.

use std::sync::OnceLock;

use compat_core::bike::{Graph, JointAt};
use compat_core::catalog::PartReader;
use compat_core::dim::{Entry, Origin};
use compat_core::joints::FAMILIES;
use compat_core::solve::{Inference, Known, Setting, Told, check, infer, infer_over, judge, tells};
use compat_core::text::Place;
use compat_core::verdict::Verdict;
use compat_core::{Bike, Catalog, Job, Options, Swap};
use proptest::prelude::*;
use proptest::strategy::ValueTree;

fn catalog() -> &'static Catalog {
    static CATALOG: OnceLock<Catalog> = OnceLock::new();
    CATALOG.get_or_init(Catalog::compiled)
}

/// Puts the parts of an example on a bike; what the bike knows already stays.
fn put(bike: &mut Bike, family: usize, example: usize) {
    let catalog = catalog();
    let examples = &catalog.prose(family).examples;
    let Some(example) = examples.get(example % examples.len().max(1)) else {
        return;
    };
    let joints = catalog.joints(family).iter();
    let mut joints =
        joints.filter(|joint| example.ends.iter().all(|end| joint.ends[*end].is_some()));
    let Some(joint) = joints.next() else { return };
    for (number, end) in joint.ends.iter().enumerate() {
        let Some(end) = end.as_ref().filter(|_| example.ends.contains(&number)) else {
            continue;
        };
        let kind = catalog.slots()[end.slot].kind;
        let body = catalog.body(kind);
        let new = || PartReader::new(catalog, kind, Place::default()).part;
        let part = bike.parts[end.slot].get_or_insert_with(new);
        let fields = &body.end(&end.end).unwrap().fields;
        for (field, reading) in &example.fields {
            let name = FAMILIES[family].field(*field).unwrap().name;
            let number_of = fields.iter().find(|(known, _)| known == name);
            let Some((_, dimension)) = number_of.filter(|_| usize::from(field.end) == number)
            else {
                continue;
            };
            let entry = &mut part.entries[*dimension];
            if entry.is_unknown() {
                entry.stated = Some(reading.clone());
            }
        }
    }
}

/// A bike that shows what is stated of it.
#[derive(Clone)]
struct Facts(Bike);

impl std::fmt::Debug for Facts {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        for (slot, part) in self.0.parts.iter().enumerate() {
            let Some(part) = part else { continue };
            let place = &catalog().slots()[slot];
            let body = catalog().body(place.kind);
            writeln!(f, "[{}]", place.name)?;
            for (entry, dimension) in part.entries.iter().zip(&body.dimensions) {
                if let Some(reading) = entry.deciding() {
                    writeln!(f, "{} = {:?}", dimension.name, reading.cases)?;
                }
            }
        }
        Ok(())
    }
}

/// A bike with several joints of several families, of which some is forgotten.
fn bikes() -> impl Strategy<Value = Facts> {
    let joints = proptest::collection::vec((0..FAMILIES.len(), any::<prop::sample::Index>()), 1..9);
    let forget = proptest::collection::vec(any::<u8>(), 40);
    let whole = prop_oneof![2 => Just(None), 1 => prop::sample::select(vec!["trail", "road", "city"]).prop_map(Some)];
    (whole, joints, forget).prop_map(|(whole, joints, forget)| {
        let mut bike = match whole {
            None => Bike::unknown(catalog()),
            Some(name) => {
                let bytes = super::whole::bytes(&format!("{name}.toml"));
                Job::new(catalog()).bike(name, &bytes).unwrap()
            }
        };
        for (family, example) in joints {
            put(&mut bike, family, example.index(64));
        }
        let mut forget = forget.iter().cycle();
        for part in bike.parts.iter_mut().flatten() {
            for entry in part.entries.iter_mut().filter(|entry| !entry.is_unknown()) {
                if forget.next().unwrap() % 5 < 2 {
                    *entry = Entry::default();
                }
            }
        }
        Facts(bike)
    })
}

fn told(bike: &Bike) -> Told<'_> {
    infer(catalog(), bike, &Graph::of(catalog(), bike), false)
}

fn about(one: &Inference) -> (usize, usize) {
    (one.slot, one.dimension)
}

fn stated(bike: &Bike, (slot, dimension): (usize, usize)) -> bool {
    let part = bike.part(slot);
    part.is_some_and(|part| !part.entries[dimension].is_unknown())
}

/// What is written down that told something, however many joints off.
fn leaves(bike: &Bike, told: &[Inference], dimension: (usize, usize)) -> Vec<(usize, usize)> {
    let mut open = vec![dimension];
    let mut seen = Vec::new();
    let mut found = Vec::new();
    while let Some(next) = open.pop() {
        if seen.contains(&next) {
            continue;
        }
        seen.push(next);
        if stated(bike, next) {
            found.push(next);
            continue;
        }
        let own = told.iter().filter(|one| about(one) == next);
        open.extend(own.flat_map(|one| one.from.clone()));
    }
    found
}

fn joints(bike: &Bike) -> Vec<JointAt> {
    Graph::of(catalog(), bike).joints().to_vec()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: super::laws::how_many(64), failure_persistence: None, ..ProptestConfig::default() })]

    /// Each inference goes back to what is written down, and goes with it.
    #[test]
    fn without_its_evidence_nothing_is_inferred(Facts(bike) in bikes()) {
        let all = told(&bike);
        for one in &all.inferences {
            prop_assert!(!one.from.is_empty() && !stated(&bike, about(one)), "{:?}", one);
            let before = all.inferences.iter().take_while(|other| *other != one);
            let before: Vec<_> = before.map(about).collect();
            for from in &one.from {
                prop_assert!(stated(&bike, *from) || before.contains(from), "{:?} of {:?}", from, one);
            }
        }
        let keys: Vec<_> = all.known.inferred.keys().copied().collect();
        for dimension in keys.into_iter().take(6) {
            let mut less = bike.clone();
            // What was told twice is still told once; each time it goes back to what is there.
            for _ in 0..24 {
                let now = told(&less);
                if !now.known.inferred.contains_key(&dimension) {
                    break;
                }
                let gone = leaves(&less, &now.inferences, dimension);
                prop_assert!(!gone.is_empty());
                for (slot, dimension) in gone {
                    less.parts[slot].as_mut().unwrap().entries[dimension] = Entry::default();
                }
            }
            prop_assert!(!told(&less).known.inferred.contains_key(&dimension));
        }
    }

    /// Asked again, no joint tells anything more.
    #[test]
    fn what_is_inferred_is_a_fixed_point(Facts(bike) in bikes()) {
        let all = told(&bike);
        let barred: Vec<_> = all.conflicts.iter().map(|one| (one.slot, one.dimension)).collect();
        for at in joints(&bike) {
            for one in tells(&all.known, at, false) {
                let doubtful = |from: &(usize, usize)| bike.part(from.0).unwrap().entries[from.1].disagrees;
                if barred.contains(&about(&one)) || one.from.iter().any(doubtful) {
                    continue;
                }
                let known = all.known.inferred.get(&about(&one)).map(|known| &known.cases);
                let both = known.and_then(|known| known.meet(&one.cases));
                prop_assert_eq!(both.as_ref(), known, "{:?}", one);
            }
        }
    }

    /// In whatever order the families and their joints are asked.
    #[test]
    fn the_order_of_the_joints_is_irrelevant(Facts(bike) in bikes(), turn in any::<prop::sample::Index>()) {
        let mut order = joints(&bike);
        let one = infer_over(catalog(), &bike, &order, false);
        order.reverse();
        let turn = turn.index(order.len().max(1));
        order.rotate_left(turn);
        let other = infer_over(catalog(), &bike, &order, false);
        prop_assert_eq!(&one.known.inferred, &other.known.inferred);
        prop_assert_eq!(one.inferences, other.inferences);
        prop_assert_eq!(one.conflicts, other.conflicts);
    }

    /// A verdict that would be another without what the bike told says what it rests on.
    #[test]
    fn a_verdict_that_rests_on_an_inference_says_so(Facts(bike) in bikes(), pick in any::<prop::sample::Index>()) {
        let fitted: Vec<usize> = (0..bike.parts.len()).filter(|slot| bike.part(*slot).is_some()).collect();
        let free = |slot: &usize| {
            let place = &catalog().slots()[*slot];
            !place.fixed && !place.no_part
        };
        let fitted: Vec<usize> = fitted.into_iter().filter(free).collect();
        let slot = fitted[pick.index(fitted.len())];
        let swap = Swap { parts: vec![(slot, bike.part(slot).unwrap().clone())], ..Swap::default() };
        let found = check(catalog(), &bike, Some(&swap), Options::default());
        let bare = Known::stated(catalog(), &found.bike);
        let known = Known { inferred: found.inferred.clone(), ..bare.clone() };
        for finding in found.findings.iter().chain(&found.quiet).filter(|finding| !finding.standing) {
            let verdict = |known: &Known<'_>| {
                let cells = known.cells(finding.at);
                judge(catalog(), finding.at.family, &cells, Setting::default()).verdict
            };
            if verdict(&known) != verdict(&bare) {
                let family = FAMILIES[finding.at.family].name;
                prop_assert!(!finding.rests_on.is_empty(), "{} {:?}", family, finding.plain);
            }
        }
    }

    /// A complaint takes back what its joints told, and tells nothing new.
    #[test]
    fn a_complaint_only_takes_back(Facts(bike) in bikes(), pick in any::<prop::sample::Index>()) {
        let all = told(&bike);
        let complaints = |slot: &usize| {
            let part = bike.part(*slot)?;
            (!catalog().body(part.kind).complaints.is_empty()).then_some(*slot)
        };
        let slots: Vec<usize> = (0..bike.parts.len()).collect::<Vec<_>>().iter().filter_map(complaints).collect();
        let slot = slots[pick.index(slots.len())];
        let mut ill = bike.clone();
        ill.parts[slot].as_mut().unwrap().complaints.push((0, Place::default()));
        let less = told(&ill);
        if all.conflicts.is_empty() {
            for (dimension, reading) in less.known.inferred.iter() {
                let before = all.known.inferred.get(dimension).map(|known| &known.cases);
                let both = before.and_then(|before| before.meet(&reading.cases));
                prop_assert_eq!(both, before.and_then(|before| before.meet(before)));
            }
        }
        let complained = |at: &JointAt| less.known.complained(*at);
        prop_assert!(!less.inferences.iter().any(|one| complained(&one.joint)));
    }
}

fn bike(text: &str) -> Bike {
    Job::new(catalog())
        .bike("bike.toml", text.as_bytes())
        .unwrap()
}

/// Two parts that cannot both be right about the fork between them.
#[test]
fn evidence_that_contradicts_itself_is_a_finding_and_tells_nothing() {
    let bike = bike("[headset]\nupper_steerer = 28.6\n[stem]\nsteerer_clamp = \"1 in\"\n");
    let steerer = (
        catalog().slot_named("fork").unwrap(),
        catalog()
            .body(catalog().kind_named("fork").unwrap())
            .dimension("steerer")
            .unwrap(),
    );
    let all = told(&bike);
    assert!(
        !all.known.inferred.contains_key(&steerer),
        "{:?}",
        all.known.inferred
    );
    let conflict = all
        .conflicts
        .iter()
        .find(|one| (one.slot, one.dimension) == steerer);
    assert_eq!(conflict.unwrap().told.len(), 2, "{:?}", all.conflicts);
    let job = Job::new(catalog());
    let report = job.check(&bike, None, Options::default());
    assert_eq!(report.verdict, Verdict::MeasureFirst);
    assert_eq!(report.conflicts.len(), 1, "{:?}", report.conflicts);
    for word in ["headset", "stem", "28.6 mm", "25.4 mm", "measure it"] {
        assert!(report.conflicts[0].contains(word), "{:?}", report.conflicts);
    }
}

/// What goes over more than one joint names each of them.
#[test]
fn a_chain_is_told_to_its_end() {
    let mut longest = 0;
    let mut runner = proptest::test_runner::TestRunner::deterministic();
    for _ in 0..200 {
        let Facts(bike) = bikes().new_tree(&mut runner).unwrap().current();
        let all = told(&bike);
        for one in &all.inferences {
            let over = one
                .from
                .iter()
                .filter(|from| !stated(&bike, **from))
                .count();
            longest = longest.max(over);
        }
        let report = Job::new(catalog()).check(&bike, None, Options::default());
        let far = all.inferences.iter().filter(|one| {
            let last = all.known.inferred[&about(one)].origin;
            let number = all.inferences.iter().position(|other| other == *one);
            let own = matches!(last, Origin::Inferred(last) if Some(last as usize) == number);
            own && one.from.iter().any(|from| !stated(&bike, *from))
        });
        let chained = report
            .told
            .iter()
            .filter(|told| told.contains("itself told by"));
        assert!(chained.count() >= far.count(), "{:?}", report.told);
        assert_eq!(report.told.len(), all.known.inferred.len());
    }
    assert!(longest > 0, "nothing went over more than one joint");
}

/// A part that is worn, or marked wrongly, tells of its mate what marking and measurement would both.
#[test]
fn what_measures_otherwise_than_it_is_marked_tells_either() {
    let cases = |diameter: &str| {
        let bike = bike(&format!("[seatpost]\ndiameter = \"{diameter}\"\n"));
        let frame = catalog().slot_named("frame").unwrap();
        let kind = catalog().kind_named("frame").unwrap();
        let bore = catalog().body(kind).dimension("seat_tube_bore").unwrap();
        told(&bike).known.inferred[&(frame, bore)].cases.clone()
    };
    let (one, other) = (cases("27.2"), cases("measured 26.7"));
    assert!(one.meet(&other).is_none());
    let mut both = other;
    both.join(&one);
    assert_eq!(cases("27.2, measured 26.7"), both);
    assert_eq!(cases("27.2, measured 27.17"), one);
}

/// Measured otherwise than marked, worn, squeezed out of round, cut short: each is a finding.
#[test]
fn what_is_worn_squeezed_or_cut_short_is_a_finding() {
    let found = |before: &str, new: &str| {
        let mut job = Job::new(catalog());
        let bike = job.bike("bike.toml", before.as_bytes()).unwrap();
        let swap = job.swap("swap.toml", new.as_bytes(), None).unwrap();
        let report = job.check(&bike, Some(&swap), Options::default());
        let wrong = report
            .findings
            .iter()
            .filter(|finding| finding.verdict == "does not fit");
        let codes: Vec<String> = wrong.map(|finding| finding.code.clone()).collect();
        (codes, report.disagreements)
    };
    let squeezed = "[frame]\nseat_tube_bore = 27.2\nseat_tube_out_of_round = 0.5\n";
    let (codes, _) = found(squeezed, "[seatpost]\ndiameter = 27.2\n");
    assert_eq!(codes, ["seatpost_fit/out-of-round"]);
    let worn = "[frame]\nseat_tube_bore = 27.2\n";
    let (codes, notes) = found(worn, "[seatpost]\ndiameter = \"27.2, measured 26.8\"\n");
    assert_eq!(codes, ["seatpost_fit/too-thin"]);
    assert!(
        notes[0].contains("marked 27.2 mm and measures 26.8 mm"),
        "{notes:?}"
    );
    let deep = "[rider]\nsaddle_height = 745\n[frame]\nseat_tube_length = 540\nseat_tube_least_insertion = 80\n\
                seat_tube_free_depth = 300\n[saddle]\nheight = 45\n";
    let cut = "[seatpost]\ndrop = 0\nleast_insertion = 100\nlength = \"350, measured 240\"\n";
    let (codes, notes) = found(deep, cut);
    assert_eq!(codes, ["seatpost_insertion/post-too-short"]);
    assert!(notes[0].contains("measures 240 mm"), "{notes:?}");
    let brake = "[front_brake]\nmount = \"post\"\n";
    let rotor = "[front_rotor]\nthickness = \"1.8, measured 1.4\"\nwear_limit = 1.5\n";
    let (codes, notes) = found(brake, rotor);
    assert_eq!(codes, ["rotor_in_brake/rotor-worn"]);
    assert!(notes[0].contains("measures 1.4 mm"), "{notes:?}");
    let old = "[chain]\nspeeds = 10\nelongation = \"measured 0.8 %\"\n";
    let new = "[cassette]\nspeeds = 10\ncogs_of = \"HG 10\"\nworn_by = \"0 %\"\n";
    let (codes, _) = found(old, new);
    assert!(
        codes.iter().any(|code| code.starts_with("chain_wear/")),
        "{codes:?}"
    );
}

/// A post that slipped, or would not go in, has its bore measured both ways before the next one goes
/// in; so has a frame that was bought used. Nobody else is asked.
#[test]
fn a_bore_is_taken_for_round_until_somebody_complains() {
    let asked = |before: &str, new: &str| {
        let mut job = Job::new(catalog());
        let bike = job.bike("bike.toml", before.as_bytes()).unwrap();
        let swap = job.swap("swap.toml", new.as_bytes(), None).unwrap();
        let report = job.check(&bike, Some(&swap), Options::default());
        let all = report.findings.into_iter().chain(report.quiet);
        let mut about = all.filter(|finding| finding.family == "seatpost_fit");
        let found = about.next().unwrap();
        let asked = found.measure.iter().map(|one| one.dimension.clone());
        (found.verdict, asked.collect::<Vec<String>>())
    };
    let post = "[seatpost]\ndiameter = 27.2\n";
    let frame = "[frame]\nseat_tube_bore = 27.2\n";
    let round = ["frame.seat_tube_out_of_round".to_owned()];
    assert_eq!(asked(frame, post).0, "fits");
    assert_eq!(asked(&format!("{frame}{post}"), post).0, "fits");
    for complaint in ["slips", "creaks", "will not go in"] {
        let before = format!("{frame}{post}complaint = \"{complaint}\"\n");
        let (verdict, questions) = asked(&before, post);
        assert_eq!(verdict, "measure first", "{complaint}");
        assert_eq!(questions, round, "{complaint}");
        let looked = format!("{post}[looked]\n\"seatpost_fit/complaint\" = \"yes\"\n");
        assert_eq!(asked(&before, &looked).0, "fits", "{complaint}");
        let (verdict, _) = asked(&before, &format!("{frame}{post}"));
        assert_eq!(verdict, "fits", "another frame, {complaint}");
        let measured = before.replace("27.2\n[", "27.2\nseat_tube_out_of_round = 0.05\n[");
        assert_eq!(asked(&measured, post).0, "fits", "measured, {complaint}");
    }
    let bought = |state: &str| asked(post, &format!("{frame}condition = \"{state}\"\n"));
    assert_eq!(bought("new").0, "fits");
    assert_eq!(bought("used"), ("measure first", round.to_vec()));
}

/// Every complaint of every kind of part is against a joint that can stand, and says what a mechanic
/// looks at first.
#[test]
fn every_complaint_is_against_a_joint() {
    let mut tried = 0;
    for slot in catalog().slots() {
        let body = catalog().body(slot.kind);
        // What says nothing of a size is against no joint.
        let against = body
            .complaints
            .iter()
            .filter(|complaint| !complaint.ends.is_empty());
        for complaint in against {
            assert!(
                complaint.ask.len() > 20,
                "{}: {}",
                slot.name,
                complaint.word
            );
            let mine = |end: &compat_core::catalog::JointEnd| {
                catalog().slots()[end.slot].name == slot.name && complaint.ends.contains(&end.end)
            };
            let all = (0..FAMILIES.len()).flat_map(|family| catalog().joints(family));
            let mut ends = all.flat_map(|joint| joint.ends.iter().flatten());
            assert!(
                ends.any(mine),
                "{}: {} is against nothing",
                slot.name,
                complaint.word
            );
            tried += 1;
        }
    }
    assert!(tried > 20, "only {tried}");
}
