//! Every console block of the documents is run and must give what stands there.
//!
//! `$ ` begins a command, `< file` behind it types what stands there, `? 1` after its output says that it exits with 1. Where
//! `COMPAT_ACCEPT` is set, the blocks are written anew instead. A block that begins with
//! `console empty` is run in a folder in which there is nothing yet.

use std::fs;
use std::path::{Path, PathBuf};

use crate::program::{root, run_in, words};

/// What stands before the words of the program in a command line.
const PROGRAM: &[&str] = &["cargo run --release --quiet -- ", "compat "];

fn documents() -> Vec<PathBuf> {
    let mut found = vec![root().join("README.md"), root().join("DEVELOPERS.md")];
    for entry in fs::read_dir(root().join("tests/cases")).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|ending| ending == "md") {
            found.push(path);
        }
    }
    found.sort();
    found
}

/// The document with its console blocks as they come out now, and how many commands were run.
fn again(text: &str, folder: &Path) -> (String, usize) {
    let mut out = String::new();
    let mut count = 0;
    let mut lines = text.lines().peekable();
    while let Some(line) = lines.next() {
        out.push_str(line);
        out.push('\n');
        if let Some(path) = line.strip_prefix("```rust,ignore ") {
            // A block that names a file holds that file.
            while lines.next_if(|line| line.trim() != "```").is_some() {}
            out.push_str(&fs::read_to_string(folder.join(path)).unwrap());
            continue;
        }
        let empty = match line.trim() {
            "```console" => None,
            "```console empty" => Some(tempfile::tempdir().unwrap()),
            _ => continue,
        };
        let folder = empty.as_ref().map_or(folder, |empty| empty.path());
        while let Some(line) = lines.next_if(|line| line.trim() != "```") {
            let Some(command) = line.strip_prefix("$ ") else {
                continue;
            };
            count += 1;
            out.push_str(line);
            out.push('\n');
            let rest = PROGRAM.iter().find_map(|start| command.strip_prefix(start));
            let rest =
                rest.unwrap_or_else(|| panic!("`{command}` is not a command of this program"));
            // What stands behind `<` is a file with what is typed.
            let (rest, typed) = match rest.split_once(" < ") {
                Some((rest, path)) => (rest, fs::read(folder.join(path)).unwrap()),
                None => (rest, Vec::new()),
            };
            let run = run_in(folder, &words(rest), &typed);
            out.push_str(&run.err);
            out.push_str(&run.out);
            if run.code != 0 {
                out.push_str(&format!("? {}\n", run.code));
            }
        }
    }
    (out, count)
}

#[test]
fn every_console_block_gives_what_stands_there() {
    let mut wrong = Vec::new();
    let mut total = 0;
    for path in documents() {
        let text = fs::read_to_string(&path).unwrap();
        let (now, count) = again(&text, &root());
        total += count;
        if now == text {
            continue;
        }
        if std::env::var_os("COMPAT_ACCEPT").is_some() {
            fs::write(&path, now).unwrap();
            continue;
        }
        let differ = text
            .lines()
            .zip(now.lines())
            .enumerate()
            .find(|(_, (a, b))| a != b);
        wrong.push(match differ {
            Some((number, (a, b))) => format!(
                "{}:{}\n  stands: {a}\n  comes:  {b}",
                path.display(),
                number + 1
            ),
            None => format!(
                "{} is longer or shorter than what comes out",
                path.display()
            ),
        });
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(total > 20, "only {total} commands were run");
}

/// From an empty folder at most three commands and five typed facts come to a verdict.
#[test]
fn the_first_verdict_is_near() {
    let text = fs::read_to_string(root().join("tests/cases/starting.md")).unwrap();
    let blocks: Vec<&str> = text.split("```console empty\n").skip(1).collect();
    assert!(blocks.len() >= 2);
    for block in blocks {
        let block = block.split("```").next().unwrap();
        let commands: Vec<&str> = block
            .lines()
            .filter(|line| line.starts_with("$ "))
            .collect();
        assert!((1..=3).contains(&commands.len()), "{commands:?}");
        let facts = commands.last().unwrap().matches(" --set ").count();
        let facts = facts + commands.last().unwrap().matches(" --swap ").count();
        assert!((1..=5).contains(&facts), "{commands:?}");
        let verdict = block
            .lines()
            .find_map(|line| line.strip_prefix("verdict: "))
            .unwrap();
        assert!(!verdict.starts_with("measure first"), "{verdict}");
    }
}

/// Five facts of each bike, and a tenth of what nobody knew at most, come to a verdict.
#[test]
fn few_questions_are_asked_of_many_unknowns() {
    let text = fs::read_to_string(root().join("tests/cases/five-facts.md")).unwrap();
    let counted = text
        .lines()
        .filter_map(|line| line.split_once(" questions asked, of "));
    let number = |text: &str| text.split(' ').next().unwrap().parse::<usize>().unwrap();
    let counted: Vec<_> = counted
        .map(|(asked, of)| (number(asked), number(of)))
        .collect();
    assert_eq!(counted.len(), 3);
    for (asked, of) in counted {
        assert!(asked >= 1 && asked * 10 <= of, "{asked} of {of}");
    }
    let verdicts = text
        .lines()
        .filter_map(|line| line.strip_prefix("verdict: "));
    let verdicts: Vec<_> = verdicts.collect();
    assert_eq!(verdicts.len(), 3);
    assert!(
        verdicts.iter().all(|verdict| verdict.starts_with("fits")),
        "{verdicts:?}"
    );
    for bike in ["five-facts", "five-facts-road", "five-facts-city"] {
        let text = fs::read_to_string(root().join(format!("tests/cases/{bike}.toml"))).unwrap();
        let facts = text
            .lines()
            .filter(|line| line.contains(" = ") && !line.starts_with("title"));
        assert!(facts.count() <= 5, "{bike}");
    }
}

/// Every swap set and every bike among the examples has its expected report.
#[test]
fn every_example_is_in_a_document() {
    let mut all = String::new();
    for path in documents() {
        all.push_str(&fs::read_to_string(path).unwrap());
    }
    let mut open = vec![root().join("examples")];
    while let Some(folder) = open.pop() {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                open.push(path);
                continue;
            }
            let shown = path.strip_prefix(root()).unwrap().display().to_string();
            assert!(all.contains(&shown), "{shown} is shown in no document");
        }
    }
}

/// The two commands of the README are what the checks run.
#[test]
fn the_checks_run_what_the_readme_says() {
    let readme = fs::read_to_string(root().join("README.md")).unwrap();
    let checks = fs::read_to_string(root().join(".ci/run")).unwrap();
    let tests = readme
        .lines()
        .find(|line| line.starts_with("cargo test"))
        .expect("README names its test command");
    assert!(checks.lines().any(|line| line.trim() == tests), "{tests}");
    let job = readme
        .lines()
        .find_map(|line| line.strip_prefix("$ cargo run"))
        .expect("README names its main job");
    assert!(
        checks.contains(&format!("cargo run{job}")),
        "cargo run{job}"
    );
}
