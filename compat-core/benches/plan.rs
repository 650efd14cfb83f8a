//! A plan over bins of 200, 2,000 and 20,000 lines, against the mere reading of the same CSV: bins
//! whose lines share their ends under ids and prices of their own, and bins whose worn and cut parts
//! were each measured; and what it takes to say why there is none.
#![allow(clippy::unwrap_used, clippy::indexing_slicing, missing_docs)]

mod bins;

use bins::{LINES, Question, bin};
use compat_core::{Catalog, Job};
use divan::{Bencher, black_box};

fn main() {
    divan::main();
}

fn csv_alone(bencher: Bencher<'_, '_>, text: &str) {
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

/// A bin's bytes are handed over, as the command line hands over what it read from a file.
fn handed_over<T>(bencher: Bencher<'_, '_>, text: &str, read: impl Fn(Vec<u8>) -> T) {
    let bytes = || text.as_bytes().to_vec();
    bencher.with_inputs(bytes).bench_local_values(read);
}

fn stock(bencher: Bencher<'_, '_>, text: &str) {
    let catalog = Catalog::compiled();
    handed_over(bencher, text, |text| {
        let mut job = Job::new(&catalog);
        let stock = job.stock("bin.csv", text).unwrap();
        stock.lines.len()
    });
}

/// Everything: the reading of bike, wishes and bin, and the plan.
fn plan(bencher: Bencher<'_, '_>, text: &str) {
    let catalog = Catalog::compiled();
    handed_over(bencher, text, |text| {
        let question = Question::read(&catalog, text);
        let planned = question.job.plan(&question.asked());
        planned.unwrap().outcome
    });
}

#[divan::bench(args = LINES)]
fn csv_alone_same(bencher: Bencher<'_, '_>, lines: usize) {
    csv_alone(bencher, &bin(lines, false));
}

#[divan::bench(args = LINES)]
fn csv_alone_measured(bencher: Bencher<'_, '_>, lines: usize) {
    csv_alone(bencher, &bin(lines, true));
}

#[divan::bench(args = LINES)]
fn stock_same(bencher: Bencher<'_, '_>, lines: usize) {
    stock(bencher, &bin(lines, false));
}

#[divan::bench(args = LINES)]
fn stock_measured(bencher: Bencher<'_, '_>, lines: usize) {
    stock(bencher, &bin(lines, true));
}

#[divan::bench(args = LINES)]
fn plan_same(bencher: Bencher<'_, '_>, lines: usize) {
    plan(bencher, &bin(lines, false));
}

#[divan::bench(args = LINES)]
fn plan_measured(bencher: Bencher<'_, '_>, lines: usize) {
    plan(bencher, &bin(lines, true));
}

/// Why there is no plan, and what would have to give way: the reading of the bin is not counted.
fn conflict(bencher: Bencher<'_, '_>, text: &str) {
    let catalog = Catalog::compiled();
    let question = Question::apart(&catalog, text);
    bencher.bench_local(|| {
        let planned = question.job.plan(black_box(&question.asked())).unwrap();
        assert!(!planned.conflict.is_empty() && !planned.give_way.is_empty());
        planned.outcome
    });
}

#[divan::bench(args = LINES)]
fn conflict_same(bencher: Bencher<'_, '_>, lines: usize) {
    conflict(bencher, &bin(lines, false));
}

#[divan::bench(args = LINES)]
fn conflict_measured(bencher: Bencher<'_, '_>, lines: usize) {
    conflict(bencher, &bin(lines, true));
}
