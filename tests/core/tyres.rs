//! Sizes, mounted widths and clearances against published lists, what people measured, and sums done
//! another way.

use compat_core::dim::{Cases, Origin, Reading, Span};
use compat_core::formula::tyre_section::outside;
use compat_core::formula::wheel_size::circumference;
use compat_core::joints::{Cells, FAMILIES, family_named};
use compat_core::solve::{Setting, judge};
use compat_core::verdict::{Claim, Field, Holds};
use compat_core::{Catalog, Job, Options, Verdict};

/// Sizes as a tyre maker lists them (`w-MICH` among the sources): the ISO size, and what the same
/// tyre is called in inches or the French way. Rows with two widths in the name are left out; so is
/// 37-288, printed beside `16"x1.75"`, which other lists have as 305.
const CALLED: &[(&str, &str)] = &[
    ("44-406", "20 x 1.75"),
    ("44-507", "24 x 1.75"),
    ("35-559", "26 x 1.4"),
    ("44-559", "26 x 1.75"),
    ("47-559", "26 x 1.85"),
    ("50-559", "26 x 1.95"),
    ("52-559", "26 x 2.00"),
    ("56-559", "26 x 2.2"),
    ("58-559", "26 x 2.3"),
    ("60-559", "26 x 2.35"),
    ("35-590", "26 x 1 3/8"),
    ("35-590", "650x35A"),
    ("23-571", "650x23C"),
    ("23-622", "28 x 1"),
    ("20-622", "700x20C"),
    ("23-622", "700x23C"),
    ("25-622", "700x25C"),
    ("28-622", "700x28C"),
    ("30-622", "700x30C"),
    ("32-622", "700x32C"),
    ("35-622", "700x35C"),
    ("40-622", "700x40C"),
    ("52-622", "29 x 2.0"),
];

/// What is said of a tyre called so on a rim with a bead seat.
fn on_rim(catalog: &Catalog, size: &str, seat: i64) -> Verdict {
    let mut job = Job::new(catalog);
    let bike = format!("[front_rim]\nbead_seat = {seat}\n");
    let swap = format!("[front_tyre]\nsize = \"{size}\"\n");
    let bike = job
        .bike("bike.toml", bike.as_bytes())
        .unwrap_or_else(|_| panic!("{seat}"));
    let swap = job
        .swap("swap.toml", swap.as_bytes(), None)
        .unwrap_or_else(|_| panic!("{size}"));
    let report = job.check(&bike, Some(&swap), Options::default());
    let found = report.findings.iter().chain(&report.quiet);
    let mut found = found.filter(|finding| finding.family == "tyre_on_rim");
    let found = found.next().unwrap();
    let known = Verdict::ALL
        .iter()
        .find(|verdict| verdict.words() == found.verdict);
    *known.unwrap()
}

#[test]
fn a_size_in_inches_never_excludes_the_rim_it_is_sold_for() {
    let catalog = Catalog::compiled();
    for (iso, called) in CALLED {
        let seat = iso.split_once('-').unwrap().1.parse().unwrap();
        assert_ne!(
            on_rim(&catalog, called, seat),
            Verdict::DoesNotFit,
            "{called} on {iso}"
        );
        assert_ne!(on_rim(&catalog, iso, seat), Verdict::DoesNotFit, "{iso}");
    }
}

#[test]
fn a_name_for_several_seats_never_fits_and_one_for_another_seat_never_does() {
    let catalog = Catalog::compiled();
    for (called, seat) in [
        ("26 x 1.75 in", 559),
        ("26 x 1 3/8 in", 590),
        ("28 x 1 1/2 in", 635),
        ("20 x 1.75 in", 406),
        ("24 x 1 3/8 in", 540),
    ] {
        assert_eq!(
            on_rim(&catalog, called, seat),
            Verdict::MeasureFirst,
            "{called}"
        );
    }
    for (called, seat) in [
        ("700x28C", 630),
        ("27 x 1 1/4 in", 622),
        ("650x42B", 571),
        ("650x23C", 584),
        ("29 x 2.25 in", 584),
        ("26 x 1.75 in", 622),
    ] {
        assert_eq!(
            on_rim(&catalog, called, seat),
            Verdict::DoesNotFit,
            "{called} on {seat}"
        );
    }
}

