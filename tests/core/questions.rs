//! Real questions with known answers, asked by people in public and answered there; each names
//! where. The bikes and parts are written down with what the question tells and nothing more.

use std::fs;
use std::path::Path;

use compat_core::{Catalog, Job, Options};

struct Case {
    name: String,
    table: toml::Table,
}

fn cases() -> Vec<Case> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../tests/cases/questions");
    let mut paths: Vec<_> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    paths.sort();
    paths
        .into_iter()
        .map(|path| {
            let text = fs::read_to_string(&path).unwrap();
            let name = path.file_stem().unwrap().to_string_lossy().into_owned();
            let table = text
                .parse()
                .unwrap_or_else(|wrong| panic!("{name}: {wrong}"));
            Case { name, table }
        })
        .collect()
}

fn text<'t>(table: &'t toml::Table, key: &str) -> &'t str {
    table
        .get(key)
        .and_then(toml::Value::as_str)
        .unwrap_or_else(|| panic!("`{key}` is missing"))
}

#[test]
fn every_question_gets_its_known_answer() {
    let catalog = Catalog::compiled();
    let mut wrong = Vec::new();
    let cases = cases();
    assert!(cases.len() >= 8, "{} questions", cases.len());
    for Case { name, table } in &cases {
        let (question, source) = (text(table, "question"), text(table, "source"));
        assert!(question.ends_with('?') && !source.is_empty(), "{name}");
        for ask in table["ask"].as_array().unwrap() {
            let ask = ask.as_table().unwrap();
            let mut job = Job::new(&catalog);
            let show = |faults: compat_core::Faults, job: &Job<'_>| -> String {
                faults
                    .0
                    .iter()
                    .map(|fault| fault.show(job.files()) + "\n")
                    .collect()
            };
            let bike = match job.bike("bike.toml", text(table, "bike").as_bytes()) {
                Ok(bike) => bike,
                Err(faults) => panic!("{name}: {}", show(faults, &job)),
            };
            let swap = match job.swap("swap.toml", text(ask, "swap").as_bytes(), None) {
                Ok(swap) => swap,
                Err(faults) => panic!("{name}: {}", show(faults, &job)),
            };
            let report = job.check(&bike, Some(&swap), Options::default());
            // A question is about one joint; what it does not speak of stays open.
            let joint = text(ask, "joint");
            let found = report
                .findings
                .iter()
                .chain(&report.quiet)
                .find(|finding| finding.family == joint);
            let Some(found) = found else {
                wrong.push(format!("{name}: nothing is said of {joint}"));
                continue;
            };
            let verdict = text(ask, "verdict");
            if found.verdict != verdict {
                wrong.push(format!(
                    "{name}: {} where {verdict} is known: {}",
                    found.verdict, found.headline
                ));
            }
            let says = format!("{found:?}");
            for part in ask
                .get("says")
                .and_then(toml::Value::as_array)
                .into_iter()
                .flatten()
            {
                let part = part.as_str().unwrap();
                if !says.contains(part) {
                    wrong.push(format!("{name}: does not say `{part}`: {says}"));
                }
            }
            // What is unknown until something is known names that first, wherever it is asked.
            if verdict == "measure first" {
                let asked = job.measure(&bike, Some(&swap), Options::default());
                let mut own = asked.questions.iter();
                let own = own.find(|asks| asks.settles.contains(&found.joint));
                let first = own.map_or("nothing", |asks| asks.set.as_str());
                let wanted = ask.get("asks").and_then(toml::Value::as_str);
                if wanted != Some(first) {
                    wrong.push(format!("{name}: first asks `{first}`, not {wanted:?}"));
                }
            }
            if let Some(first) = ask.get("measure").and_then(toml::Value::as_str) {
                let asked = found
                    .measure
                    .first()
                    .map(|question| question.dimension.as_str());
                if asked != Some(first) {
                    wrong.push(format!("{name}: asks {asked:?} first, not {first}"));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
