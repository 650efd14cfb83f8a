//! Words that stand for two names, and the slot that says which; and what a bike does not tell.

use compat_core::dim::Cases;
use compat_core::joints::family_named;
use compat_core::verdict::Verdict;
use compat_core::{Catalog, Job, Options};

fn verdict(bike: &str, swap: &str) -> Verdict {
    let catalog = Catalog::compiled();
    let mut job = Job::new(&catalog);
    let bike = job.bike("bike.toml", bike.as_bytes()).expect("a bike");
    let swap = job
        .swap("swap.toml", swap.as_bytes(), None)
        .expect("a swap set");
    job.check(&bike, Some(&swap), Options::default()).verdict
}

/// A rear wheel with a quick release is asked nothing about the axle of a hub gear.
#[test]
fn a_quick_release_behind_is_one_of_ten_millimetres() {
    let bike =
        "[frame]\nrear_axle = \"QR\"\nrear_spacing = 135\n[rear_brake]\nmount = \"V-brake\"\n";
    let swap = "[rear_hub]\nspacing = 135\naxle = \"QR\"\n";
    assert_eq!(verdict(bike, swap), Verdict::Fits);
}

/// Which of the two is only chosen where the word left it open.
#[test]
fn a_name_written_out_stands() {
    let bike =
        "[frame]\nrear_axle = \"qr_rear\"\nrear_spacing = 135\nrear_brake_mount = \"V-brake\"\n";
    let swap = "[rear_hub]\nspacing = 135\naxle = \"qr_front\"\n";
    assert_ne!(verdict(bike, swap), Verdict::Fits);
}

/// A rotor left on the hub of a bike with rim brakes is nobody's business.
#[test]
fn a_rotor_left_on_the_hub_under_a_rim_brake_is_not_asked_about() {
    let bike = "[fork]\nbrake_mount = \"V-brake\"\n[front_hub]\nrotor_mount = \"six_bolt\"\n\
                [front_brake]\nmount = \"V-brake\"\npull = \"long\"\n\
                [front_rotor]\nfixing = \"six_bolt\"\ndiameter = 160\n";
    let swap =
        "[front_brake_lever]\npull = \"long\"\nclamp = 22.2\n[handlebar]\ngrip_diameter = 22.2\n";
    let catalog = Catalog::compiled();
    let mut job = Job::new(&catalog);
    let bike = job.bike("bike.toml", bike.as_bytes()).expect("a bike");
    let swap = job
        .swap("swap.toml", swap.as_bytes(), None)
        .expect("a swap set");
    let report = job.check(&bike, Some(&swap), Options::default());
    let about = |word: &str| {
        report
            .findings
            .iter()
            .any(|finding| finding.headline.contains(word))
    };
    assert!(
        !about("disc mount") && !about("rotor"),
        "{:?}",
        report.findings
    );
}

/// A mark that stands for several cases is narrowed by what is said beside it, in either order, and
/// contradicted by what is not among them.
#[test]
fn what_is_said_beside_a_mark_narrows_it() {
    let tyre = "[rear_rim]\nbead_seat = 559\ninner_width = 25\nflange = \"hooked\"\n";
    let wide = "[rear_tyre]\nsize = \"26x1-3/4\"\nseal = \"wired\"\n";
    let narrowed = "[rear_tyre]\nbead_seat = 559\nsize = \"26x1-3/4\"\nseal = \"wired\"\n";
    assert_eq!(joint(tyre, wide, "tyre_on_rim"), "measure first");
    assert_eq!(joint(tyre, narrowed, "tyre_on_rim"), "fits");
    // With a point the trade means 559, but for narrow old sizes.
    let point = |size: &str| {
        let new = format!("[rear_tyre]\nsize = \"{size}\"\nseal = \"wired\"\n");
        joint(tyre, &new, "tyre_on_rim")
    };
    assert_eq!(point("26 x 1.95"), "fits");
    for old in ["26 x 1.25", "26x1.375", "26 x 1.38"] {
        assert_eq!(point(old), "measure first", "{old}");
    }

    let catalog = Catalog::compiled();
    let mut job = Job::new(&catalog);
    let other = "[rear_tyre]\nsize = \"37-622\"\nbead_seat = 584\n";
    assert!(job.bike("bike.toml", other.as_bytes()).is_err());
}

