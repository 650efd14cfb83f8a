//! The check alone, and an audit of 10,000 lines against the mere reading of the same CSV.
#![allow(clippy::unwrap_used, clippy::indexing_slicing, missing_docs)]

use compat_core::{Bike, Catalog, Job, Options, Swap};
use divan::{Bencher, black_box};

const BIKE: &[u8] = include_bytes!("../../examples/trail.toml");
const SWAP: &[u8] = include_bytes!("../../examples/swaps/trail-dropper-150.toml");
const BIN: &str = include_str!("../../examples/bin.csv");
const LINES: usize = 10_000;

fn main() {
    divan::main();
}

fn job(catalog: &Catalog) -> (Job<'_>, Bike, Swap) {
    let mut job = Job::new(catalog);
    let bike = job.bike("trail.toml", BIKE).unwrap();
    let stock = job.stock("bin.csv", BIN.as_bytes()).unwrap();
    let swap = job.swap("swap.toml", SWAP, Some(&stock)).unwrap();
    (job, bike, swap)
}

/// The parts bin of the examples over and over, each line with an id of its own.
fn bin() -> String {
    let mut lines = BIN.lines();
    let header = lines.next().unwrap();
    let rows: Vec<&str> = lines.collect();
    let mut text = format!("{header}\n");
    for number in 0..LINES {
        let row = rows[number % rows.len()];
        let (_, rest) = row.split_once(',').unwrap();
        text.push_str(&format!("L{number},{rest}\n"));
    }
    text
}

#[divan::bench]
fn check_alone(bencher: Bencher<'_, '_>) {
    let catalog = Catalog::compiled();
    let (_, bike, swap) = job(&catalog);
    bencher.bench_local(|| {
        compat_core::solve::check(&catalog, black_box(&bike), Some(&swap), Options::default())
    });
}

#[divan::bench]
fn check_and_words(bencher: Bencher<'_, '_>) {
    let catalog = Catalog::compiled();
    let (job, bike, swap) = job(&catalog);
    bencher.bench_local(|| job.check(black_box(&bike), Some(&swap), Options::default()));
}

#[divan::bench]
fn read_the_catalogue(bencher: Bencher<'_, '_>) {
    bencher.bench_local(|| {
        let catalog = Catalog::compiled();
        let mut job = Job::new(&catalog);
        let bike = job.bike("trail.toml", BIKE).unwrap();
        let swap = job
            .swap("swap.toml", b"[seatpost]\ndiameter = 30.9\n", None)
            .unwrap();
        let checked = compat_core::solve::check(&catalog, &bike, Some(&swap), Options::default());
        checked.verdict
    });
}

#[divan::bench]
fn csv_alone_10_000(bencher: Bencher<'_, '_>) {
    let text = bin();
    bencher.bench_local(|| {
        let mut reader = csv::Reader::from_reader(black_box(text.as_bytes()));
        let mut record = csv::StringRecord::new();
        let mut cells = 0;
        while reader.read_record(&mut record).unwrap() {
            cells += record.len();
        }
        cells
    });
}

#[divan::bench]
fn audit_10_000(bencher: Bencher<'_, '_>) {
    let catalog = Catalog::compiled();
    let text = bin();
    bencher.bench_local(|| {
        let mut job = Job::new(&catalog);
        let bike = job.bike("trail.toml", BIKE).unwrap();
        let stock = job.stock("bin.csv", black_box(text.as_bytes())).unwrap();
        job.audit(&bike, &stock, Options::default()).lines.len()
    });
}

/// The reading of the stock alone.
#[divan::bench]
fn stock_10_000(bencher: Bencher<'_, '_>) {
    let catalog = Catalog::compiled();
    let text = bin();
    bencher.bench_local(|| {
        let mut job = Job::new(&catalog);
        job.stock("bin.csv", black_box(text.as_bytes()))
            .unwrap()
            .lines
            .len()
    });
}

/// The judging alone, of stock that has been read.
#[divan::bench]
fn judge_10_000(bencher: Bencher<'_, '_>) {
    let catalog = Catalog::compiled();
    let text = bin();
    let mut job = Job::new(&catalog);
    let bike = job.bike("trail.toml", BIKE).unwrap();
    let stock = job.stock("bin.csv", text.as_bytes()).unwrap();
    bencher.bench_local(|| {
        compat_core::solve::Auditor::new(&catalog, &bike, Options::default())
            .stock(&stock)
            .order
            .len()
    });
}
