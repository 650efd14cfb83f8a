//! Bins of many lines, made of the examples' own: lines that share their ends under ids and prices of
//! their own, and lines whose worn and cut parts were each measured.

use std::collections::BTreeMap;

use compat_core::bike::{Bike, Stock, Wishes};
use compat_core::catalog::Labour;
use compat_core::solve::plan::Asked;
use compat_core::{Catalog, Faults, Job};

const BIKE: &[u8] = include_bytes!("../../../examples/trail.toml");
const BINS: [&str; 2] = [
    include_str!("../../../examples/bin.csv"),
    include_str!("../../../examples/prices.csv"),
];
const WISHES: &[u8] = br#"
keep = ["rear_hub"]
may_go = ["front_derailleur"]

[cassette]
largest_cog = "at least 46"

[seatpost]
drop = "at least 150"
"#;
/// A cog of ten teeth goes on no such hub.
const APART: &[u8] = br#"
keep = ["rear_hub"]
may_go = ["front_derailleur"]

[cassette]
largest_cog = "at least 46"
smallest_cog = "at most 10"
"#;
/// What the bike's owner measured.
const SET: &str = "frame.largest_single_ring=34\nframe.chain_line=48.8\n";
/// How many lines the bins have.
pub const LINES: [usize; 3] = [200, 2_000, 20_000];

/// The same numbers each time: a linear congruence (Knuth, The Art of Computer Programming,
/// volume 2, 3.3.4), of which the upper half is used.
struct Numbers(u64);

impl Numbers {
    fn between(&mut self, least: u64, most: u64) -> u64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        least + (self.0 >> 33) % (most - least + 1)
    }
}

type Line = BTreeMap<String, String>;

/// The lines of the examples' bin and price list, and every column they have.
fn examples() -> (Vec<String>, Vec<Line>) {
    let mut columns: Vec<String> = Vec::new();
    let mut lines = Vec::new();
    for bin in BINS {
        let mut reader = csv::Reader::from_reader(bin.as_bytes());
        let header = reader.headers().unwrap().clone();
        for name in &header {
            if !columns.iter().any(|known| known == name) {
                columns.push(name.to_owned());
            }
        }
        for record in reader.records() {
            let record = record.unwrap();
            let cells = header.iter().zip(&record);
            lines.push(
                cells
                    .map(|(name, cell)| (name.to_owned(), cell.to_owned()))
                    .collect(),
            );
        }
    }
    (columns, lines)
}

/// The examples over and over, each line with an id and a price of its own.
pub fn bin(lines: usize, measured: bool) -> String {
    let (columns, examples) = examples();
    let mut numbers = Numbers(1);
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(&columns).unwrap();
    for number in 0..lines {
        let mut line = examples[number % examples.len()].clone();
        let price = numbers.between(500, 15_000);
        line.insert("id".to_owned(), format!("L{number}"));
        line.insert("quantity".to_owned(), "1".to_owned());
        line.insert(
            "price".to_owned(),
            format!("{}.{:02}", price / 100, price % 100),
        );
        if measured {
            measure(&mut line, &mut numbers);
        }
        let cell = |column| line.get(column).map_or("", String::as_str);
        writer.write_record(columns.iter().map(cell)).unwrap();
    }
    String::from_utf8(writer.into_inner().unwrap()).unwrap()
}

/// What is written of a part that somebody took in hand.
fn measure(line: &mut Line, numbers: &mut Numbers) {
    let least = line.get("rated_least_largest_cog");
    let least = least.and_then(|cell| cell.parse().ok()).unwrap_or(28);
    let mut set = |name: &str, text: String| line.insert(name.to_owned(), text);
    let kind = set("kind", String::new()).unwrap_or_default();
    set("kind", kind.clone());
    match kind.as_str() {
        "chain" => {
            set(
                "elongation",
                format!("measured 0.{:02} %", numbers.between(0, 99)),
            );
            set("links", (2 * numbers.between(50, 64)).to_string());
        }
        "cassette" => {
            set("worn_by", format!("0.{:02} %", numbers.between(0, 99)));
        }
        "seatpost" => {
            let under = numbers.between(0, 12);
            set("size", String::new());
            set("length", numbers.between(300, 500).to_string());
            set("diameter", format!("30.9, measured 30.{:02}", 90 - under));
        }
        "rear_derailleur" => {
            set("capacity", numbers.between(30, 55).to_string());
            set("rated_largest_cog", numbers.between(least, 52).to_string());
        }
        "crankset" => {
            let tenths = numbers.between(430, 560);
            set(
                "chain_line",
                format!("measured {}.{}", tenths / 10, tenths % 10),
            );
        }
        "saddle" => {
            let tenths = numbers.between(400, 700);
            set("height", format!("{}.{}", tenths / 10, tenths % 10));
        }
        _ => {}
    }
}

/// What a plan is asked over.
pub struct Question<'c> {
    /// Who read it.
    pub job: Job<'c>,
    bike: Bike,
    wishes: Wishes,
    stock: Stock,
    labour: Labour,
}

impl<'c> Question<'c> {
    /// Reads the bike, the wishes, and a bin.
    pub fn read(catalog: &'c Catalog, text: impl Into<Vec<u8>>) -> Question<'c> {
        Question::of(catalog, WISHES, text)
    }

    /// The same with wishes that cannot all be met.
    #[allow(dead_code, reason = "only some benches ask why there is no plan")]
    pub fn apart(catalog: &'c Catalog, text: impl Into<Vec<u8>>) -> Question<'c> {
        Question::of(catalog, APART, text)
    }

    fn of(catalog: &'c Catalog, wishes: &[u8], text: impl Into<Vec<u8>>) -> Question<'c> {
        let mut job = Job::new(catalog);
        let mut faults = Faults::default();
        let set = job.settings("set", SET, &mut faults);
        Question {
            bike: job.bike_with("trail.toml", BIKE, &set).unwrap(),
            wishes: job.wishes("wishes.toml", wishes).unwrap(),
            stock: job.stock("bin.csv", text).unwrap(),
            labour: job.labour(None).unwrap(),
            job,
        }
    }

    /// As the planner takes it.
    pub fn asked(&self) -> Asked<'_> {
        Asked {
            bike: &self.bike,
            wishes: &self.wishes,
            bin: Some(&self.stock),
            list: None,
            labour: &self.labour,
            strict: false,
            unmeasured: false,
            worth: true,
            next: 0,
            steps: 1_000_000,
            stop: &|_| false,
        }
    }
}