/// The letter C behind a wide rim's width says no more than that the side is not straight.
#[test]
fn a_wide_rim_marked_c_is_looked_at() {
    let rim = |text: &str| format!("[front_rim]\n{text}\n");
    let wired = "[front_tyre]\nsize = \"32-622\"\nseal = \"wired\"\n";
    let tubeless = "[front_tyre]\nsize = \"32-622\"\nseal = \"tubeless\"\n";
    let on = |text: &str, tyre: &str| joint(&rim(text), tyre, "tyre_on_rim");
    assert_eq!(on("size = \"622x23C\"", wired), "measure first");
    let hookless = "size = \"622x23C\"\nflange = \"hookless\"";
    assert_eq!(on(hookless, wired), "does not fit");
    assert_eq!(
        on("size = \"622x23C\"\nflange = \"straight\"", wired),
        "refused"
    );
    let narrow = "[front_tyre]\nsize = \"25-622\"\nseal = \"wired\"\n";
    assert_eq!(on("size = \"622x15C\"", narrow), "fits");
    assert_eq!(on("size = \"622x23TSS\"", tubeless), "measure first");
}

/// A remedy names a bead seat that is made.
#[test]
fn no_rim_is_offered_that_nobody_makes() {
    let bike = "[frame]\nrear_brake_mount = \"V-brake\"\nrear_brake_wheel = 622\n\
                [rear_brake]\nmount = \"V-brake\"\npads_least_height = 24\npads_most_height = 32\n";
    let swap = "[rear_rim]\nbead_seat = 559\n";
    let catalog = Catalog::compiled();
    let mut job = Job::new(&catalog);
    let bike = job.bike("bike.toml", bike.as_bytes()).expect("a bike");
    let swap = job
        .swap("swap.toml", swap.as_bytes(), None)
        .expect("a swap set");
    let report = job.check(&bike, Some(&swap), Options::default());
    let reach = report
        .findings
        .iter()
        .find(|finding| finding.family == "rim_brake_reach")
        .expect("the joint is judged");
    assert_eq!(reach.verdict, "does not fit");
    let changes = format!("{:?} {:?}", reach.would_fit, reach.or_change);
    for size in ["605", "606", "607", "608", "609", "613", "614", "615"] {
        assert!(!changes.contains(size), "{changes}");
    }
}

/// End caps are made for one hub: they leave the bike with it, and say nothing of the next.
#[test]
fn end_caps_leave_with_their_hub() {
    let hub = "[rear_hub]\nspacing = 142\naxle = \"12 mm thru axle\"\n";
    let caps = "[rear_end_caps]\nspacing = 148\naxle = \"12 mm thru axle\"\nadds_left = 3\n\
                adds_right = 3\nfor_hub = \"yes\"\n";
    let frame = "[frame]\nrear_spacing = 148\nrear_axle = \"12 mm thru axle\"\n";
    let bike = format!("{frame}{hub}{caps}");
    assert_eq!(joint(&bike, hub, "hub_in_dropout"), "does not fit");
    assert_eq!(
        joint(&bike, &format!("{hub}{caps}"), "hub_in_dropout"),
        "fits"
    );
}

/// What one joint comes to with a swap set; `refused` where a file is.
fn joint(bike: &str, swap: &str, family: &str) -> String {
    let catalog = Catalog::compiled();
    let mut job = Job::new(&catalog);
    let Ok(bike) = job.bike("bike.toml", bike.as_bytes()) else {
        return "refused".to_owned();
    };
    let Ok(swap) = job.swap("swap.toml", swap.as_bytes(), None) else {
        return "refused".to_owned();
    };
    let report = job.check(&bike, Some(&swap), Options::default());
    let found = report
        .findings
        .iter()
        .chain(&report.quiet)
        .find(|finding| finding.family == family);
    found.map_or("not judged".to_owned(), |finding| {
        finding.verdict.to_string()
    })
}

/// A hub alone goes into the rim that stays, and whether it can be laced hangs on spokes nobody wrote
/// down; a whole wheel brings its own.
#[test]
fn a_new_hub_in_an_old_rim_is_no_fit_without_its_spokes() {
    let bike = "[frame]\nrear_axle = \"QR\"\nrear_spacing = 135\n[rear_brake]\nmount = \"V-brake\"\n\
                [rear_rim]\nholes = 32\n";
    let hub = "[rear_hub]\nspacing = 135\naxle = \"QR\"\nholes = 28\n";
    assert_ne!(verdict(bike, hub), Verdict::Fits);
    assert_ne!(verdict(bike, hub), Verdict::FitsWith);
}

