//! Cassettes on freehub bodies against published tables: the verdict, and the millimetres of
//! spacer behind the cassette, which the program works out from lengths.
//!
//! Cyclabo, freehub types (cyclabo.com/topics/shpw0w3wbb); Rol Wheels, freehub cassette
//! compatibility; BikeRadar forum, cassette compatibility FAQ; ICAN Cycling, two guides; BikeRumor,
//! the XDR body explained; ESMTB, gravel 12-speed group; Koova, MTB freehub guide; Branford Bike,
//! Italian bodies; Anguria Bike, N3W; discoverthat, fitting a 12-speed group set; RennRad, twelve
//! instead of eleven.

use compat_core::{Catalog, Job, Options};

/// Cassette, body, verdict, hundredths of a millimetre behind the cassette, and who says so.
type Row = (&'static str, &'static str, &'static str, u32, &'static str);

const FITS: &str = "fits";
const WITH: &str = "fits with";
const NOT: &str = "does not fit";
const MEASURE: &str = "measure first";

const PUBLISHED: &[Row] = &[
    ("hg_7", "hg_s", FITS, 0, "Cyclabo"),
    ("hg_7", "hg_m", WITH, 450, "BikeRadar forum"),
    ("hg_8_9", "hg_m", FITS, 0, "Rol Wheels, BikeRadar forum"),
    ("hg_10_road", "hg_m", WITH, 100, "Rol Wheels, Cyclabo"),
    ("hg_10_plain", "hg_m", FITS, 0, "Cyclabo, BikeRadar forum"),
    ("hg_11_wide", "hg_m", FITS, 0, "Rol Wheels"),
    ("hg_11_road", "hg_m", NOT, 0, "Rol Wheels"),
    ("hg_12_road", "hg_m", NOT, 0, "Rol Wheels"),
    (
        "hg_12_wide",
        "hg_m",
        MEASURE,
        0,
        "discoverthat: 0.5 to 1 mm may be wanted",
    ),
    ("hg_8_9", "hg_l", WITH, 185, "Cyclabo, Rol Wheels"),
    ("hg_10_plain", "hg_l", WITH, 185, "Cyclabo"),
    (
        "hg_10_road",
        "hg_l",
        WITH,
        285,
        "Cyclabo, Rol Wheels: 1.85 and 1.0",
    ),
    ("hg_11_wide", "hg_l", WITH, 185, "Cyclabo, Rol Wheels"),
    ("hg_11_road", "hg_l", FITS, 0, "Cyclabo"),
    ("hg_12_road", "hg_l", FITS, 0, "Rol Wheels, ICAN Cycling"),
    ("hg_12_wide", "hg_l", MEASURE, 0, "discoverthat"),
    (
        "hg_7",
        "hg_l",
        WITH,
        635,
        "4.5 and 1.85, from the rows above",
    ),
    ("hg_12_road", "hg_l2", FITS, 0, "ICAN Cycling, Cyclabo"),
    ("hg_8_9", "hg_l2", NOT, 0, "ICAN Cycling, Cyclabo"),
    ("hg_10_road", "hg_l2", NOT, 0, "ICAN Cycling, Cyclabo"),
    ("hg_10_plain", "hg_l2", NOT, 0, "ICAN Cycling, Cyclabo"),
    ("hg_11_road", "hg_l2", NOT, 0, "ICAN Cycling, Cyclabo"),
    ("hg_11_wide", "hg_l2", NOT, 0, "ICAN Cycling, Cyclabo"),
    ("hg_10_road", "hg_10", FITS, 0, "ICAN Cycling"),
    ("hg_8_9", "hg_10", NOT, 0, "ICAN Cycling"),
    ("hg_11_road", "hg_10", NOT, 0, "ICAN Cycling"),
    ("micro_spline", "micro_spline", FITS, 0, "ESMTB"),
    ("hg_11_wide", "micro_spline", NOT, 0, "Koova"),
    ("hg_11_wide", "xd", NOT, 0, "Koova"),
    ("hg_11_road", "xdr", NOT, 0, "Koova"),
    ("micro_spline", "hg_m", NOT, 0, "Koova"),
    ("xd", "xd", FITS, 0, "BikeRumor"),
    ("xd", "xdr", WITH, 185, "BikeRumor, 2018 (1.8 in 2017)"),
    ("xdr", "xdr", FITS, 0, "BikeRumor"),
    ("xdr", "xd", NOT, 0, "BikeRumor, from the difference"),
    ("it_9_11", "hg_m", NOT, 0, "Rol Wheels"),
    ("it_9_11", "hg_l", NOT, 0, "Rol Wheels"),
    ("hg_11_road", "it_9_12", NOT, 0, "Rol Wheels"),
    ("it_8", "it_8", FITS, 0, "Branford Bike"),
    ("it_9_11", "it_9_12", FITS, 0, "Branford Bike"),
    ("it_12", "it_9_12", FITS, 0, "RennRad"),
    ("it_9_11", "n3w", WITH, 0, "Anguria Bike: the adaptor ring"),
    ("it_12", "n3w", WITH, 0, "Anguria Bike: the adaptor ring"),
    ("it_13", "n3w", FITS, 0, "Anguria Bike"),
];

