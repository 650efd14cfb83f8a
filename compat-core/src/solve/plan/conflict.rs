//! What cannot all hold: rules that leave no plan, of which none can be left out.
//!
//! The set is grown from nothing: a plan of what was taken in so far is looked for, and the simplest
//! rule that it breaks is taken in, until there is none. So a conflict is about as few places as it
//! can be, and no rule is asked that has nothing to do with it. Then each that was taken in is left
//! out in turn, and stays out where there is still no plan.

use super::problem::{Found, Judge, Limits, Problem};
use super::search::any;
use super::weight::Weight;

/// Rules that leave no plan, of which none can be left out.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Conflict {
    /// The rules.
    pub rules: Vec<usize>,
    /// True where the budget is one of them.
    pub budget: bool,
}

/// What comes of rules that may not all hold.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Clash {
    /// There is a plan.
    Plan,
    /// There is none.
    Conflict(Conflict),
    /// The search was stopped before it was known.
    Unknown,
}

/// The conflict behind a search that found no plan. `given` are rules that stand whatever happens
/// and are not named. Nothing where a search was stopped before it knew.
pub fn conflict(
    problem: &Problem,
    judge: &mut impl Judge,
    failed: &Found,
    given: &[usize],
    limits: &Limits<'_>,
) -> Option<Conflict> {
    let mut problem = problem.clone();
    problem.budget = problem.budget.filter(|_| failed.dear);
    match clash(&problem, judge, &failed.core, given, limits) {
        Clash::Conflict(conflict) => Some(conflict),
        Clash::Plan | Clash::Unknown => None,
    }
}

/// Whether there is a plan with the rules that are switched on and those given; where there is none,
/// what stands in the way, the given ones not named.
pub fn clash(
    problem: &Problem,
    judge: &mut impl Judge,
    among: &[bool],
    given: &[usize],
    limits: &Limits<'_>,
) -> Clash {
    let budget = problem.budget;
    let mut problem = problem.clone();
    problem.budget = None;
    let mut on = vec![false; problem.rules.len()];
    for rule in given {
        set(&mut on, *rule, true);
    }
    // The simplest first: those over few places, and before others those that a given rule shares
    // a place with.
    let all = 0..problem.rules.len();
    let places = |rule: usize| problem.rules.get(rule).map_or(&[][..], Vec::as_slice);
    let near: Vec<usize> = given
        .iter()
        .flat_map(|rule| places(*rule))
        .copied()
        .collect();
    let mut order: Vec<usize> = all
        .filter(|rule| among.get(*rule).copied().unwrap_or(false) && !given.contains(rule))
        .collect();
    order.sort_by_key(|rule| {
        let places = places(*rule);
        let far = places.len() > 1 && !places.iter().any(|place| near.contains(place));
        (far, places.len())
    });
    loop {
        let found = any(&problem, judge, &on, limits);
        let Some((_, choices)) = found.best else {
            if !found.proved {
                return Clash::Unknown;
            }
            rest(&mut on, &found, given);
            break;
        };
        let broken = broken(&problem, judge, &choices, (&order, &on), budget);
        match broken {
            Broken::Rule(rule) => set(&mut on, rule, true),
            Broken::Budget => problem.budget = budget,
            Broken::Nothing => return Clash::Plan,
        }
    }
    if let Some(budget) = problem.budget.take() {
        let without = any(&problem, judge, &on, limits);
        match without.best {
            Some(_) => problem.budget = Some(budget),
            None if !without.proved => return Clash::Unknown,
            None => rest(&mut on, &without, given),
        }
    }
    for rule in order.into_iter().rev() {
        if !on.get(rule).copied().unwrap_or(false) {
            continue;
        }
        set(&mut on, rule, false);
        let without = any(&problem, judge, &on, limits);
        if without.best.is_some() {
            set(&mut on, rule, true);
        } else if !without.proved {
            return Clash::Unknown;
        } else {
            rest(&mut on, &without, given);
        }
    }
    let numbers = on.iter().enumerate().filter(|(_, on)| **on);
    let rules = numbers.map(|(rule, _)| rule);
    Clash::Conflict(Conflict {
        rules: rules.filter(|rule| !given.contains(rule)).collect(),
        budget: problem.budget.is_some(),
    })
}

/// Leaves those on that a proof rests on.
fn rest(on: &mut [bool], found: &Found, given: &[usize]) {
    for (rule, on) in on.iter_mut().enumerate() {
        let rests = found.core.get(rule).copied().unwrap_or(false);
        *on &= rests || given.contains(&rule);
    }
}

/// What a plan breaks.
enum Broken {
    Nothing,
    Rule(usize),
    Budget,
}

/// The first that a plan breaks of the rules in their order that are not on yet.
fn broken(
    problem: &Problem,
    judge: &mut impl Judge,
    plan: &[usize],
    (order, on): (&[usize], &[bool]),
    budget: Option<i64>,
) -> Broken {
    let chosen = |place: &usize| plan.get(*place).copied().unwrap_or(0);
    let weight = |(choices, choice): (&Vec<Weight>, &usize)| choices.get(*choice).copied();
    let mut money: i64 = problem
        .places
        .iter()
        .zip(plan)
        .filter_map(weight)
        .fold(0, |all, weight| all.saturating_add(weight.money));
    let mut dear = None;
    let given = (0..on.len()).filter(|rule| !order.contains(rule));
    for rule in order.iter().copied().chain(given) {
        let is_on = on.get(rule).copied().unwrap_or(false);
        if is_on && budget.is_none() || !is_on && !order.contains(&rule) {
            continue;
        }
        let places = problem.rules.get(rule).into_iter().flatten();
        let choices: Vec<usize> = places.map(chosen).collect();
        match judge.weigh(rule, &choices) {
            None if !is_on => return Broken::Rule(rule),
            None => {}
            Some(weight) => {
                money = money.saturating_add(weight.money);
                if weight.money > 0 && !is_on {
                    dear = dear.or(Some(rule));
                }
            }
        }
    }
    match budget {
        Some(budget) if money > budget => match dear.filter(|_| problem.budget.is_some()) {
            Some(rule) => Broken::Rule(rule),
            None => Broken::Budget,
        },
        _ => Broken::Nothing,
    }
}

fn set(on: &mut [bool], rule: usize, to: bool) {
    if let Some(on) = on.get_mut(rule) {
        *on = to;
    }
}
