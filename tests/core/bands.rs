//! Tyres on rims against the published table, cell by cell.

use compat_core::Catalog;
use compat_core::dim::{Cases, Origin, Reading, Span};
use compat_core::joints::{Cells, FAMILIES, family_named};
use compat_core::solve::{Setting, judge};
use compat_core::verdict::{Field, Verdict};

/// The table of permitted widths of 2006 (`w-DE06` among the sources): inner width of the rim, the
/// tyre widths of the earlier edition, and those that the edition of 2006 added.
const TABLE: &[(i64, &[i64], &[i64])] = &[
    (13, &[18, 20, 23, 25], &[]),
    (15, &[23, 25, 28, 32], &[]),
    (17, &[25, 28, 32, 35, 37], &[40, 44, 47, 50]),
    (19, &[28, 32, 35, 37, 40, 44, 47], &[50, 54, 57, 60, 62]),
    (21, &[35, 37, 40, 44, 47, 50], &[54, 57, 60, 62]),
    (23, &[37, 40, 44, 47, 50], &[54, 57, 60, 62]),
    (25, &[44, 47, 50, 54, 57, 60], &[62]),
    (27, &[], &[47, 50, 54, 57, 60, 62]),
    (29, &[], &[54, 57, 60, 62]),
];

/// Rims that tyres are measured on since 2020 (`w-VITT`): narrowest and widest tyre, rim.
pub const MEASURED_ON: &[(i64, i64, i64)] = &[
    (18, 21, 15),
    (22, 24, 17),
    (25, 28, 19),
    (29, 34, 21),
    (35, 46, 23),
    (47, 57, 25),
    (58, 65, 30),
    (66, 71, 35),
    (72, 83, 45),
    (84, 113, 76),
    (114, 132, 94),
];

/// How much wider than the rim's inside a tyre is to be at least since 2023 (`w-CYWK`, `y-CWIR`).
const WIDER: i64 = 5;

fn verdict(catalog: &Catalog, tyre: i64, rim: i64) -> Verdict {
    let family = family_named("tyre_on_rim").unwrap();
    let reading = |millimetres: i64| Reading {
        cases: Cases::Numbers(vec![Span::exactly(millimetres * 1_000_000)]),
        origin: Origin::Catalogue(0),
    };
    // The C behind a rim's width says that it has hooks.
    let hooked = Reading {
        cases: Cases::Names(vec![catalog.label_at("rim_flange.hooked").unwrap()]),
        origin: Origin::Catalogue(0),
    };
    let (tyre, rim, seat) = (reading(tyre), reading(rim), reading(622));
    let mut cells = Cells::of(&FAMILIES[family]);
    for (end, width) in [(0, &tyre), (1, &rim)] {
        cells.put(end.into());
        cells.set(Field { end, field: 0 }, Some(width));
        cells.set(Field { end, field: 1 }, Some(&seat));
    }
    cells.set(Field { end: 1, field: 2 }, Some(&hooked));
    judge(catalog, family, &cells, Setting::default()).verdict
}

#[test]
fn widths_of_both_editions_fit_and_added_ones_are_never_refused() {
    let catalog = Catalog::compiled();
    for (rim, both, added) in TABLE {
        for tyre in *both {
            assert_eq!(
                verdict(&catalog, *tyre, *rim),
                Verdict::Fits,
                "{tyre} on {rim}"
            );
        }
        for tyre in *added {
            assert_ne!(
                verdict(&catalog, *tyre, *rim),
                Verdict::DoesNotFit,
                "{tyre} on {rim}"
            );
        }
    }
}

#[test]
fn nothing_outside_every_table_fits() {
    let catalog = Catalog::compiled();
    for tyre in 16..=132 {
        for (rim, both, added) in TABLE {
            let listed = both.iter().chain(*added);
            let most = *listed.clone().max().unwrap();
            let later = (rim + WIDER..=most).contains(&tyre);
            let range = listed.clone().min().unwrap()..=listed.max().unwrap();
            let measured = MEASURED_ON
                .iter()
                .any(|(low, high, on)| on == rim && (*low..=*high).contains(&tyre));
            if !range.contains(&&tyre) && !measured && !later {
                assert_ne!(
                    verdict(&catalog, tyre, *rim),
                    Verdict::Fits,
                    "{tyre} on {rim}"
                );
            }
        }
    }
}

#[test]
fn no_tyre_is_refused_on_the_rim_it_is_measured_on() {
    let catalog = Catalog::compiled();
    for (low, high, rim) in MEASURED_ON {
        for tyre in *low..=*high {
            assert_ne!(
                verdict(&catalog, tyre, *rim),
                Verdict::DoesNotFit,
                "{tyre} on {rim}"
            );
        }
    }
}
