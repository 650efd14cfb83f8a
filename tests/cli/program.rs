//! Running the program as a person would.

use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// What a run gave.
#[derive(Debug)]
pub struct Run {
    pub out: String,
    pub err: String,
    pub code: i32,
}

pub fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("..")
        .canonicalize()
        .unwrap()
}

/// Runs the program with words as a shell would part them, in a folder.
pub fn run_in(folder: &Path, words: &[String], input: &[u8]) -> Run {
    let mut child = Command::new(env!("CARGO_BIN_EXE_compat"))
        .args(words)
        .current_dir(folder)
        .env_remove("CLICOLOR_FORCE")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    // A program that does not read its input closes it early; that is no failure.
    let _ = child.stdin.take().unwrap().write_all(input);
    let done = child.wait_with_output().unwrap();
    Run {
        out: String::from_utf8(done.stdout).unwrap(),
        err: String::from_utf8(done.stderr).unwrap(),
        code: done
            .status
            .code()
            .expect("the program was ended by a signal"),
    }
}

/// Runs it from the root of the project.
pub fn run(words: &[&str]) -> Run {
    let words: Vec<String> = words.iter().map(|word| (*word).to_owned()).collect();
    run_in(&root(), &words, b"")
}

/// Parts a line into words; quotes keep blanks.
pub fn words(line: &str) -> Vec<String> {
    let mut words = vec![String::new()];
    let mut quote = None;
    for c in line.chars() {
        match (quote, c) {
            (None, ' ') => words.push(String::new()),
            (None, '"' | '\'') => quote = Some(c),
            (Some(open), _) if open == c => quote = None,
            _ => words.last_mut().unwrap().push(c),
        }
    }
    words.retain(|word| !word.is_empty());
    words
}