/// The verdict, and what is needed.
fn answer(bike: &str, swap: &str) -> (&'static str, Vec<String>) {
    let catalog = Catalog::compiled();
    let mut job = Job::new(&catalog);
    let bike = job.bike("bike", bike.as_bytes()).unwrap();
    let swap = job.swap("swap", swap.as_bytes(), None).unwrap();
    let report = job.check(&bike, Some(&swap), Options::default());
    let mut all = report.findings.iter().chain(&report.quiet);
    let found = all.find(|found| found.family == "cassette_body");
    found.map_or(("stands as before", Vec::new()), |found| {
        (found.verdict, found.needs.clone())
    })
}

/// The millimetres of all spacers named, in hundredths.
fn spacers(needs: &[String]) -> u32 {
    let amount = |need: &String| {
        let words: Vec<&str> = need.split([' ', '\u{a0}']).collect();
        let spacer = words.iter().any(|word| word.starts_with("spacer"));
        let mut pairs = words.windows(2).filter(|pair| pair[1] == "mm" && spacer);
        let number: f64 = pairs.next()?[0].parse().ok()?;
        Some((number * 100.0).round() as u32)
    };
    needs.iter().filter_map(amount).sum()
}

#[test]
fn the_spacers_are_those_of_the_published_tables() {
    let mut wrong = Vec::new();
    for (cassette, body, verdict, hundredths, source) in PUBLISHED {
        let (found, needs) = answer(
            &format!("[rear_hub]\nfreehub = \"{body}\"\n"),
            &format!("[cassette]\nfitting = \"{cassette}\"\n"),
        );
        if found != *verdict || spacers(&needs) != *hundredths {
            wrong.push(format!(
                "{cassette} on {body}: {found}, {needs:?}; {source} has {verdict}, {hundredths}"
            ));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// The same bodies by the calliper, rounded as several publish them, give the same verdict and
/// spacers within a tenth of a millimetre.
#[test]
fn a_measured_body_is_as_good_as_a_named_one() {
    for (cassette, body, verdict, hundredths, source) in PUBLISHED {
        let length = match *body {
            "hg_m" => "35",
            "hg_l" => "36.8",
            _ => continue,
        };
        let (found, needs) = answer(
            &format!("[rear_hub]\nfreehub = \"{body}\"\nfreehub_length = \"{length}\"\n"),
            &format!("[cassette]\nfitting = \"{cassette}\"\n"),
        );
        assert_eq!(
            found, *verdict,
            "{cassette} on {body} of {length}: {source}"
        );
        let off = spacers(&needs).abs_diff(*hundredths);
        assert!(
            off <= 10,
            "{cassette} on {body} of {length}: {needs:?}, {source}"
        );
    }
}

/// A body bought for the hub is the one the cassette goes on, whatever the hub had.
#[test]
fn another_body_takes_the_place_of_the_hubs_own() {
    let bike = "[rear_hub]\nfreehub = \"hg_m\"\n[cassette]\nfitting = \"hg_11_road\"\n";
    let swap = "[freehub_body]\nspline = \"hg_l\"\nfor_hub = \"this_hub\"\n";
    assert_eq!(answer(bike, swap).0, FITS);
    let swap = "[freehub_body]\nspline = \"xdr\"\nfor_hub = \"this_hub\"\n";
    assert_eq!(answer(bike, swap).0, NOT);
}

/// A body goes with its hub: a new wheel brings its own, unless the set keeps the old one.
#[test]
fn a_body_leaves_the_bike_with_its_hub() {
    let bike = "[rear_hub]\nfreehub = \"hg_m\"\n[freehub_body]\nspline = \"hg_l\"\n\
                for_hub = \"this_hub\"\n[cassette]\nfitting = \"hg_11_road\"\n";
    let wheel = "[rear_hub]\nfreehub = \"hg_m\"\n";
    assert_eq!(answer(bike, wheel).0, NOT);
    let kept = format!("keep = [\"freehub_body\"]\n{wheel}");
    // The joint asks the hub for its room, so a new hub has it judged anew.
    assert_eq!(answer(bike, &kept).0, FITS);
    let other = format!("{wheel}[freehub_body]\nspline = \"hg_l\"\n");
    assert_eq!(answer(bike, &other).0, FITS);
}

/// Every slot that goes with another names one that is there.
#[test]
fn what_goes_with_a_part_names_its_slot() {
    let catalog = Catalog::compiled();
    let named = |slot: &compat_core::catalog::Slot| Some(slot.goes_with.as_ref()?.to_string());
    let named: Vec<String> = catalog.slots().iter().filter_map(named).collect();
    assert!(named.contains(&"rear_hub".to_owned()));
    for name in named {
        assert!(catalog.slot_named(&name).is_some(), "{name}");
    }
}

/// Splines alone leave three bodies open; the length of the cassette that is on leaves one.
#[test]
fn a_fitted_cassette_tells_the_length_of_the_body() {
    let bike = "[rear_hub]\nfreehub = \"?\"\n[cassette]\nfitting = \"hg_11_road\"\n";
    let (verdict, needs) = answer(bike, "[cassette]\nfitting = \"hg_8_9\"\n");
    assert_eq!((verdict, spacers(&needs)), (WITH, 185));
    // The shorter cassette leaves both lengths open: with one of them the other does not go on.
    let bike = bike.replace("hg_11_road", "hg_11_wide");
    let (verdict, _) = answer(&bike, "[cassette]\nfitting = \"hg_11_road\"\n");
    assert_eq!(verdict, MEASURE);
}