/// What people write for a size, the bead seat it stands for, and one it does not: all are in the charts
/// of a shop (dotbike.com/tyre_size_reference.aspx) or a guide (users.globalnet.co.uk/~pattle).
#[test]
fn a_size_is_read_however_it_is_written() {
    let catalog = Catalog::compiled();
    for (called, seat, other) in [
        ("28x1.75", 622, 635),
        ("28 x 1 5/8 x 1 3/8", 622, 642),
        ("28 x 1 3/8 x 1 5/8", 622, 642),
        ("29x2.25/57-622", 622, 584),
        ("622-28", 622, 630),
        ("700-28C", 622, 630),
        ("700C x 28", 622, 630),
        ("700 × 28", 622, 630),
        ("700X28C", 622, 635),
        ("29\" x 2.25", 622, 584),
        ("57-622 (29x2.25)", 622, 584),
        ("29x2.25 (57-622)", 622, 584),
        ("24x1.95", 507, 540),
        ("20x1.75", 406, 451),
        ("18x1.75", 355, 406),
        ("26x1 3/8", 590, 559),
        ("26 x 1-3/8", 590, 597),
        // Narrow ones are left open.
        ("20 x 1.10", 451, 369),
        ("20 x 1.10", 406, 369),
        ("28 x 1.5", 635, 630),
        ("28 x 1.5", 622, 630),
        ("20 x 1 3/4", 419, 369),
    ] {
        let size = called.replace('"', "\\\"");
        assert_ne!(
            on_rim(&catalog, &size, seat),
            Verdict::DoesNotFit,
            "{called} on {seat}"
        );
        assert_eq!(
            on_rim(&catalog, &size, other),
            Verdict::DoesNotFit,
            "{called} on {other}"
        );
    }
}

/// Width, bead seat and rolling circumference as published (`w-NORD`), both values where the list
/// has two.
const ROLLS: &[(i64, i64, &[i64])] = &[
    (47, 305, &[1272]),
    (35, 349, &[1282]),
    (28, 369, &[1325]),
    (47, 406, &[1590]),
    (50, 406, &[1593]),
    (28, 451, &[1618]),
    (47, 507, &[1907]),
    (50, 507, &[1910]),
    (34, 540, &[1948]),
    (32, 559, &[1953]),
    (40, 559, &[2026]),
    (44, 559, &[2051]),
    (47, 559, &[2055, 2070]),
    (50, 559, &[2089]),
    (54, 559, &[2114]),
    (57, 559, &[2133]),
    (60, 559, &[2146]),
    (20, 571, &[1954]),
    (23, 571, &[1973]),
    (25, 571, &[1952]),
    (35, 590, &[2068]),
    (37, 590, &[2105]),
    (18, 622, &[2102]),
    (20, 622, &[2086, 2114]),
    (23, 622, &[2097, 2133]),
    (25, 622, &[2105, 2146]),
    (28, 622, &[2136, 2149]),
    (32, 622, &[2155, 2174]),
    (35, 622, &[2168]),
    (37, 622, &[2205]),
    (38, 622, &[2180]),
    (40, 622, &[2224]),
    (44, 622, &[2224]),
    (47, 622, &[2268]),
    (50, 622, &[2284]),
    (60, 622, &[2340]),
    (28, 630, &[2155]),
    (32, 630, &[2161, 2199]),
    (35, 630, &[2169]),
    (40, 635, &[2265]),
];

#[test]
fn the_outside_diameter_holds_every_published_circumference() {
    let catalog = Catalog::compiled();
    let family = family_named("wheel_change").unwrap();
    let taller = &catalog.book(family).sheet.bands[0];
    for (width, seat, all) in ROLLS {
        let (width, seat) = (
            Span::exactly(width * 1_000_000),
            Span::exactly(seat * 1_000_000),
        );
        let row = taller.at(width, false).unwrap();
        let taller = Span {
            low: row.least.low,
            high: row.most.high,
        };
        let rolls = circumference(outside(seat, width, taller).unwrap()).unwrap();
        for known in *all {
            let known = known * 1_000_000;
            assert!(
                rolls.low <= known && known <= rolls.high,
                "{width:?} {seat:?}: {known} outside {rolls:?}"
            );
        }
    }
}

