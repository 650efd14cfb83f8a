//! A page begun with a kind of bike: nothing in it is taken as known, every line of it can be used, and
//! it stands in the order in which one gets at things.

use std::fs;

use compat_core::catalog::{Access, Body};
use compat_core::dim::{Quantity, Span, show_value};
use compat_core::{Catalog, Job};

use crate::program::{root, run};

fn kinds() -> Vec<String> {
    let folder = fs::read_dir(root().join("catalog/likes")).unwrap();
    let names = folder.map(|entry| entry.unwrap().path());
    let mut names: Vec<String> = names
        .map(|path| path.file_stem().unwrap().to_string_lossy().into_owned())
        .collect();
    names.sort();
    names
}

fn page(kind: &str) -> String {
    let run = run(&["new", "bike", "--like", kind]);
    assert_eq!((run.code, run.err.as_str()), (0, ""), "{kind}");
    run.out
}

/// The lines that can be used: slot, what is said of it, and the line without its mark.
fn rows(page: &str) -> Vec<(String, String, String)> {
    let row = |line: &str| {
        let bare = line.strip_prefix("# ")?;
        let (path, _) = bare.split_once(" = ")?;
        let (slot, name) = path.split_once('.')?;
        let plain = |word: &str| word.chars().all(|c| c.is_ascii_alphanumeric() || c == '_');
        (plain(slot) && plain(name)).then(|| (slot.to_owned(), name.to_owned(), bare.to_owned()))
    };
    page.lines().filter_map(row).collect()
}

/// What a person might write there.
fn value(catalog: &Catalog, body: &Body, name: &str) -> String {
    let middle = |number: usize| {
        let dimension = &body.dimensions[number];
        match dimension.list {
            Some(list) => catalog.lists()[list].names[0].name.to_string(),
            None => {
                let Span { low, high } = dimension.range;
                show_value(dimension.quantity, low + (high - low) / 2)
            }
        }
    };
    if name == "complaint" {
        return body.complaints[0].word.to_string();
    }
    if let Some(number) = body.dimension(name) {
        return middle(number);
    }
    let short = body.shorthands.iter().find(|short| short.name == name);
    let mut out = String::new();
    let mut rest = short.unwrap().written[0].as_str();
    while let Some((letters, after)) = rest.split_once('{') {
        let (names, after) = after.split_once('}').unwrap();
        let first = names.split([',', ':']).next().unwrap();
        let number = body.dimension(first).unwrap();
        let text = middle(number);
        out.push_str(letters);
        // In a notation numbers stand without a unit.
        out.push_str(match body.dimensions[number].quantity {
            Quantity::Name => &text,
            _ => text.split(' ').next().unwrap(),
        });
        rest = after;
    }
    out + rest
}

fn read(catalog: &Catalog, text: &str) -> Result<compat_core::Bike, String> {
    let mut job = Job::new(catalog);
    job.bike("bike.toml", text.as_bytes()).map_err(|faults| {
        let faults = faults.0.iter();
        faults.map(|fault| fault.show(job.files()) + "\n").collect()
    })
}

#[test]
fn a_page_as_written_says_nothing() {
    let catalog = Catalog::compiled();
    let kinds = kinds();
    assert!(kinds.len() >= 6, "{kinds:?}");
    for kind in kinds {
        let page = page(&kind);
        let said = page
            .lines()
            .find(|line| !line.is_empty() && !line.starts_with('#'));
        assert_eq!(said, None, "{kind}");
        let bike = read(&catalog, &page).unwrap();
        let parts = bike.parts.iter().flatten();
        let mut entries = parts.flat_map(|part| &part.entries);
        assert!(entries.all(compat_core::dim::Entry::is_unknown), "{kind}");
        assert!(bike.looks.is_empty(), "{kind}");
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join("bike.toml"), page).unwrap();
        let words = ["check", "bike.toml"].map(str::to_owned);
        let run = crate::program::run_in(folder.path(), &words, b"");
        assert_eq!((run.code, run.err.as_str()), (3, ""), "{kind}: {}", run.out);
    }
}

