//! The order list: equal parts counted, unequal ones kept apart, and nothing ordered that does not fit.

use compat_core::{Catalog, Job, Options};

/// A list as lines: how many, how they would sit, and the slots.
fn list(bike: &str, swap: Option<&str>) -> Vec<(usize, &'static str, String, String)> {
    let catalog = Catalog::compiled();
    let mut job = Job::new(&catalog);
    let bike = job.bike("bike.toml", bike.as_bytes()).unwrap();
    let swap = swap.map(|swap| job.swap("swap.toml", swap.as_bytes(), None).unwrap());
    let report = job.check(&bike, swap.as_ref(), Options::default());
    let lines = report.order.iter();
    lines
        .map(|line| {
            let slots = line.slots.join(", ");
            (line.count, line.verdict, line.what.clone(), slots)
        })
        .collect()
}

#[test]
fn equal_seats_are_counted_and_unequal_ones_kept_apart() {
    let bike = r#"
        pivot_1 = { bearing = "6902", make = "MAX", seal = "2RS" }
        pivot_2 = { bearing = "6902", make = "MAX", seal = "2RS" }
        pivot_3 = { bearing = "6902", make = "MAX" }
        pivot_4 = { bearing = "6902", make = "caged", seal = "2RS" }
        pivot_5 = { bearing = "6902", make = "MAX", seal = "2RS", inner_width = 11 }
        pivot_6 = { bearing = "6802", make = "MAX", seal = "2RS" }
    "#;
    let list = list(bike, None);
    let counts: Vec<usize> = list.iter().map(|line| line.0).collect();
    assert_eq!(counts, [2, 1, 1, 1, 1], "{list:#?}");
    assert!(list.iter().all(|line| line.1 == "fits"), "{list:#?}");
    assert!(list[3].2.contains("11 mm"), "{list:#?}");
}

#[test]
fn a_width_that_the_number_says_anyway_makes_no_other_part() {
    let bike = r#"
        pivot_1 = { bearing = "6902 caged" }
        pivot_2 = { bearing = "6902", width = 7, bore = 28, make = "deep groove" }
    "#;
    let list = list(bike, None);
    assert_eq!(list.len(), 1, "{list:#?}");
    assert_eq!(list[0].0, 2);
}

#[test]
fn a_seat_known_by_its_number_alone_leaves_the_kind_open() {
    // A pivot takes caged and full bearings of one number; a hub of such a number is made for caged ones.
    let bike = r#"
        pivot_1 = { bearing = "6902 2RS" }
        rear_hub = { left_bearing = "6902-2RS" }
    "#;
    let list = list(bike, None);
    assert_eq!(list[0].1, "measure first", "{list:#?}");
    assert!(!list[0].2.contains("cage"), "{list:#?}");
    assert_eq!(list[1].1, "fits", "{list:#?}");
    assert!(list[1].2.contains("caged") || list[1].2.contains("in a cage"));
}

#[test]
fn what_stands_behind_the_number_is_read() {
    let all = [
        "6902 MAX",
        "6902-MAX",
        "6902 2RS MAX",
        "6902-2RS MAX",
        "6902 MAX 2RS",
        "6902LLU VRS",
        "61902-2RS-MAX",
    ];
    for written in all {
        let list = list(&format!("pivot_1 = {{ bearing = {written:?} }}"), None);
        assert!(list[0].2.contains("no cage"), "{written}: {list:#?}");
        let sealed = list[0].2.contains("seals") && !list[0].2.contains("not known");
        assert_eq!(sealed, written.contains("2RS"), "{written}: {list:#?}");
    }
    let bike = "pivot_1 = { bearing = \"6902 2RS MAX\", make = \"caged\" }";
    let catalog = Catalog::compiled();
    let twice = Job::new(&catalog).bike("bike.toml", bike.as_bytes());
    let said = format!("{:?}", twice.unwrap_err());
    assert!(said.contains("is said twice, and differently"), "{said}");
}

#[test]
fn a_bike_that_lists_no_bearing_has_no_list() {
    assert!(list("seatpost = { diameter = 27.2 }", None).is_empty());
    let swap = "rear_tyre = { size = \"37-622\" }";
    assert!(list("pivot_1 = { bearing = \"6902\" }", Some(swap)).is_empty());
}

#[test]
fn what_sits_there_speaks_where_the_seat_is_silent() {
    let bike = r#"
        pivot_1 = { }
        pivot_bearing_1 = { designation = "6902", make = "MAX", complaint = "rough" }
        pivot_2 = { }
    "#;
    let list = list(bike, None);
    assert_eq!(list.len(), 2, "{list:#?}");
    assert!(list[0].2.contains("6902") && list[0].2.contains("no cage"));
    assert_eq!(
        (list[1].1, list[1].2.as_str()),
        ("measure first", "bearing")
    );
}

#[test]
fn a_worn_or_wrong_seat_is_told_before_the_order() {
    let bike = r#"pivot_1 = { bearing = "6902", bore = "measured 28.3" }"#;
    assert_eq!(list(bike, None)[0].1, "does not fit");
}

#[test]
fn a_new_part_is_what_it_says_and_no_more() {
    let bike = r#"
        pivot_1 = { bearing = "6902", make = "MAX" }
        pivot_2 = { bearing = "6902", make = "MAX" }
        pivot_3 = { bearing = "6902", inner_width = 11 }
    "#;
    // A number alone is a caged bearing, whatever the seat would like; one of which nothing is said
    // is ordered as the seat wants it.
    let swap = r#"
        pivot_bearing_1 = { designation = "6902" }
        pivot_bearing_2 = { }
        pivot_bearing_3 = { designation = "6902" }
    "#;
    let list = list(bike, Some(swap));
    assert_eq!(list.len(), 2, "{list:#?}");
    assert_eq!(list[0].3, "pivot bearing 1, pivot bearing 3");
    assert_eq!(list[0].1, "does not fit");
    assert!(list[0].2.contains("cage") && !list[0].2.contains("no cage"));
    assert_eq!(list[1].1, "fits");
    assert!(list[1].2.contains("no cage"));
}
