//! Two general solvers as they are asked for a problem of a plan: one that learns clauses over whole
//! numbers (the crate pumpkin), one for mixed integer programs (the crate microlp). Both make one
//! number of the four least after the other.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::ControlFlow;
use std::time::{Duration, Instant};

use compat_core::solve::plan::{Export, RuleRow};
use microlp::{ComparisonOp, OptimizationDirection, SolveOptions, Variable};
use pumpkin_conflict_resolvers::resolvers::ResolutionResolver;
use pumpkin_core::Solver;
use pumpkin_core::optimisation::OptimisationDirection;
use pumpkin_core::optimisation::linear_sat_unsat::LinearSatUnsat;
use pumpkin_core::predicate;
use pumpkin_core::results::{OptimisationResult, ProblemSolution};
use pumpkin_core::termination::TimeBudget;
use pumpkin_core::variables::{AffineView, DomainId, TransformableVariable};

/// What a solver comes to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Answer {
    /// The weight of the best plan.
    Best([i64; 4]),
    /// There is no plan.
    NoPlan,
    /// It did not come to an end.
    NotInTime,
}

impl Answer {
    pub fn of(weight: Option<[i64; 4]>) -> Answer {
        weight.map_or(Answer::NoPlan, Answer::Best)
    }
}

fn small(number: i64) -> i32 {
    i32::try_from(number).unwrap()
}

/// What a row of a rule adds, by the number of the row.
fn adds(rule: &RuleRow) -> BTreeMap<usize, [i64; 4]> {
    rule.adds.iter().copied().collect()
}

/// A problem for the solver that learns clauses.
struct Clauses {
    solver: Solver,
    /// For each of the four numbers what is added up.
    parts: [Vec<AffineView<DomainId>>; 4],
    solvable: bool,
}

impl Clauses {
    /// A number that follows a choice; none where it is always nothing.
    fn follows(&mut self, choice: DomainId, of: &[i64]) -> Option<DomainId> {
        if of.iter().all(|value| *value == 0) {
            return None;
        }
        let values: BTreeSet<i32> = of.iter().map(|value| small(*value)).collect();
        let number = self
            .solver
            .new_sparse_integer(values.iter().copied().collect::<Vec<_>>());
        let tag = self.solver.new_constraint_tag();
        for value in values {
            let mut any = vec![predicate![number != value]];
            for (index, _) in of.iter().enumerate().filter(|(_, of)| small(**of) == value) {
                let index = i32::try_from(index).unwrap();
                self.solver.add_clause(
                    [predicate![choice != index], predicate![number == value]],
                    tag,
                );
                any.push(predicate![choice == index]);
            }
            self.solver.add_clause(any, tag);
        }
        Some(number)
    }

    fn of(problem: &Export) -> Clauses {
        let mut made = Clauses {
            solver: Solver::default(),
            parts: Default::default(),
            solvable: true,
        };
        let mut chosen = Vec::new();
        for place in &problem.places {
            let last = i32::try_from(place.choices.len()).unwrap() - 1;
            let choice = made.solver.new_bounded_integer(0, last);
            chosen.push(choice);
            for part in 0..4 {
                let weights: Vec<i64> = place.choices.iter().map(|one| one.weight[part]).collect();
                // The number of a choice stands for itself.
                let plain = (0..)
                    .zip(&weights)
                    .all(|(number, weight)| number == *weight);
                let number = if plain && last > 0 {
                    Some(choice)
                } else {
                    made.follows(choice, &weights)
                };
                made.parts[part].extend(number.map(|number| number.scaled(1)));
            }
        }
        for rule in &problem.rules {
            made.rule(rule, &chosen);
        }
        made
    }

    fn rule(&mut self, rule: &RuleRow, chosen: &[DomainId]) {
        self.solvable &= !rule.allowed.is_empty();
        if rule.allowed.is_empty() {
            return;
        }
        let mut columns = Vec::new();
        for (place, sorts) in rule.places.iter().zip(&rule.sorts) {
            let sorts: Vec<i64> = sorts.iter().map(|sort| i64::from(*sort)).collect();
            let plain = (0..).zip(&sorts).all(|(number, sort)| number == *sort);
            let sort = if plain {
                chosen[*place]
            } else {
                let number = self.follows(chosen[*place], &sorts);
                number.unwrap_or_else(|| self.solver.new_bounded_integer(0, 0))
            };
            columns.push(sort);
        }
        let mut rows: Vec<Vec<i32>> = rule
            .allowed
            .iter()
            .map(|row| row.iter().map(|sort| small(i64::from(*sort))).collect())
            .collect();
        let adds = adds(rule);
        for part in 0..4 {
            if adds.values().all(|weight| weight[part] == 0) {
                continue;
            }
            let of = |row: usize| adds.get(&row).map_or(0, |weight| small(weight[part]));
            let values: BTreeSet<i32> = (0..rows.len()).map(of).collect();
            let values: Vec<i32> = values.into_iter().collect();
            let number = self.solver.new_sparse_integer(values);
            columns.push(number);
            self.parts[part].push(number.scaled(1));
            for (row, columns) in rows.iter_mut().enumerate() {
                columns.push(of(row));
            }
        }
        if columns.is_empty() {
            return;
        }
        let tag = self.solver.new_constraint_tag();
        let table = pumpkin_constraints::table(columns, rows, tag);
        self.solver.add_constraint(table).post();
    }

