//! What a change drags along though nobody wrote it down.

use compat_core::{Job, Options};

use super::plan::{asked, bike, catalog, stock, wishes};

const FLAT: &str = r#"
front_brake = { mount = "V-brake" }
rear_brake = { mount = "V-brake" }
[frame]
[handlebar]
clamp_diameter = 31.8
grip_diameter = 22.2
shape = "flat"
[stem]
bar_clamp = 31.8
"#;

/// The verdict on a swap set, and what is not judged.
fn check(bike: &str, swap: &str) -> (&'static str, String) {
    let mut job = Job::new(catalog());
    let bike = job.bike("bike.toml", bike.as_bytes()).unwrap();
    let swap = job.swap("swap.toml", swap.as_bytes(), None).unwrap();
    let report = job.check(&bike, Some(&swap), Options::default());
    (report.verdict.words(), report.unjudged.join("\n"))
}

#[test]
fn what_drags_something_along_meets_a_mate_at_that_end() {
    for kind in 0..catalog().kinds().len() {
        let body = catalog().body(kind);
        for end in &body.ends {
            let drags = end.drags.iter().flat_map(|drags| &drags.by);
            for number in drags {
                let meets = end.fields.iter().any(|(_, own)| own == number);
                assert!(meets, "{}, {}", body.title, end.name);
            }
        }
    }
}

#[test]
fn another_bar_drags_along_levers_that_nobody_listed() {
    let drop = "[handlebar]\nclamp_diameter = 31.8\ngrip_diameter = 23.8\nshape = \"drop\"\n";
    let (verdict, said) = check(FLAT, drop);
    assert_eq!(verdict, "measure first");
    for lever in ["front brake lever", "rear brake lever"] {
        assert!(
            said.contains(&format!("the bike lists no {lever}")),
            "{said}"
        );
    }
    assert!(
        said.contains("shape of the bar was flat or riser bar and is drop bar"),
        "{said}"
    );
    // A bar of the other shape on one of which nobody said which it is.
    let silent = FLAT.replace("shape = \"flat\"\n", "");
    assert_eq!(check(&silent, drop).0, "measure first");
    // The levers stay where the new bar is as the old one.
    let riser = drop.replace("23.8", "22.2").replace("drop", "riser");
    assert_eq!(check(FLAT, &riser).0, "fits");
    // Of a bike of which nothing else is written down something sits on the bar, too.
    let bare = &FLAT[FLAT.find("[frame]").unwrap()..];
    let (verdict, said) = check(bare, drop);
    assert_eq!(verdict, "measure first");
    assert!(said.contains("nothing is listed that sits there"), "{said}");
}

#[test]
fn a_shifter_that_is_listed_says_nothing_of_the_brake_levers() {
    let bike = format!("rear_shifter = {{ clamp = 22.2, for_bar = \"flat\" }}\n{FLAT}");
    // As thick as the old one, so that the shifter's clamp goes round.
    let drop = "[handlebar]\nclamp_diameter = 31.8\ngrip_diameter = 22.2\nshape = \"drop\"\n";
    let (_, said) = check(&bike, drop);
    assert!(
        said.contains("the bike lists no front brake lever"),
        "{said}"
    );
    assert!(!said.contains("lists no rear shifter"), "{said}");
}

#[test]
fn what_another_hub_is_made_for_is_asked() {
    let bike = "[frame]\n[fork]\nspacing = 100\naxle = \"QR 100\"\nbrake_mount = \"post\"\n\
                [front_hub]\nspacing = 100\naxle = \"QR 100\"\nrotor_mount = \"6-bolt\"\n";
    let hub = "[front_hub]\nspacing = 100\naxle = \"QR 100\"\nrotor_mount = \"center lock\"\n";
    let (verdict, said) = check(bike, hub);
    assert_eq!(verdict, "measure first");
    assert!(said.contains("the bike lists no front rotor"), "{said}");
    assert_eq!(check(bike, &hub.replace("center lock", "6-bolt")).0, "fits");
    // On a bike of which nobody says that it has a rotor none is missed.
    let rim = bike
        .replace("rotor_mount = \"6-bolt\"\n", "")
        .replace("post", "rim caliper");
    assert_eq!(check(&rim, hub).0, "fits");
}