fn mm(value: f64) -> Span {
    let text = format!("{:.0}", value * 1.0e6);
    Span::exactly(text.parse().unwrap())
}

/// The claims on a tyre in its room; fields by name.
fn room(catalog: &Catalog, known: &[(&str, &str, Span)]) -> (Verdict, Vec<Claim>) {
    let family = family_named("tyre_clearance").unwrap();
    let readings: Vec<(Field, Reading)> = known
        .iter()
        .map(|(end, field, span)| {
            let index = FAMILIES[family].end_index(end).unwrap();
            let place = FAMILIES[family].ends[index]
                .fields
                .iter()
                .position(|known| known.name == *field);
            let field = Field {
                end: u8::try_from(index).unwrap(),
                field: u8::try_from(place.unwrap()).unwrap(),
            };
            (
                field,
                Reading {
                    cases: Cases::Numbers(vec![*span]),
                    origin: Origin::Catalogue(0),
                },
            )
        })
        .collect();
    let mut cells = Cells::of(&FAMILIES[family]);
    for end in 0..FAMILIES[family].ends.len() {
        cells.put(end);
    }
    for (field, reading) in &readings {
        cells.set(*field, Some(reading));
    }
    let judgement = judge(catalog, family, &cells, Setting::default());
    (judgement.verdict, judgement.claims().to_vec())
}

fn value(claims: &[Claim], code: &str) -> Option<Span> {
    let family = family_named("tyre_clearance").unwrap();
    let code = FAMILIES[family]
        .codes
        .iter()
        .position(|known| *known == code)
        .unwrap();
    let claim = claims
        .iter()
        .find(|claim| usize::from(claim.code) == code)?;
    claim.value.map(|(_, span)| span)
}

/// Tyres that somebody measured on a rim: number, rim's inner width, width. `u-BESC` measured one
/// mountain tyre on three rims, `u-LFGW` a road tyre on two; `w-SCHW` gives both ends for a gravel
/// tyre; the rest is a maker's table, `w-SCHR`, whose rims go up by 2 mm from 15.
const MEASURED: &[(f64, f64, f64)] = &[
    (58.0, 21.0, 55.54),
    (58.0, 30.0, 57.54),
    (58.0, 39.0, 61.51),
    (25.0, 21.0, 30.0),
    (25.0, 16.5, 26.5),
    (40.0, 19.0, 39.0),
    (40.0, 25.0, 45.0),
    (25.0, 17.0, 24.0),
    (25.0, 19.0, 25.0),
    (25.0, 21.0, 26.0),
    (28.0, 17.0, 27.0),
    (28.0, 19.0, 28.0),
    (28.0, 21.0, 29.0),
    (28.0, 23.0, 30.0),
    (30.0, 19.0, 29.0),
    (30.0, 21.0, 30.0),
    (30.0, 23.0, 31.0),
    (30.0, 25.0, 32.0),
];

#[test]
fn the_mounted_width_holds_what_was_measured() {
    let catalog = Catalog::compiled();
    for (width, inner, found) in MEASURED {
        let known = [
            ("tyre", "width", mm(*width)),
            ("rim", "inner_width", mm(*inner)),
        ];
        let told = value(&room(&catalog, &known).1, "mounted-width").unwrap();
        assert!(
            told.holds(mm(*found)),
            "{width} on {inner}: {found} outside {told:?}"
        );
        // A width that says nothing would hold anything.
        assert!(
            told.high - told.low <= 25_000_000,
            "{width} on {inner}: {told:?}"
        );
    }
}