/// Words of the trade and what they stand for; a word that stands for several names leaves them open.
#[test]
fn words_of_the_trade_are_understood() {
    let catalog = Catalog::compiled();
    let found = |list: &str, word: &str| -> Vec<String> {
        let lists = catalog.lists();
        let at = lists.iter().position(|known| known.name == list).unwrap();
        let labels = lists[at].find(at, word);
        let name = |label: &compat_core::dim::Label| {
            lists[at].names[usize::from(label.name)].name.to_string()
        };
        labels.iter().map(name).collect()
    };
    for (list, word, wanted) in [
        ("spoke_thread", "2.0", &["fg_2_0", "fg_2_3"] as &[&str]),
        ("spoke_thread", "2.0 x 56 tpi", &["fg_2_3"]),
        ("spoke_thread", "15G", &["fg_2_0"]),
        ("tyre_seal", "tub", &["tubular"]),
        ("tyre_seal", "tube", &["wired", "folding"]),
        ("tyre_seal", "foldable", &["folding"]),
        ("tyre_seal", "UST", &["with_tube", "tubeless"]),
        ("rim_flange", "tubeless", &["hooked_tubeless", "hookless"]),
        ("rim_flange", "UST", &["hooked_tubeless"]),
        ("axle", "QR 126", &["qr_rear"]),
        ("axle", "quick release", &["qr_front", "qr_rear"]),
        (
            "axle",
            "thru axle",
            &["thru_12", "thru_15", "thru_15_large_caps", "thru_20"],
        ),
        ("freehub", "HG 9", &["hg_m"]),
        ("freehub", "XD driver", &["xd"]),
        ("freehub", "9-speed", &["hg_m", "it_9_12", "freewheel_iso"]),
        ("freehub", "fixed", &["track_iso", "track_italian"]),
        ("pedal_thread", "9/16 in", &["nine_sixteenths"]),
        ("pedal_thread", "14 mm", &["nine_sixteenths", "french"]),
        (
            "chain_closing",
            "master link",
            &["quick_again", "quick_once"],
        ),
        ("hub_gear_system", "8-speed", &["j_8", "e_8"]),
        ("spindle", "BB30", &["round_30", "round_30_long"]),
        ("spindle", "DUB Wide", &["round_29", "round_29_road"]),
        ("shell", "PressFit 30", &["pf30_68", "pf30_73"]),
        ("shell", "BSA 68/73", &["bsa_68", "bsa_73"]),
        (
            "ring_mount",
            "direct mount",
            &["three_bolt", "eight_bolt", "cinch", "j_direct"],
        ),
        ("front_derailleur_mount", "34.9 clamp", &["band_349"]),
        ("cog_spacing", "11-speed road", &["eleven_road", "it_11"]),
        ("dropout", "track ends", &["rearward"]),
        ("brake_mount", "PM", &["post"]),
        ("brake_mount", "dual pivot", &["centre_bolt"]),
        ("brake_fluid", "DOT 3", &["dot"]),
        ("brake_fluid", "DOT 5", &["silicone"]),
        ("brake_pull", "mechanical", &["long", "short", "short_new"]),
        ("rotor_fixing", "CL", &["center_lock"]),
        ("brake_track", "alu", &["aluminium"]),
        ("frame_material", "alu", &["aluminium"]),
        ("bike_class", "hybrid", &["city"]),
    ] {
        assert_eq!(found(list, word), wanted, "{word}");
    }
    // Nothing is near what is another thing.
    for (list, word) in [
        ("brake_mount", "XM"),
        ("axle", "QR 160"),
        ("freehub", "HG 6"),
    ] {
        let lists = catalog.lists();
        let at = lists.iter().position(|known| known.name == list).unwrap();
        assert!(found(list, word).is_empty(), "{word}");
        assert_eq!(lists[at].near(word), None, "{word}");
    }
}

/// A title that has an "or" of its own is one name, alone and beside others.
#[test]
fn a_title_with_an_or_is_one_name() {
    let catalog = Catalog::compiled();
    for (number, list) in catalog.lists().iter().enumerate() {
        for name in list.names.iter() {
            let title = name.title.as_str();
            assert_eq!(list.words(number, title), [title]);
            assert_eq!(
                list.label(number, &name.name)
                    .into_iter()
                    .collect::<Vec<_>>(),
                list.find(number, title)
            );
            let both = format!("{title} or nothing of the kind or {title}");
            assert_eq!(
                list.words(number, &both),
                [title, "nothing of the kind", title]
            );
        }
    }
}

