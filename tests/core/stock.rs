//! A list of stock is read cell by cell, and each part is made when it is asked for: what comes of a
//! line must be what the same part says where it is written as a table of its own.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use compat_core::catalog::Part;
use compat_core::dim::Cases;
use compat_core::{Catalog, Job, Stock};
use proptest::prelude::*;

fn catalog() -> &'static Catalog {
    static CATALOG: OnceLock<Catalog> = OnceLock::new();
    CATALOG.get_or_init(Catalog::compiled)
}

/// What is known of a dimension: stated, measured, and whether the two disagree.
type Known = (Option<Cases>, Option<Cases>, bool);

fn said(part: &Part) -> (Vec<Known>, Vec<usize>) {
    let entries = part.entries.iter().map(|entry| {
        let cases = |reading: &Option<compat_core::dim::Reading>| {
            reading.as_ref().map(|reading| reading.cases.clone())
        };
        (
            cases(&entry.stated),
            cases(&entry.measured),
            entry.disagrees,
        )
    });
    let complaints = part.complaints.iter().map(|(number, _)| *number);
    (entries.collect(), complaints.collect())
}

/// A line as a table; nothing where it is refused.
fn as_table(cells: &[(String, String)]) -> Option<Stock> {
    let mut text = "[[part]]\n".to_owned();
    // A column nobody knows is passed over in a list.
    let known = |(column, cell): &&(String, String)| !cell.is_empty() && column != "bought";
    for (column, cell) in cells.iter().filter(known) {
        match column.as_str() {
            "complaint" => {
                let words: Vec<&str> = cell.split(", ").collect();
                text.push_str(&format!("complaint = {words:?}\n"));
            }
            _ => text.push_str(&format!("{column} = {cell:?}\n")),
        }
    }
    let mut job = Job::new(catalog());
    job.stock("bin.toml", text.as_bytes()).ok()
}

fn as_list(lines: &[Vec<(String, String)>]) -> Option<Stock> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    let header = lines.first()?.iter().map(|(column, _)| column);
    writer.write_record(header).unwrap();
    for line in lines {
        writer
            .write_record(line.iter().map(|(_, cell)| cell))
            .unwrap();
    }
    let mut job = Job::new(catalog());
    job.stock("bin.csv", writer.into_inner().unwrap()).ok()
}

/// Every part of a list beside the same part as a table; how many there were.
fn compare(lines: &[Vec<(String, String)>]) -> usize {
    let Some(stock) = as_list(lines) else {
        // Then one of them is refused as a table too.
        assert!(
            lines.iter().any(|line| as_table(line).is_none()),
            "{lines:?}"
        );
        return 0;
    };
    for (line, cells) in stock.lines.iter().zip(lines) {
        let table = as_table(cells).unwrap();
        let (mine, theirs) = (stock.part(line).unwrap(), table.makes.part(0).unwrap());
        assert_eq!(said(&mine), said(theirs), "{cells:?}");
        // And the values by number are those that decide.
        let known: BTreeMap<usize, &Cases> = stock
            .makes
            .known(line.make as usize)
            .iter()
            .map(|(number, value)| (usize::from(*number), stock.makes.value(*value).unwrap()))
            .collect();
        let decides = mine.entries.iter().enumerate();
        let decides =
            decides.filter_map(|(number, entry)| Some((number, &entry.deciding()?.cases)));
        assert_eq!(known, decides.collect(), "{cells:?}");
    }
    stock.lines.len()
}

#[test]
fn the_examples_read_cell_by_cell_as_they_read_as_tables() {
    for bin in [
        include_str!("../../examples/bin.csv"),
        include_str!("../../examples/prices.csv"),
    ] {
        let mut reader = csv::Reader::from_reader(bin.as_bytes());
        let header = reader.headers().unwrap().clone();
        let line = |record: csv::StringRecord| -> Vec<(String, String)> {
            let cells = header.iter().zip(&record);
            cells
                .map(|(column, cell)| (column.to_owned(), cell.to_owned()))
                .collect()
        };
        let lines: Vec<_> = reader
            .records()
            .map(|record| line(record.unwrap()))
            .collect();
        assert!(compare(&lines) > 10);
    }
}

#[test]
fn what_stands_in_wrong_order_is_told_of_a_line_too() {
    let mut job = Job::new(catalog());
    let list = "id,kind,smallest_cog,largest_cog\nA,cassette,11,34\nB,cassette,28,24\n";
    let faults = job.stock("bin.csv", list.as_bytes()).unwrap_err();
    let shown: Vec<String> = faults
        .0
        .iter()
        .map(|fault| fault.show(job.files()))
        .collect();
    assert_eq!(shown.len(), 1, "{shown:?}");
    assert!(shown[0].starts_with("bin.csv:3:3: "), "{}", shown[0]);
}

#[test]
fn a_mark_of_inches_closes_nothing() {
    let mut job = Job::new(catalog());
    let list = "id,kind,name,bead_seat\nA,tyre,tyre 28\",x y\n";
    let faults = job.stock("bin.csv", list.as_bytes()).unwrap_err();
    let shown: Vec<String> = faults
        .0
        .iter()
        .map(|fault| fault.show(job.files()))
        .collect();
    assert!(shown[0].starts_with("bin.csv:2:17: "), "{shown:?}");
    assert_eq!(shown.len(), 1, "{shown:?}");
    let sound = "id,kind,name,bead_seat\nA,tyre,tyre 28\",622\n";
    assert_eq!(
        job.stock("bin.csv", sound.as_bytes()).unwrap().lines.len(),
        1
    );
}