/// The same sum in floating point, at points all over what the sources allow: none may lie outside
/// what is told, and a fit must leave enough at every one of them.
#[test]
fn no_sampled_tyre_is_closer_to_the_stays_than_told() {
    let catalog = Catalog::compiled();
    let (mut fits, mut fails) = (0, 0);
    for width in [20.0, 23.0, 25.0, 28.0, 32.0, 37.0, 40.0, 47.0, 57.0, 60.0] {
        for inner in [13.0, 15.0, 17.0, 19.0, 21.0, 25.0, 30.0, 35.0] {
            for space in [30.0, 36.0, 42.0, 50.0, 62.0, 80.0, 100.0] {
                let known = [
                    ("tyre", "width", mm(width)),
                    ("tyre", "bead_seat", mm(622.0)),
                    ("rim", "inner_width", mm(inner)),
                    ("place", "room", mm(space)),
                    ("place", "reach", mm(420.0)),
                    ("place", "wheel", mm(622.0)),
                ];
                let (verdict, _) = room(&catalog, &known);
                let now: f64 = match width {
                    w if w < 21.5 => 15.0,
                    w if w < 24.5 => 17.0,
                    w if w < 28.5 => 19.0,
                    w if w < 34.5 => 21.0,
                    w if w < 46.5 => 23.0,
                    w if w < 57.5 => 25.0,
                    _ => 30.0,
                };
                let once = width * if width < 30.0 { 0.65 } else { 0.55 };
                let off = if width < 34.5 { 1.0 } else { 3.0 };
                let (mut least, mut most) = (f64::MAX, f64::MIN);
                for on in [now, once, (now + once) / 2.0] {
                    for share in [0.2, 0.5, 1.0] {
                        for slip in [-off, 0.0, off] {
                            for growth in [0.0, 1.0, 2.0] {
                                let stands = width + share * (inner - on) + slip + growth;
                                let left = (space - stands) / 2.0;
                                least = least.min(left);
                                most = most.max(left);
                            }
                        }
                    }
                }
                match verdict {
                    Verdict::Fits => {
                        assert!(
                            least >= 6.0 - 1e-6,
                            "{width} on {inner} in {space}: {least}"
                        );
                        fits += 1;
                    }
                    Verdict::DoesNotFit => {
                        assert!(most < 1.6 + 1e-6, "{width} on {inner} in {space}: {most}");
                        fails += 1;
                    }
                    _ => assert!(
                        least < 6.0 && most >= 1.6 - 1e-6,
                        "{width} on {inner} in {space}"
                    ),
                }
            }
        }
    }
    assert!(fits > 50 && fails > 50, "{fits} fit, {fails} do not");
}

/// Rims that tyres are measured on since 2020 (`w-VITT`), cell by cell.
/// On every page that keeps the table: two pages must not come to tell two rims of one tyre.
#[test]
fn every_tyre_is_measured_on_the_rim_of_the_table() {
    let catalog = Catalog::compiled();
    let mut pages = 0;
    for (family, told) in FAMILIES.iter().enumerate() {
        let named = |(name, ..): &(&str, _, _)| *name == "measured_on";
        let Some(at) = told.bands.iter().position(named) else {
            continue;
        };
        pages += 1;
        let table = &catalog.book(family).sheet.bands[at];
        for (low, high, rim) in super::bands::MEASURED_ON {
            let rim = Span::exactly(rim * 1_000_000);
            for width in *low..=*high {
                let row = table.at(Span::exactly(width * 1_000_000), false).unwrap();
                assert_eq!((row.least, row.most), (rim, rim), "{}, {width}", told.name);
            }
        }
    }
    assert!(pages >= 2, "{pages}");
}

#[test]
fn a_wider_tyre_never_has_more_room_and_a_wider_place_never_less() {
    let catalog = Catalog::compiled();
    let rank = |width: f64, space: f64| {
        let known = [
            ("tyre", "width", mm(width)),
            ("tyre", "bead_seat", mm(622.0)),
            ("rim", "inner_width", mm(21.0)),
            ("place", "room", mm(space)),
            ("place", "reach", mm(420.0)),
            ("place", "wheel", mm(622.0)),
        ];
        let (_, claims) = room(&catalog, &known);
        let no = claims.iter().any(|claim| claim.holds == Holds::No);
        let open = claims.iter().any(|claim| claim.holds == Holds::Open);
        if no { 2 } else { u8::from(open) }
    };
    for (narrow, wide) in [(35.0, 40.0), (40.0, 45.0), (45.0, 50.0), (50.0, 57.0)] {
        for space in [40.0, 48.0, 56.0, 64.0, 80.0] {
            assert!(
                rank(narrow, space) <= rank(wide, space),
                "{narrow} {wide} in {space}"
            );
            assert!(
                rank(wide, space) >= rank(wide, space + 6.0),
                "{wide} in {space}"
            );
        }
    }
}