/// A lever that may be of either of two systems and has nine speeds is of the one that has nine.
#[test]
fn the_number_of_its_speeds_says_which_system_a_lever_is_of() {
    let bike = "[rear_shifter]\nshifts_as = \"1.7\"\nspeeds = 9\n[rear_derailleur]\nshifts_as = \"1.7\"\n\
                mount = \"standard\"\n[frame]\nhanger = \"standard\"\n[cassette]\nspeeds = 9\nfitting = \"hg_8_9\"\n";
    let catalog = Catalog::compiled();
    let judged = |bike: &str| {
        let mut job = Job::new(&catalog);
        let bike = job.bike("bike.toml", bike.as_bytes()).expect("a bike");
        let swap = b"[rear_derailleur]\nshifts_as = \"1.7\"\nmount = \"standard\"\n";
        let swap = job.swap("swap.toml", swap, None).expect("a swap set");
        let report = job.check(&bike, Some(&swap), Options::default());
        let mut all = report.findings.into_iter().chain(report.quiet);
        let found = all.find(|finding| finding.family == "rear_indexing");
        found.expect("a finding").verdict
    };
    assert_eq!(judged(bike), "fits");
    let ten = bike.replace(
        "shifts_as = \"1.7\"\nspeeds = 9",
        "shifts_as = \"1.7\"\nspeeds = 10",
    );
    assert_ne!(judged(&ten), "fits");
}

/// What the list of a kind says of a number agrees with what the page says of the system.
#[test]
fn systems_have_the_speeds_their_page_gives_them() {
    let catalog = Catalog::compiled();
    let kind = catalog.kind_named("rear_shifter").expect("a kind");
    let body = catalog.body(kind);
    let family = family_named("rear_indexing").expect("a family");
    let mut compared = 0;
    for row in catalog.book(family).implied.iter() {
        let system = row.when.iter().find_map(|(_, cases)| match cases {
            Cases::Names(labels) if row.when.len() == 1 => Some(labels),
            _ => None,
        });
        let speeds = row.gives.iter().find_map(|(of, cases)| match cases {
            // The shifter is the first end, and its speeds the first field.
            Cases::Numbers(spans) if (of.end, of.field) == (0, 0) => spans.first(),
            _ => None,
        });
        let (Some(systems), Some(speeds)) = (system, speeds) else {
            continue;
        };
        for among in &body.among {
            let named = systems.iter().all(|system| among.names.contains(system));
            let right = among.value.holds(*speeds);
            assert!(named || !right, "{systems:?} {speeds:?}");
            compared += usize::from(right);
        }
    }
    assert!(compared > 15, "{compared}");
}

/// A freewheel with few teeth has the small thread, whatever the word for it.
#[test]
fn the_teeth_of_a_single_freewheel_say_which_thread_it_has() {
    let catalog = Catalog::compiled();
    let fits = |teeth: u8| {
        let mut job = Job::new(&catalog);
        let bare = job
            .bike("bike.toml", b"[rear_hub]\ndriver = \"iso_thread\"\n")
            .expect("a bike");
        let swap = format!("[sprocket]\nfitting = \"freewheel\"\ntooth_count = {teeth}\n");
        let swap = job.swap("swap.toml", swap.as_bytes(), None);
        let report = job.check(&bare, Some(&swap.expect("a swap set")), Options::default());
        let mut all = report.findings.into_iter().chain(report.quiet);
        all.find(|finding| finding.family == "sprocket_on_driver")
            .expect("a finding")
            .verdict
    };
    assert_eq!(fits(18), "fits");
    assert_eq!(fits(14), "does not fit");
}