    /// The sum of one of the four numbers, no more than so much.
    fn at_most(&mut self, part: usize, most: i32) {
        let tag = self.solver.new_constraint_tag();
        let terms = self.parts[part].clone();
        if terms.is_empty() {
            return;
        }
        self.solver
            .add_constraint(pumpkin_constraints::less_than_or_equals(terms, most, tag))
            .post();
    }
}

/// Asks the solver that learns clauses.
pub fn clauses(problem: &Export, patience: Duration) -> Answer {
    let mut time = TimeBudget::starting_now(patience);
    let mut model = Clauses::of(problem);
    if !model.solvable {
        return Answer::NoPlan;
    }
    if let Some(budget) = problem.budget {
        model.at_most(1, small(budget));
    }
    let mut best = [0; 4];
    for (part, best) in best.iter_mut().enumerate() {
        let mut terms = model.parts[part].clone();
        let most: i32 = terms
            .iter()
            .map(|term| model.solver.upper_bound(term))
            .sum();
        let total = model.solver.new_bounded_integer(0, most);
        terms.push(total.scaled(-1));
        let tag = model.solver.new_constraint_tag();
        model
            .solver
            .add_constraint(pumpkin_constraints::less_than_or_equals(terms, 0, tag))
            .post();
        let mut brancher = model.solver.default_brancher();
        let mut resolver = ResolutionResolver::default();
        let heard = |_: &Solver, _: pumpkin_core::results::SolutionReference<'_>, _: &_, _: &_| {
            ControlFlow::<()>::Continue(())
        };
        let way = LinearSatUnsat::new(OptimisationDirection::Minimise, total, heard);
        let found = model
            .solver
            .optimise(&mut brancher, &mut time, &mut resolver, way);
        match found {
            OptimisationResult::Optimal(plan) => {
                let least = plan.get_integer_value(total);
                *best = i64::from(least);
                model.at_most(part, least);
            }
            OptimisationResult::Unsatisfiable => return Answer::NoPlan,
            _ => return Answer::NotInTime,
        }
    }
    Answer::Best(best)
}

/// Asks the solver for mixed integer programs: each choice is yes or no, each row of a rule a share.
pub fn integers(problem: &Export, patience: Duration) -> Answer {
    let began = Instant::now();
    let mut best: Vec<i64> = Vec::new();
    for part in 0..4 {
        let mut model = microlp::Problem::new(OptimizationDirection::Minimize);
        let mut parts: [Vec<(Variable, f64)>; 4] = Default::default();
        let mut add = |weight: [i64; 4], when: Variable| {
            for (part, amount) in parts.iter_mut().zip(weight) {
                if amount != 0 {
                    part.push((when, f64::from(small(amount))));
                }
            }
        };
        let cost = |weight: [i64; 4]| f64::from(small(weight[part]));
        let mut chosen = Vec::new();
        for place in &problem.places {
            let mut choices = Vec::new();
            for choice in &place.choices {
                let there = model.add_binary_var(cost(choice.weight));
                add(choice.weight, there);
                choices.push(there);
            }
            let one: Vec<_> = choices.iter().map(|there| (*there, 1.0)).collect();
            model.add_constraint(&one, ComparisonOp::Eq, 1.0);
            chosen.push(choices);
        }
        for rule in &problem.rules {
            if rule.allowed.is_empty() {
                return Answer::NoPlan;
            }
            let adds = adds(rule);
            let mut sorts: BTreeMap<(usize, u32), Vec<(Variable, f64)>> = BTreeMap::new();
            for (position, place) in rule.places.iter().enumerate() {
                for (choice, sort) in chosen[*place].iter().zip(&rule.sorts[position]) {
                    sorts
                        .entry((position, *sort))
                        .or_default()
                        .push((*choice, 1.0));
                }
            }
            let mut whole = Vec::new();
            for (number, row) in rule.allowed.iter().enumerate() {
                let weight = adds.get(&number).copied().unwrap_or_default();
                let share = model.add_var(cost(weight), (0.0, 1.0));
                add(weight, share);
                whole.push((share, 1.0));
                for (position, sort) in row.iter().enumerate() {
                    sorts
                        .entry((position, *sort))
                        .or_default()
                        .push((share, -1.0));
                }
            }
            model.add_constraint(&whole, ComparisonOp::Eq, 1.0);
            for terms in sorts.into_values() {
                model.add_constraint(&terms, ComparisonOp::Eq, 0.0);
            }
        }
        let bounds = problem.budget.map(|budget| (1, budget));
        for (part, most) in best.iter().copied().enumerate().chain(bounds) {
            model.add_constraint(
                &parts[part],
                ComparisonOp::Le,
                f64::from(small(most)) + 0.25,
            );
        }
        if parts[part].is_empty() && !best.is_empty() {
            best.push(0);
            continue;
        }
        let mut options = SolveOptions::default();
        options.time_limit = Some(patience.saturating_sub(began.elapsed()));
        match model.solve_with(options) {
            Ok(found)
                if found.termination_reason() == microlp::TerminationReason::ProvenOptimal =>
            {
                let least = found.into_solution().unwrap().objective().round();
                best.push(least as i64);
            }
            Err(microlp::Error::Infeasible) => return Answer::NoPlan,
            _ => return Answer::NotInTime,
        }
    }
    Answer::of(best.try_into().ok())
}
