//! One `check` as a whole process, against a program that only reads the same bike file and prints.
//!
//! Both are started in turn, so that whatever else the machine does falls on both alike. Figures
//! are medians, and the ratio of the two.
#![allow(clippy::unwrap_used, clippy::indexing_slicing, missing_docs)]

use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

const BIKE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../examples/trail.toml");
const SWAP: &str = concat!(
    env!("CARGO_MANIFEST_DIR"),
    "/../examples/swaps/trail-shock-shorter-stroke.toml"
);
const RUNS: usize = 300;

fn main() {
    let args: Vec<String> = std::env::args().collect();
    if let Some(at) = args.iter().position(|arg| arg == "--stub") {
        return stub(&args[at + 1]);
    }
    let own = std::env::current_exe().unwrap();
    let mut once = Command::new(env!("CARGO_BIN_EXE_compat"));
    let exit = once.args(["check", BIKE, SWAP]).output().unwrap().status;
    assert!(exit.code() != Some(2) && exit.code().is_some(), "{exit}");
    let mut stub_times = Vec::new();
    let mut check_times = Vec::new();
    for _ in 0..RUNS {
        stub_times.push(time(Command::new(&own).args(["--stub", BIKE])));
        check_times.push(time(
            Command::new(env!("CARGO_BIN_EXE_compat")).args(["check", BIKE, SWAP]),
        ));
    }
    let (stub, check) = (median(stub_times), median(check_times));
    println!("a program that reads the bike and prints: {stub:?}");
    println!("compat check, whole process:              {check:?}");
    println!("ratio: {:.2}", check.as_secs_f64() / stub.as_secs_f64());
}

/// Reads the file as TOML and prints it.
fn stub(path: &str) {
    let text = std::fs::read_to_string(path).unwrap();
    let table: toml::Table = toml::from_str(&text).unwrap();
    for (name, value) in &table {
        println!("{name}: {value:?}");
    }
}

fn time(command: &mut Command) -> Duration {
    let begin = Instant::now();
    command
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status()
        .unwrap();
    begin.elapsed()
}

fn median(mut times: Vec<Duration>) -> Duration {
    times.sort_unstable();
    times[times.len() / 2]
}