#[test]
fn a_condition_nothing_is_made_of_is_told_once() {
    let mut job = Job::new(catalog());
    let list = "id,kind,condition\nA,handlebar,crashed\nB,handlebar,crashed\nC,handlebar,Used\n";
    let stock = job.stock("bin.csv", list.as_bytes()).unwrap();
    assert_eq!(stock.warnings.len(), 1);
    assert!(stock.warnings[0].message.contains("crashed"));
}

#[test]
fn the_empty_rows_of_a_spreadsheet_are_passed_over() {
    let mut job = Job::new(catalog());
    let list = "id,kind,bead_seat,note\nA,tyre,622,\n,,,\n , ,\nB,tyre,559,\n,,,\n";
    let stock = job.stock("bin.csv", list.as_bytes()).unwrap();
    assert_eq!(
        stock.lines.iter().map(|line| line.line).collect::<Vec<_>>(),
        [2, 5]
    );
    let short = job.stock("bin.csv", b"id,kind\nA\n").unwrap_err();
    assert_eq!(
        short.0[0].message,
        "1 cell in a line where the header has 2"
    );
}

#[test]
fn what_says_nothing_is_answered_with_how_to_say_so() {
    let mut job = Job::new(catalog());
    let list = "id,kind,size,width,rail_shape\nA,tyre,n/a,,\nB,tyre,,N/A,\nC,saddle,,,n/a\n";
    let list = list.replace("rail_shape", "rails");
    let faults = job.stock("bin.csv", list.as_bytes()).unwrap_err();
    assert_eq!(faults.0.len(), 3, "{faults:?}");
    for fault in &faults.0 {
        let hint = fault.hint.as_deref().unwrap_or_default();
        assert!(hint.contains("write `?`"), "{fault:?}");
        assert_eq!(fault.nearest, None);
        assert!(
            fault.message.len() < 200 && !fault.message.contains('{'),
            "{}",
            fault.message
        );
    }
}

/// Rings are written with a stroke and with a dash.
#[test]
fn rings_are_read_either_way() {
    let mut job = Job::new(catalog());
    let list = "kind,id,rings\ncrankset,A,50/34\ncrankset,B,50-34\ncrankset,C,48/38/28\ncrankset,D,48-38-28\n\
                chainrings,E,53/39\nchainrings,F,53-39\n";
    let stock = job.stock("bin.csv", list.as_bytes()).unwrap();
    let part = |at: usize| said(&stock.part(&stock.lines[at]).unwrap());
    for at in [0, 2, 4] {
        assert_eq!(part(at), part(at + 1), "line {at}");
        assert_ne!(
            part(at),
            said(&Part {
                kind: stock.part(&stock.lines[at]).unwrap().kind,
                ..Part::default()
            })
        );
    }
    let faults = job
        .stock("bin.csv", b"kind,rings\ncrankset,a few\n")
        .unwrap_err();
    assert!(
        !faults.0[0].message.contains(','),
        "{}",
        faults.0[0].message
    );
}

/// A shorthand against what stands before it is no matter of its form.
#[test]
fn what_is_said_twice_is_told_alike_of_a_list_and_a_table() {
    let mut job = Job::new(catalog());
    let table = "[[part]]\nkind = \"tyre\"\nbead_seat = 584\nsize = \"25-622\"\n";
    let list = "kind,bead_seat,size\ntyre,584,25-622\n";
    for (name, text) in [("bin.toml", table), ("bin.csv", list)] {
        let faults = job.stock(name, text.as_bytes()).unwrap_err();
        assert_eq!(faults.0.len(), 1, "{name}: {faults:?}");
        assert_eq!(
            faults.0[0].message,
            "`bead_seat` is said twice, and differently"
        );
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    /// Cells that say the same dimension twice, in names and in numbers, in any order of columns; worn
    /// and new; with complaints; equal lines and others.
    #[test]
    fn lines_read_as_tables(
        order in Just(vec!["kind", "size", "diameter", "length", "condition", "complaint", "drop"]).prop_shuffle(),
        rows in proptest::collection::vec(
            (
                prop_oneof![Just("seatpost"), Just("chain"), Just("seatpsot")],
                prop_oneof![Just(""), Just("30.9"), Just("31.6x400"), Just("30.9x350"), Just("x")],
                prop_oneof![Just(""), Just("30.9"), Just("measured 30.85"), Just("31.6"), Just("30.9 or 31.6")],
                prop_oneof![Just(""), Just("350"), Just("400 mm")],
                prop_oneof![Just(""), Just("new"), Just("used")],
                prop_oneof![Just(""), Just("slips"), Just("sinks, slips")],
            ),
            1..6,
        ),
    ) {
        let lines: Vec<Vec<(String, String)>> = rows
            .iter()
            .enumerate()
            .map(|(number, (kind, size, diameter, length, condition, complaint))| {
                let seatpost = *kind != "chain";
                let only = |cell: &str| if seatpost { cell.to_owned() } else { String::new() };
                let mut cells: Vec<(String, String)> = order
                    .iter()
                    .map(|column| {
                        let cell = match *column {
                            "kind" => (*kind).to_owned(),
                            "size" => only(size),
                            "diameter" => only(diameter),
                            "length" => only(length),
                            "condition" => (*condition).to_owned(),
                            "complaint" => only(complaint),
                            _ => String::new(),
                        };
                        ((*column).to_owned(), cell)
                    })
                    .collect();
                cells.push(("id".to_owned(), format!("L{number}")));
                cells
            })
            .collect();
        compare(&lines);
    }
}
