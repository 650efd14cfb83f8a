//! The search of a plan against general solvers on the very same problem: the tables that
//! `compat plan --export-problem` writes, read back from their JSON. Each solver has to come to the same
//! four numbers, or to no plan, before anything is timed; what does not come to an answer within
//! `PATIENCE` is said and not timed.
//!
//! The search is timed with the making of its tables, the solvers with the making of their models, and
//! none with the reading of JSON.
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::panic,
    missing_docs
)]

mod bins;
#[path = "../../tests/support/general.rs"]
mod general;

use std::collections::BTreeMap;
use std::sync::Mutex;
use std::time::{Duration, Instant};

use bins::{LINES, Question, bin};
use compat_core::Catalog;
use compat_core::solve::plan::{Export, Limits, search};
use divan::{Bencher, black_box};
use general::{Answer, clauses, integers};

/// The longest a solver is waited for.
const PATIENCE: Duration = Duration::from_secs(60);

fn main() {
    divan::main();
}

/// The problem as JSON, read back.
fn problem(lines: usize, measured: bool) -> Export {
    static MADE: Mutex<BTreeMap<(usize, bool), Export>> = Mutex::new(BTreeMap::new());
    let mut made = MADE.lock().unwrap();
    let make = || {
        let catalog = Catalog::compiled();
        let question = Question::read(&catalog, bin(lines, measured));
        let export = question.job.export(&question.asked()).unwrap();
        let json = serde_json::to_string(&export).unwrap();
        serde_json::from_str(&json).unwrap()
    };
    made.entry((lines, measured)).or_insert_with(make).clone()
}

/// What our own search comes to.
fn own(problem: &Export) -> Answer {
    let (problem, mut tables) = problem.read().unwrap();
    let on = vec![true; problem.rules.len()];
    let limits = Limits {
        steps: u64::MAX,
        stop: &|_| false,
    };
    let found = search(&problem, &mut tables, &on, None, &limits);
    assert!(found.proved);
    Answer::of(found.best.map(|(weight, _)| weight.row()))
}

fn compared(bencher: Bencher<'_, '_>, lines: usize, measured: bool, solver: Solver) {
    let problem = problem(lines, measured);
    let began = Instant::now();
    let answer = solver(&problem, PATIENCE);
    if answer == Answer::NotInTime {
        eprintln!("no answer after {:.0?}", began.elapsed());
        return;
    }
    assert_eq!(answer, own(&problem), "{lines} lines");
    bencher.bench_local(|| solver(black_box(&problem), PATIENCE));
}

type Solver = fn(&Export, Duration) -> Answer;

const OWN: Solver = |problem, _| own(problem);

#[divan::bench(args = LINES)]
fn own_same(bencher: Bencher<'_, '_>, lines: usize) {
    compared(bencher, lines, false, OWN);
}

#[divan::bench(args = LINES)]
fn own_measured(bencher: Bencher<'_, '_>, lines: usize) {
    compared(bencher, lines, true, OWN);
}

#[divan::bench(args = LINES, sample_count = 3, sample_size = 1)]
fn clauses_same(bencher: Bencher<'_, '_>, lines: usize) {
    compared(bencher, lines, false, clauses);
}

#[divan::bench(args = LINES, sample_count = 3, sample_size = 1)]
fn clauses_measured(bencher: Bencher<'_, '_>, lines: usize) {
    compared(bencher, lines, true, clauses);
}

#[divan::bench(args = LINES, sample_count = 3, sample_size = 1)]
fn integers_same(bencher: Bencher<'_, '_>, lines: usize) {
    compared(bencher, lines, false, integers);
}

#[divan::bench(args = LINES, sample_count = 3, sample_size = 1)]
fn integers_measured(bencher: Bencher<'_, '_>, lines: usize) {
    compared(bencher, lines, true, integers);
}
