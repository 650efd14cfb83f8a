//! The shape of the tree: layers by what they must not know, sizes, and one list of families.

use std::fs;
use std::path::{Path, PathBuf};

use compat_core::joints::FAMILIES;

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

fn files(folder: &str, ending: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut open = vec![root().join(folder)];
    while let Some(folder) = open.pop() {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                open.push(path);
            } else if path.extension().is_some_and(|known| known == ending) {
                found.push(path);
            }
        }
    }
    found.sort();
    found
}

/// What each layer may import from the crate.
const LAYERS: &[(&str, &[&str])] = &[
    ("dim", &["dim", "text"]),
    ("text", &["text"]),
    ("verdict", &["dim", "text", "verdict"]),
    ("formula", &["dim", "formula"]),
    ("explain", &["dim", "text", "verdict", "explain"]),
    ("joints", &["dim", "text", "verdict", "formula", "joints"]),
    ("catalog", &["dim", "text", "verdict", "joints", "catalog"]),
    (
        "bike",
        &["dim", "text", "verdict", "joints", "catalog", "bike"],
    ),
    (
        "solve",
        &[
            "dim", "text", "verdict", "formula", "joints", "catalog", "bike", "solve",
        ],
    ),
];

#[test]
fn no_layer_knows_what_it_must_not() {
    let mut wrong = Vec::new();
    for (layer, may) in LAYERS {
        for path in files(&format!("compat-core/src/{layer}"), "rs") {
            for (number, line) in fs::read_to_string(&path).unwrap().lines().enumerate() {
                for (at, _) in line.match_indices("crate::") {
                    let name: String = line[at + 7..]
                        .chars()
                        .take_while(|c| c.is_alphanumeric() || *c == '_')
                        .collect();
                    if !name.is_empty()
                        && name.chars().all(|c| !c.is_uppercase())
                        && !may.contains(&name.as_str())
                    {
                        wrong.push(format!(
                            "{}:{}: {layer} knows {name}",
                            path.display(),
                            number + 1
                        ));
                    }
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_core_touches_neither_disk_nor_terminal_nor_clock() {
    for path in files("compat-core/src", "rs") {
        let text = fs::read_to_string(&path).unwrap();
        for word in [
            "std::fs",
            "std::net",
            "std::process",
            "std::time",
            "std::thread",
            "println!",
            "print!(",
            "std::env",
        ] {
            let outside = text
                .lines()
                .filter(|line| !line.trim_start().starts_with("//") && !line.contains("env!("));
            assert!(
                !outside.clone().any(|line| line.contains(word)),
                "{} uses {word}",
                path.display()
            );
        }
    }
}

/// A family is its file, its page and its name in the list; nothing else names it.
#[test]
fn nothing_else_knows_a_family() {
    let mut wrong = Vec::new();
    for family in FAMILIES {
        assert!(
            root()
                .join(format!("compat-core/src/joints/{}.rs", family.name))
                .is_file(),
            "{}",
            family.name
        );
        assert!(
            root()
                .join(format!("catalog/joints/{}.toml", family.name))
                .is_file(),
            "{}",
            family.name
        );
        let own = [
            format!("joints/{}.rs", family.name),
            format!("joints/{}.toml", family.name),
            "joints/mod.rs".to_owned(),
        ];
        let mut all = files("compat-core/src", "rs");
        all.extend(files("compat-cli/src", "rs"));
        all.extend(files("catalog", "toml"));
        all.retain(|path| !own.iter().any(|own| path.ends_with(own)));
        for path in all {
            let text = fs::read_to_string(&path).unwrap();
            // Help and documentation may show a family as an example.
            let lines = text.lines().filter(|line| {
                !line.trim_start().starts_with("//")
                    && !line.trim_start().starts_with("compat explain")
            });
            let word = |line: &str| {
                line.match_indices(family.name).any(|(at, found)| {
                    let edge = |c: Option<char>| c.is_none_or(|c| !c.is_alphanumeric() && c != '_');
                    edge(line[..at].chars().next_back())
                        && edge(line[at + found.len()..].chars().next())
                })
            };
            if lines.clone().any(word) {
                wrong.push(format!("{} knows {}", path.display(), family.name));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_file_of_a_family_is_in_the_list() {
    for (folder, ending) in [("compat-core/src/joints", "rs"), ("catalog/joints", "toml")] {
        for path in files(folder, ending) {
            let stem = path.file_stem().unwrap().to_str().unwrap().to_owned();
            let known = FAMILIES.iter().any(|family| family.name == stem)
                || matches!(
                    stem.as_str(),
                    "mod" | "family" | "compare" | "plain" | "band" | "sum"
                );
            assert!(known, "{} is in no list", path.display());
        }
    }
}

#[test]
fn files_stay_short() {
    let mut lengths = Vec::new();
    for folder in ["compat-core/src", "compat-cli/src", "tests"] {
        for path in files(folder, "rs") {
            let lines = fs::read_to_string(&path).unwrap().lines().count();
            assert!(lines <= 600, "{} has {lines} lines", path.display());
            lengths.push(lines);
        }
    }
    lengths.sort_unstable();
    let median = lengths[lengths.len() / 2];
    assert!(median <= 200, "the median file has {median} lines");
}

/// No number of the trade stands in a rule: limits and sizes are data.
#[test]
fn no_figure_stands_in_a_rule() {
    for family in FAMILIES {
        let path = root().join(format!("compat-core/src/joints/{}.rs", family.name));
        let text = fs::read_to_string(&path).unwrap();
        let code = text.split("#[cfg(test)]").next().unwrap();
        for (number, line) in code
            .lines()
            .enumerate()
            .filter(|(_, line)| !line.trim_start().starts_with("//"))
        {
            let figure = line
                .split(|c: char| !c.is_alphanumeric() && c != '.' && c != '_')
                .find(|word| {
                    word.starts_with(|c: char| c.is_ascii_digit())
                        && !matches!(*word, "0" | "1" | "2" | "0u8" | "1u8")
                });
            assert!(
                figure.is_none(),
                "{}:{}: the figure {}",
                path.display(),
                number + 1,
                figure.unwrap()
            );
        }
    }
}

#[test]
fn every_dimension_belongs_to_an_end_and_every_source_is_cited() {
    let catalog = compat_core::Catalog::compiled();
    for kind in 0..catalog.kinds().len() {
        let body = catalog.body(kind);
        for (number, dimension) in body.dimensions.iter().enumerate() {
            let used = body
                .ends
                .iter()
                .any(|end| end.fields.iter().any(|(_, field)| *field == number));
            assert!(
                used,
                "{}.{} belongs to no end",
                catalog.kinds()[kind].name,
                dimension.name
            );
        }
    }
    let mut cited = std::collections::BTreeSet::new();
    for family in 0..FAMILIES.len() {
        for fact in catalog
            .book(family)
            .facts
            .iter()
            .chain(&catalog.prose(family).facts)
        {
            cited.extend(fact.sources.iter().map(|key| key.to_string()));
        }
        cited.extend(
            catalog
                .prose(family)
                .examples
                .iter()
                .filter_map(|example| example.source.clone()),
        );
    }
    let bench = catalog.bench_facts();
    cited.extend(bench.flat_map(|fact| fact.sources.iter().map(|key| key.to_string())));
    for key in &cited {
        assert!(catalog.sources().contains_key(key), "{key} is no source");
    }
    for key in catalog.sources().keys() {
        assert!(cited.contains(key), "{key} is cited by nothing");
    }
}