/// A Schrader tube in the place of one is asked nothing about the hole.
#[test]
fn a_thick_valve_that_stands_tells_the_hole() {
    let of = |new: &str| {
        let catalog = Catalog::compiled();
        let mut job = Job::new(&catalog);
        let bike = job.bike(
            "bike.toml",
            b"[rear_rim]\nbead_seat = 622\n[rear_tube]\nvalve = \"Schrader\"\n",
        );
        let swap = format!("[rear_tube]\nvalve = \"{new}\"\n");
        let swap = job.swap("swap.toml", swap.as_bytes(), None);
        let (bike, swap) = (bike.expect("a bike"), swap.expect("a swap set"));
        let report = job.check(&bike, Some(&swap), Options::default());
        let mut all = report.findings.into_iter().chain(report.quiet);
        all.find(|finding| finding.family == "valve_fit")
            .expect("a finding")
            .verdict
    };
    assert_eq!(of("Schrader"), "fits");
    assert_ne!(of("Presta"), "fits");
}

/// Words of the trade are read as they are written on boxes and in lists; what may be several is several.
#[test]
fn words_on_boxes_are_read() {
    let catalog = Catalog::compiled();
    for (part, line) in [
        ("rear_tube", "size = '26x1.75-2.125'"),
        ("rear_tube", "size = '29x1.9/2.35'"),
        ("crankset", "bolts = '130'"),
        ("crankset", "bolts = '110 BCD'"),
        ("crankset", "bolts = '104/64'"),
        ("chainrings", "rings = '50-34'"),
        ("cassette", "cogs = '11/28'"),
        ("rear_hub", "axle = '142x12'"),
        ("rear_hub", "axle = 'Boost'"),
        ("rear_hub", "axle = 'solid axle'"),
        ("rear_hub", "freehub = 'Hyperglide'"),
        ("rear_hub", "freehub = '8/9/10'"),
        ("rear_hub", "freehub = 'screw-on'"),
        ("frame", "shell = 'PF86'"),
        ("frame", "shell = '68 mm'"),
        ("frame", "shell = 'Italian 70'"),
        ("frame", "rear_wheel = '27.5'"),
        ("fork", "wheel = '27.5'"),
        ("fork", "steerer_size = '1 1/8'"),
        ("fork", "steerer_size = '28.6'"),
        ("fork", "rake = 45"),
        ("front_brake", "mount = 'centre-pull'"),
        ("front_brake", "pull = 'canti'"),
        ("chain", "speeds = '6/7/8'"),
        ("shock", "size = '205x60 trunnion'"),
        ("shock", "eye_to_eye = 205"),
        ("saddle", "rails = 'chromoly'"),
        ("bottom_bracket", "size = '68x113'"),
        ("hub_gear_shifter", "system = 'English 3-speed'"),
    ] {
        let mut job = Job::new(&catalog);
        let text = format!("[{part}]\n{line}\n");
        let read = job.bike("bike.toml", text.as_bytes());
        assert!(read.is_ok(), "{text}");
    }
    // A width alone leaves the thread open.
    let bike = "[frame]\nshell = '68 mm'\n";
    assert_eq!(
        joint(
            bike,
            "[bottom_bracket]\nshell = 'bsa_68'\n",
            "bottom_bracket_in_shell"
        ),
        "measure first"
    );
    let bike = "[frame]\nshell = 'BSA 68 mm'\n";
    assert_eq!(
        joint(
            bike,
            "[bottom_bracket]\nshell = 'bsa_68'\n",
            "bottom_bracket_in_shell"
        ),
        "fits"
    );
}

#[test]
fn a_brake_called_by_its_kind_says_which_lever_pulls_it() {
    let brake = |more: &str| format!("[rear_brake]\nmount = \"cantilever\"\n{more}");
    let lever = "[rear_brake_lever]\npull = \"V-brake\"\n";
    assert_eq!(verdict(&brake(""), lever), Verdict::DoesNotFit);
    // One on the same bosses may be worked by a hose.
    let hose = brake("pull = \"hydraulic\"\n");
    let lever = "[rear_brake_lever]\npull = \"hydraulic\"\n";
    assert_eq!(verdict(&hose, lever), Verdict::MeasureFirst);
}

#[test]
fn a_thread_says_that_the_steerer_is_threaded() {
    let stem = "[stem]\nquill = 25.4\nbar_clamp = 25.4\n";
    let fork = |size: &str, thread: &str| {
        format!("[fork]\nsteerer_size = \"{size}\"\nsteerer_thread = \"{thread}\"\n")
    };
    let old = fork("1", "1 in x 24 tpi");
    assert_eq!(verdict(&old, stem), Verdict::DoesNotFit);
    let wide = fork("1-1/8", "1-1/8 in x 26 tpi");
    assert_eq!(verdict(&wide, stem), Verdict::MeasureFirst);
}
