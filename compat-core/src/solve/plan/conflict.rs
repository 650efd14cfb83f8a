//! What cannot all hold: the least set of rules that leaves no plan.

use super::problem::{Found, Judge, Limits, Problem};
use super::search::search;

/// Rules that leave no plan, of which none can be left out.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Conflict {
    /// The rules.
    pub rules: Vec<usize>,
    /// True where the budget is one of them.
    pub budget: bool,
}

/// The conflict behind a search that found no plan: each rule that spoke against something is left out in
/// turn, and stays out where there is still no plan. `given` are rules that stand whatever happens
/// and are not named. Nothing where a search was stopped before it knew.
pub fn conflict(
    problem: &Problem,
    judge: &mut impl Judge,
    failed: &Found,
    given: &[usize],
    limits: &Limits<'_>,
) -> Option<Conflict> {
    let mut problem = problem.clone();
    let mut on = failed.spoke.clone();
    for rule in given {
        if let Some(on) = on.get_mut(*rule) {
            *on = true;
        }
    }
    if !failed.dear {
        problem.budget = None;
    }
    if let Some(budget) = problem.budget.take() {
        let without = search(&problem, judge, &on, None, limits);
        if !without.proved && without.best.is_none() {
            return None;
        }
        if without.best.is_some() {
            problem.budget = Some(budget);
        }
    }
    for rule in 0..on.len() {
        if !on.get(rule).copied().unwrap_or(false) || given.contains(&rule) {
            continue;
        }
        set(&mut on, rule, false);
        let without = search(&problem, judge, &on, None, limits);
        if without.best.is_some() {
            set(&mut on, rule, true);
        } else if !without.proved {
            return None;
        } else {
            // What said nothing this time is not needed either.
            for (rule, on) in on.iter_mut().enumerate() {
                let spoke = without.spoke.get(rule).copied().unwrap_or(false);
                *on &= spoke || given.contains(&rule);
            }
        }
    }
    // The budget may no longer be needed now that less is asked.
    let numbers = on.iter().enumerate().filter(|(_, on)| **on);
    let rules = numbers.map(|(rule, _)| rule);
    Some(Conflict {
        rules: rules.filter(|rule| !given.contains(rule)).collect(),
        budget: problem.budget.is_some(),
    })
}

fn set(on: &mut [bool], rule: usize, to: bool) {
    if let Some(on) = on.get_mut(rule) {
        *on = to;
    }
}
