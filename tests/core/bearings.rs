//! What the catalogue says of a bearing by its number, against published tables and against the
//! rule of the numbers.
//!
//! The tables: BOSL2, ball_bearings.scad; BOLTS, bearings.blt (DIN 625-1, after a maker's list). The
//! rule: bearings from 20 mm of bore carry a fifth of it as their last two figures, and 00 to 03 are
//! 10, 12, 15 and 17 mm (KakProsto, how to determine bearing size).

use compat_core::Catalog;
use compat_core::dim::Cases;
use compat_core::joints::{FAMILIES, family_named};
use compat_core::verdict::Field;

/// Number, bore, outside and width in millimetres.
const BOSL2: &[(&str, i64, i64, i64)] = &[
    ("608", 8, 22, 7),
    ("629", 9, 26, 8),
    ("6000", 10, 26, 8),
    ("6001", 12, 28, 8),
    ("6002", 15, 32, 9),
    ("6003", 17, 35, 10),
    ("6007", 35, 62, 14),
    ("6200", 10, 30, 9),
    ("6201", 12, 32, 10),
    ("6202", 15, 35, 11),
    ("6203", 17, 40, 12),
    ("6204", 20, 47, 14),
    ("6205", 25, 52, 15),
    ("6800", 10, 19, 5),
    ("6801", 12, 21, 5),
    ("6802", 15, 24, 5),
    ("6803", 17, 26, 5),
    ("6804", 20, 32, 7),
    ("6805", 25, 37, 7),
    ("6806", 30, 42, 7),
    ("6900", 10, 22, 6),
    ("6901", 12, 24, 6),
    ("6902", 15, 28, 7),
    ("6903", 17, 30, 7),
    ("6904", 20, 37, 9),
    ("6905", 25, 42, 9),
    ("6906", 30, 47, 9),
    ("6907", 35, 55, 10),
    ("6908", 40, 62, 12),
    ("16004", 20, 42, 8),
    ("16005", 25, 47, 8),
];

const BOLTS: &[(&str, i64, i64, i64)] = &[
    ("626", 6, 19, 6),
    ("627", 7, 22, 7),
    ("608", 8, 22, 7),
    ("609", 9, 24, 7),
    ("629", 9, 26, 8),
    ("6000", 10, 26, 8),
    ("6200", 10, 30, 9),
    ("6001", 12, 28, 8),
    ("6201", 12, 32, 10),
    ("16002", 15, 32, 8),
    ("6002", 15, 32, 9),
    ("6202", 15, 35, 11),
    ("16003", 17, 35, 8),
    ("6003", 17, 35, 10),
    ("6203", 17, 40, 12),
    ("16004", 20, 42, 8),
    ("6004", 20, 42, 12),
    ("6204", 20, 47, 14),
    ("16005", 25, 47, 8),
    ("6005", 25, 47, 12),
    ("6205", 25, 52, 15),
    ("6006", 30, 55, 13),
    ("6007", 35, 62, 14),
];

/// What the page says of a number at an end: field by field, the value in nanometres where it is one.
fn sizes(catalog: &Catalog, end: &str) -> Vec<(String, Vec<(&'static str, i64)>)> {
    let family = family_named("bearing_in_seat").unwrap();
    let definition = &FAMILIES[family];
    let end = definition.end_index(end).unwrap();
    let name = |field: Field| definition.field(field).unwrap().name;
    let mut found = Vec::new();
    for row in catalog
        .book(family)
        .implied
        .iter()
        .filter(|row| row.end == end)
    {
        let (_, Cases::Names(numbers)) = &row.when[0] else {
            panic!("a number is a name");
        };
        let gives = row.gives.iter().filter_map(|(field, cases)| match cases {
            Cases::Numbers(spans) if spans.len() == 1 && spans[0].is_exact() => {
                Some((name(*field), spans[0].low))
            }
            _ => None,
        });
        let gives: Vec<_> = gives.collect();
        for number in numbers {
            let title = catalog.lists()[usize::from(number.list)].names[usize::from(number.name)]
                .title
                .to_string();
            found.push((title, gives.clone()));
        }
    }
    found
}

fn value(gives: &[(&str, i64)], field: &str) -> Option<i64> {
    gives
        .iter()
        .find(|(name, _)| *name == field)
        .map(|(_, value)| *value)
}

/// The bore a number stands for, after the rule; `None` for numbers it does not speak of.
fn bore_by_rule(number: &str) -> Option<i64> {
    let figures: Option<Vec<i64>> = number
        .chars()
        .map(|figure| figure.to_digit(10).map(i64::from))
        .collect();
    let figures = figures?;
    let last = |count: usize| {
        figures[figures.len() - count..]
            .iter()
            .fold(0, |all, figure| all * 10 + figure)
    };
    match figures.len() {
        3 => Some(last(1)),
        _ => Some(match last(2) {
            0 => 10,
            1 => 12,
            2 => 15,
            3 => 17,
            code => code * 5,
        }),
    }
}

#[test]
fn published_tables() {
    let catalog = Catalog::compiled();
    let page = sizes(&catalog, "bearing");
    for (number, bore, outside, width) in BOSL2.iter().chain(BOLTS) {
        let (_, gives) = page
            .iter()
            .find(|(title, _)| title == number)
            .unwrap_or_else(|| panic!("{number} is not listed"));
        for (field, printed) in [
            ("bore", bore),
            ("outside", outside),
            ("width", width),
            ("inner_width", width),
        ] {
            assert_eq!(
                value(gives, field),
                Some(printed * 1_000_000),
                "{number} {field}"
            );
        }
    }
}

#[test]
fn the_number_tells_the_bore() {
    let catalog = Catalog::compiled();
    let mut tried = 0;
    for (number, gives) in sizes(&catalog, "bearing") {
        let (Some(rule), Some(bore)) = (bore_by_rule(&number), value(&gives, "bore")) else {
            continue;
        };
        assert_eq!(bore, rule * 1_000_000, "{number}");
        tried += 1;
    }
    assert!(tried > 40, "{tried} numbers");
}

#[test]
fn a_seat_named_by_a_number_is_the_bearings_own() {
    let catalog = Catalog::compiled();
    let (bearings, seats) = (sizes(&catalog, "bearing"), sizes(&catalog, "seat"));
    assert_eq!(bearings.len(), seats.len());
    for ((number, bearing), (other, seat)) in bearings.iter().zip(&seats) {
        assert_eq!(number, other);
        for (mine, theirs) in [
            ("bore", "axle"),
            ("outside", "bore"),
            ("width", "width"),
            ("inner_width", "inner_width"),
        ] {
            assert_eq!(value(bearing, mine), value(seat, theirs), "{number} {mine}");
        }
    }
}

/// No two numbers of the list are one size, so that none can stand for another unseen.
#[test]
fn every_number_is_a_size_of_its_own() {
    let catalog = Catalog::compiled();
    let whole: Vec<_> = sizes(&catalog, "bearing")
        .into_iter()
        .filter(|(_, gives)| gives.len() == 4)
        .collect();
    for (at, (number, gives)) in whole.iter().enumerate() {
        for (other, theirs) in &whole[at + 1..] {
            assert_ne!(gives, theirs, "{number} and {other}");
        }
    }
}