#[test]
fn what_stands_beside_an_end_does_not_judge_it() {
    // A hub without a brake asks nothing of the lever, and the brake is not listed.
    let bike = "[frame]\n[handlebar]\nclamp_diameter = 31.8\ngrip_diameter = 22.2\nshape = \"flat\"\n\
                [front_hub]\naxle = \"QR 100\"\n";
    let lever = "[front_brake_lever]\npull = \"road\"\nclamp = 22.2\nfor_bar = \"flat\"\n";
    let (verdict, said) = check(bike, lever);
    assert_eq!(verdict, "measure first");
    assert!(said.contains("the bike lists no front brake;"), "{said}");
    // One with a brake inside is what it pulls.
    let drum = bike.replace("axle = \"QR 100\"", "hub_brake = \"drum\"");
    assert!(!check(&drum, lever).1.contains("lists no front brake;"));
    // A derailleur among cogs and hub, and no shifter listed.
    let bike = "[frame]\nhanger = \"standard\"\n[rear_hub]\nfreehub = \"HG 8-10\"\n\
                [cassette]\ncogs = \"11-36\"\nspeeds = 10\n[crankset]\nrings = \"36\"\n";
    let swap = "[rear_derailleur]\nshifts_as = \"j_mtb_12\"\nmount = \"standard\"\n";
    let (verdict, said) = check(bike, swap);
    assert_eq!(verdict, "measure first");
    assert!(said.contains("the bike lists no rear shifter"), "{said}");
    // A tube in the tyre says nothing of the rim.
    let bike = "[frame]\n[front_tube]\nleast_width = 25\nmost_width = 60\nleast_seat = 584\nmost_seat = 622\n";
    let (_, said) = check(bike, "[front_tyre]\nsize = \"40-622\"\n");
    assert!(said.contains("the bike lists no front rim"), "{said}");
}

#[test]
fn a_plan_takes_no_other_bar_without_its_levers() {
    let bike = bike(FLAT.as_bytes(), &[]);
    let bars = "id,kind,price,clamp_diameter,grip_diameter,shape\n\
                B1,handlebar,5,31.8,23.8,drop\nB2,handlebar,40,31.8,22.2,riser\n";
    let bin = stock(bars);
    let labour = compat_core::catalog::Labour::usual(catalog());
    let wishes = wishes("change = [\"handlebar\"]");
    let asked = asked(&bike, &wishes, Some(&bin), None, &labour);
    let report = Job::new(catalog()).plan(&asked).unwrap();
    let taken: Vec<&str> = report.plans[0]
        .bin
        .iter()
        .map(|step| step.id.as_str())
        .collect();
    assert_eq!(taken, ["B2"]);
}

const RIM: &str = r#"
front_tyre = { size = "25-622" }
front_rim = { size = "622x17", depth = 25, holes = 32, valve = "Schrader" }
"#;

#[test]
fn another_rim_drags_along_the_hub_and_the_valve_that_nobody_listed() {
    let rim = |holes: u32, depth: u32, valve: &str| {
        format!(
            "[front_rim]\nsize = \"622x17\"\nholes = {holes}\ndepth = {depth}\nvalve = \"{valve}\"\n"
        )
    };
    // A valve that came through a deeper rim comes through a shallower one.
    for depth in [25, 20] {
        let (_, said) = check(RIM, &rim(32, depth, "Schrader"));
        assert!(!said.contains(" was "), "{said}");
    }
    for (swap, mate) in [
        (rim(36, 25, "Schrader"), "spoke holes was 32 and is 36"),
        (rim(32, 60, "Schrader"), " was 25 mm and is 60 mm"),
        (rim(32, 25, "Presta"), "valve hole was "),
    ] {
        let (verdict, said) = check(RIM, &swap);
        assert_eq!(verdict, "measure first", "{swap}");
        assert!(said.contains(mate), "{said}");
    }
}

#[test]
fn a_thick_valve_drags_along_the_rim_that_nobody_listed() {
    let bike = "front_tyre = { size = \"26 x 2.1\" }\n";
    let tube =
        |valve: &str| format!("[front_tube]\nsize = \"26 x 1.9/2.3\"\nvalve = \"{valve}\"\n");
    let (verdict, said) = check(bike, &tube("Schrader"));
    assert_eq!(verdict, "measure first");
    assert!(said.contains("the bike lists no front rim"), "{said}");
    // A thin one goes in every hole, with a grommet at most.
    assert_eq!(check(bike, &tube("Presta")).0, "fits");
}

#[test]
fn a_brake_for_another_hose_drags_along_the_hose_that_nobody_listed() {
    let brake = |fitting: &str, outside: &str| {
        format!(
            "[front_brake]\nmount = \"post\"\npull = \"hydraulic\"\nhose_fitting = \"{fitting}\"\nhose_outside = {outside}\n"
        )
    };
    let bike = brake("screwed", "5.5") + "[fork]\nbrake_mount = \"post\"\n";
    let (_, said) = check(&bike, &brake("screwed", "5.5"));
    assert!(!said.contains(" was "), "{said}");
    let (verdict, said) = check(&bike, &brake("banjo", "5.0"));
    assert_eq!(verdict, "measure first");
    assert!(
        said.contains("the bike lists no front brake hose"),
        "{said}"
    );
}

#[test]
fn a_threaded_fork_lacks_no_star_nut() {
    let bike = "[fork]\nsteerer = \"1 in\"\n[stem]\nquill = 22.2\n";
    let fork = "[fork]\nsteerer = \"1 in\"\nsteerer_thread = \"1 in x 24 tpi\"\n";
    assert_eq!(check(bike, fork).0, "measure first");
}