/// Each line by itself, all of them at once left open, and all of them at once with a value.
#[test]
fn every_line_of_a_page_can_be_used() {
    let catalog = Catalog::compiled();
    for kind in kinds() {
        let rows = rows(&page(&kind));
        assert!(rows.len() > 150, "{kind}: {} lines", rows.len());
        let open = rows.iter().filter(|(_, name, _)| name != "complaint");
        let open: Vec<&str> = open.map(|(_, _, line)| line.as_str()).collect();
        read(&catalog, &open.join("\n")).unwrap_or_else(|wrong| panic!("{kind}: {wrong}"));
        for (slot, name, _) in &rows {
            let place = catalog.slot_named(slot).unwrap();
            let body = catalog.body(catalog.slots()[place].kind);
            let value = value(&catalog, body, name);
            let line = format!("{slot}.{name} = \"{value}\"");
            let bike =
                read(&catalog, &line).unwrap_or_else(|wrong| panic!("{kind}: {line}: {wrong}"));
            let part = bike.part(place).unwrap();
            let known = part.entries.iter().any(|entry| !entry.is_unknown());
            assert!(known || !part.complaints.is_empty(), "{kind}: {line}");
        }
    }
}

/// Nothing that wants a part off stands before what is had without; each line says how it is taken.
#[test]
fn a_page_stands_in_the_order_of_the_bench() {
    let catalog = Catalog::compiled();
    let order = [
        Access::Assembled,
        Access::Asked,
        Access::WheelOut,
        Access::PartOff,
        Access::Stripped,
    ];
    for kind in kinds() {
        let page = page(&kind);
        let mut last = 0;
        let after = page.split_once("# --- On the assembled bike").unwrap().1;
        for (slot, name, line) in rows(after) {
            let place = catalog.slot_named(&slot).unwrap();
            let body = catalog.body(catalog.slots()[place].kind);
            let Some(number) = body.dimension(&name) else {
                continue;
            };
            let dimension = &body.dimensions[number];
            let here = order.iter().position(|access| *access == dimension.access);
            assert!(here.unwrap() >= last, "{kind}: {line}");
            last = here.unwrap();
            assert!(line.contains(dimension.how.as_str()), "{kind}: {line}");
        }
        assert!(last >= 3, "{kind}");
    }
}

#[test]
fn a_kind_nobody_knows_is_refused() {
    let wrong = run(&["new", "bike", "--like", "raod"]);
    assert_eq!(wrong.code, 2);
    assert!(wrong.err.contains("`road`"), "{}", wrong.err);
    assert_eq!(run(&["new", "swap", "--like", "road"]).code, 2);
}

/// `--set` speaks of the part that is fitted where `--swap` brings the new one, in whatever order; and
/// what is asked in one line is what a file would ask.
#[test]
fn a_question_in_one_line_is_the_question_of_a_file() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(
        folder.path().join("bike.toml"),
        "seatpost.diameter = 31.6\n",
    )
    .unwrap();
    fs::write(folder.path().join("bare.toml"), "").unwrap();
    fs::write(
        folder.path().join("swap.toml"),
        "seatpost.diameter = 30.9\n",
    )
    .unwrap();
    let check = |words: &str| {
        let words = crate::program::words(&format!("check {words} --format json"));
        let run = crate::program::run_in(folder.path(), &words, b"");
        assert_eq!(run.err, "");
        let report: serde_json::Value = serde_json::from_str(&run.out).unwrap();
        let verdicts = |name: &str| -> Vec<String> {
            let found = report[name].as_array().unwrap().iter();
            found
                .map(|one| format!("{} {}", one["joint"], one["verdict"]))
                .collect()
        };
        (run.code, verdicts("findings"), verdicts("quiet"))
    };
    let file = check("bike.toml swap.toml");
    assert!(!file.1.is_empty());
    assert_eq!(check("bike.toml --swap seatpost.diameter=30.9"), file);
    let said = "--swap seatpost.diameter=30.9 --set seatpost.diameter=31.6";
    assert_eq!(check(&format!("bare.toml {said}")), file);
    let said = "--set seatpost.diameter=31.6 --swap seatpost.diameter=30.9";
    assert_eq!(check(&format!("bare.toml {said}")), file);
    let bad = crate::program::words("check bare.toml --swap seatpst.diameter=30.9");
    assert_eq!(crate::program::run_in(folder.path(), &bad, b"").code, 2);
}
