//! General solvers find the same plans: OR-tools by a script where it is there, and two crates of the
//! registry.

use std::process::Command;

use compat_core::solve::plan::{
    ChoiceRow, Export, PlaceRow, Problem, RuleRow, Weight, export, plan, search,
};

use super::plan::{BIN, EASY, FRAME, PRICES, TRAIL, asked, bike, catalog, stock, wishes};
use super::search::{Dice, NO_LIMITS, Tables, random};
use crate::general::{Answer, clauses, integers};

/// What OR-tools, a general solver, says of problems; nothing where it is not there.
pub(crate) fn general_solver(problems: &[Export]) -> Option<Vec<String>> {
    let script = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/../tests/support/solve_problem.py"
    );
    let folder = tempfile::tempdir().unwrap();
    let write = |(number, problem): (usize, &Export)| {
        let path = folder.path().join(format!("{number}.json"));
        std::fs::write(&path, serde_json::to_string(problem).unwrap()).unwrap();
        path
    };
    let paths: Vec<_> = problems.iter().enumerate().map(write).collect();
    let Ok(run) = Command::new("python3").arg(script).args(&paths).output() else {
        eprintln!("skipped: there is no python3 to run the general solver with");
        return None;
    };
    let said = String::from_utf8(run.stdout).unwrap();
    if said.starts_with("skipped") {
        eprint!("{said}");
        return None;
    }
    let answers: Vec<String> = said.lines().step_by(2).map(str::to_owned).collect();
    assert_eq!(
        answers.len(),
        problems.len(),
        "{}",
        String::from_utf8_lossy(&run.stderr)
    );
    Some(answers)
}

pub(crate) fn numbers(weight: Option<Weight>) -> String {
    weight.map_or("none".to_owned(), |weight| {
        weight.row().map(|number| number.to_string()).join(" ")
    })
}

#[test]
fn a_general_solver_finds_the_same_plan() {
    let labour = compat_core::catalog::Labour::usual(catalog());
    let (bin, list) = (stock(BIN), stock(PRICES));
    let mut problems = Vec::new();
    let mut ours = Vec::new();
    for (frame, budget) in [(FRAME, None), (FRAME, Some(30_000)), (&[][..], None)] {
        let bike = bike(TRAIL, frame);
        let mut wishes = wishes(EASY);
        wishes.budget = budget;
        let asked = asked(&bike, &wishes, Some(&bin), Some(&list), &labour);
        problems.push(export(catalog(), &asked).unwrap());
        let planned = plan(catalog(), &asked).unwrap();
        ours.push(numbers(planned.plans.first().map(|plan| plan.weight)));
    }
    if let Some(theirs) = general_solver(&problems) {
        assert_eq!(theirs, ours);
    }
}

#[test]
fn a_general_solver_finds_the_same_on_random_problems() {
    let mut dice = Dice::new(17);
    let mut problems = Vec::new();
    let mut ours = Vec::new();
    for _ in 0..40 {
        let (problem, mut tables) = random(&mut dice, 14, 12, 30);
        let on = vec![true; problem.rules.len()];
        let found = search(&problem, &mut tables, &on, None, &NO_LIMITS);
        assert!(found.proved);
        ours.push(numbers(found.best.map(|(weight, _)| weight)));
        problems.push(as_data(&problem, &tables));
    }
    assert!(ours.iter().filter(|weight| *weight != "none").count() > 5);
    if let Some(theirs) = general_solver(&problems) {
        assert_eq!(theirs, ours);
    }
}

#[test]
fn solvers_of_the_registry_find_the_same_on_random_problems() {
    let mut dice = Dice::new(29);
    let patience = std::time::Duration::from_secs(60);
    let mut solved = 0;
    for number in 0..30 {
        let (problem, mut tables) = random(&mut dice, 12, 9, 24);
        let on = vec![true; problem.rules.len()];
        let found = search(&problem, &mut tables, &on, None, &NO_LIMITS);
        let ours = Answer::of(found.best.map(|(weight, _)| weight.row()));
        let data = as_data(&problem, &tables);
        assert_eq!(clauses(&data, patience), ours, "{number}");
        assert_eq!(integers(&data, patience), ours, "{number}");
        solved += usize::from(ours != Answer::NoPlan);
    }
    assert!(solved > 5, "{solved}");
}

#[test]
fn a_problem_that_is_written_out_and_read_back_has_the_same_plan() {
    let labour = compat_core::catalog::Labour::usual(catalog());
    let (bin, list) = (stock(BIN), stock(PRICES));
    for (frame, budget) in [(FRAME, None), (FRAME, Some(30_000)), (&[][..], None)] {
        let bike = bike(TRAIL, frame);
        let mut wishes = wishes(EASY);
        wishes.budget = budget;
        let asked = asked(&bike, &wishes, Some(&bin), Some(&list), &labour);
        let planned = plan(catalog(), &asked).unwrap();
        let json = serde_json::to_string(&export(catalog(), &asked).unwrap()).unwrap();
        let data: Export = serde_json::from_str(&json).unwrap();
        let (problem, mut tables) = data.read().unwrap();
        let on = vec![true; problem.rules.len()];
        let found = search(&problem, &mut tables, &on, None, &NO_LIMITS);
        let plan = planned.plans.first().map(|plan| plan.weight);
        assert_eq!(found.best.map(|(weight, _)| weight), plan);
    }
}

fn as_data(problem: &Problem, tables: &Tables) -> Export {
    let place = |weights: &Vec<Weight>| PlaceRow {
        slot: String::new(),
        choices: weights
            .iter()
            .map(|weight| ChoiceRow {
                what: String::new(),
                weight: weight.row(),
            })
            .collect(),
    };
    let rule = |(number, places): (usize, &Vec<usize>)| {
        let sizes: Vec<usize> = places.iter().map(|place| tables.sizes[*place]).collect();
        let sorts = sizes
            .iter()
            .map(|size| (0..u32::try_from(*size).unwrap()).collect());
        let mut row = RuleRow {
            name: String::new(),
            places: places.clone(),
            sorts: sorts.collect(),
            allowed: Vec::new(),
            adds: Vec::new(),
        };
        for (index, said) in tables.tables[number].iter().enumerate() {
            let Some(weight) = said else { continue };
            let mut rest = index;
            let mut choices = vec![0; sizes.len()];
            for (position, size) in sizes.iter().enumerate().rev() {
                choices[position] = u32::try_from(rest % size).unwrap();
                rest /= size;
            }
            if *weight != Weight::NOTHING {
                row.adds.push((row.allowed.len(), weight.row()));
            }
            row.allowed.push(choices);
        }
        row
    };
    Export {
        version: 1,
        budget: problem.budget,
        places: problem.places.iter().map(place).collect(),
        rules: problem.rules.iter().enumerate().map(rule).collect(),
    }
}
