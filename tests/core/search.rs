//! The search for the cheapest plan against trying every choice, and its conflicts against
//! leaving out each of their members, on random problems.

use std::rc::Rc;

use compat_core::solve::plan::{Conflict, Judge, Limits, Problem, Weight, conflict, search};

/// A generator of numbers that needs no seed from outside: the same problems every time.
pub struct Dice(u64);

impl Dice {
    pub fn new(seed: u64) -> Self {
        Dice(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1)
    }

    pub fn roll(&mut self, below: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        usize::try_from(self.0 >> 33).unwrap() % below.max(1)
    }
}

/// Rules as whole tables: for each choice of their places, in the order of the places, what it adds.
pub struct Tables {
    pub sizes: Vec<usize>,
    pub rules: Vec<Vec<usize>>,
    pub tables: Vec<Vec<Option<Weight>>>,
}

impl Judge for Tables {
    fn weigh(&mut self, rule: usize, choices: &[usize]) -> Option<Weight> {
        let mut index = 0;
        for (place, choice) in self.rules[rule].iter().zip(choices) {
            index = index * self.sizes[*place] + choice;
        }
        self.tables[rule][index]
    }

    fn same(&mut self, rule: usize, position: usize, one: usize, other: usize) -> bool {
        let over = self.rules[rule].clone();
        let mut choices = vec![0; over.len()];
        loop {
            let mut with = |choice| {
                choices[position] = choice;
                self.weigh(rule, &choices)
            };
            if with(one) != with(other) {
                return false;
            }
            choices[position] = 0;
            let mut at = 0;
            loop {
                if at == over.len() {
                    return true;
                }
                if at != position {
                    choices[at] += 1;
                    if choices[at] < self.sizes[over[at]] {
                        break;
                    }
                    choices[at] = 0;
                }
                at += 1;
            }
        }
    }
}

pub fn random(dice: &mut Dice, places: usize, most: usize, rules: usize) -> (Problem, Tables) {
    let mut problem = Problem::default();
    for _ in 0..1 + dice.roll(places) {
        let mut choices: Vec<Weight> = (0..1 + dice.roll(most))
            .map(|choice| Weight {
                open: 0,
                money: i64::try_from(dice.roll(12)).unwrap() * i64::from(choice > 0),
                changes: i64::from(choice > 0),
                order: i64::try_from(choice).unwrap(),
            })
            .collect();
        choices.sort();
        Rc::make_mut(&mut problem.places).push(choices);
    }
    let sizes: Vec<usize> = problem.places.iter().map(Vec::len).collect();
    let mut tables = Tables {
        sizes: sizes.clone(),
        rules: Vec::new(),
        tables: Vec::new(),
    };
    let allowed = 2 + dice.roll(7);
    for _ in 0..dice.roll(rules + 1) {
        let mut over: Vec<usize> = Vec::new();
        for _ in 0..1 + dice.roll(3) {
            let place = dice.roll(sizes.len());
            if !over.contains(&place) {
                over.push(place);
            }
        }
        let count: usize = over.iter().map(|place| sizes[*place]).product();
        let table = (0..count).map(|_| match dice.roll(10) {
            roll if roll >= allowed => None,
            0 => Some(Weight::money(1 + i64::try_from(dice.roll(5)).unwrap())),
            1 if dice.roll(4) == 0 => Some(Weight::open()),
            _ => Some(Weight::NOTHING),
        });
        tables.tables.push(table.collect());
        tables.rules.push(over);
    }
    problem.rules = tables.rules.clone();
    if dice.roll(3) == 0 {
        problem.budget = Some(i64::try_from(dice.roll(25)).unwrap());
    }
    (problem, tables)
}

/// The weight of the lightest of all choices, each of them tried.
fn brute(problem: &Problem, tables: &mut Tables, on: &[bool]) -> Option<Weight> {
    let mut best: Option<Weight> = None;
    let mut choices = vec![0; problem.places.len()];
    loop {
        let mut weight: Option<Weight> = Some(
            choices
                .iter()
                .zip(problem.places.iter())
                .map(|(choice, place)| place[*choice])
                .sum(),
        );
        for (rule, places) in problem
            .rules
            .iter()
            .enumerate()
            .filter(|(rule, _)| on[*rule])
        {
            let of: Vec<usize> = places.iter().map(|place| choices[*place]).collect();
            weight = weight.zip(tables.weigh(rule, &of)).map(|(a, b)| a + b);
        }
        let affords = |weight: &Weight| problem.budget.is_none_or(|budget| weight.money <= budget);
        if let Some(weight) = weight.filter(affords) {
            best = Some(best.map_or(weight, |best| best.min(weight)));
        }
        let mut place = 0;
        loop {
            let Some(choice) = choices.get_mut(place) else {
                return best;
            };
            *choice += 1;
            if *choice < problem.places[place].len() {
                break;
            }
            *choice = 0;
            place += 1;
        }
    }
}

pub const NO_LIMITS: Limits<'static> = Limits {
    steps: u64::MAX,
    stop: &|_| false,
};

#[test]
fn the_search_finds_what_trying_everything_finds() {
    let mut dice = Dice::new(7);
    let (mut solved, mut unsolved) = (0, 0);
    for number in 0..10_000 {
        let (problem, mut tables) = random(&mut dice, 6, 5, 9);
        let on = vec![true; problem.rules.len()];
        let wanted = brute(&problem, &mut tables, &on);
        let found = search(&problem, &mut tables, &on, None, &NO_LIMITS);
        assert!(found.proved);
        assert_eq!(
            found.best.as_ref().map(|(weight, _)| *weight),
            wanted,
            "{number}: {problem:?}"
        );
        match found.best {
            Some(_) => solved += 1,
            None => unsolved += 1,
        }
        // A bound that nothing is under finds nothing, and one just above finds the same.
        if let Some(weight) = wanted {
            let under = search(&problem, &mut tables, &on, Some(weight), &NO_LIMITS);
            assert_eq!(under.best, None);
        }
    }
    assert!(
        solved > 2_000 && unsolved > 2_000,
        "{solved} and {unsolved}"
    );
}

#[test]
fn a_conflict_holds_together_and_nothing_in_it_can_be_left_out() {
    let mut dice = Dice::new(11);
    let mut seen = 0;
    for _ in 0..4_000 {
        let (problem, mut tables) = random(&mut dice, 5, 4, 9);
        let on = vec![true; problem.rules.len()];
        let failed = search(&problem, &mut tables, &on, None, &NO_LIMITS);
        if failed.best.is_some() {
            continue;
        }
        seen += 1;
        let found = conflict(&problem, &mut tables, &failed, &[], &NO_LIMITS).unwrap();
        let solvable = |conflict: &Conflict, without: Option<usize>, tables: &mut Tables| {
            let kept = |rule: usize| conflict.rules.contains(&rule) && Some(rule) != without;
            let on: Vec<bool> = (0..problem.rules.len()).map(kept).collect();
            let mut problem = problem.clone();
            problem.budget = problem.budget.filter(|_| conflict.budget);
            brute(&problem, tables, &on).is_some()
        };
        assert!(!solvable(&found, None, &mut tables));
        for rule in &found.rules {
            assert!(solvable(&found, Some(*rule), &mut tables));
        }
        if found.budget {
            let without = Conflict {
                budget: false,
                ..found.clone()
            };
            assert!(solvable(&without, None, &mut tables));
        }
    }
    assert!(seen > 1_000, "{seen}");
}

#[test]
fn a_search_that_is_stopped_says_what_it_knows() {
    let mut dice = Dice::new(3);
    let mut stopped = 0;
    for _ in 0..500 {
        let (problem, mut tables) = random(&mut dice, 8, 6, 12);
        let on = vec![true; problem.rules.len()];
        let whole = search(&problem, &mut tables, &on, None, &NO_LIMITS);
        let limits = Limits {
            steps: 4,
            stop: &|_| false,
        };
        let short = search(&problem, &mut tables, &on, None, &limits);
        assert!(short.steps <= 4);
        let Some((best, _)) = whole.best else {
            assert_eq!(short.best, None);
            continue;
        };
        assert!(short.least <= best, "no plan is lighter than it says");
        if let Some((weight, _)) = short.best {
            assert!(weight >= best);
        }
        stopped += usize::from(!short.proved);
    }
    assert!(stopped > 20, "{stopped}");
}

#[test]
fn a_search_that_lets_things_be_open_finds_what_trying_everything_finds() {
    let mut dice = Dice::new(23);
    let (mut left_open, mut cheaper) = (0, 0);
    for number in 0..4_000 {
        let (mut problem, mut tables) = random(&mut dice, 6, 5, 9);
        // What was forbidden may mostly be had by measuring; so there is always something to weigh.
        for said in tables.tables.iter_mut().flatten() {
            if said.is_none() && dice.roll(3) > 0 {
                *said = Some(Weight {
                    open: 1 + i64::try_from(dice.roll(2)).unwrap(),
                    ..Weight::NOTHING
                });
            }
        }
        let on = vec![true; problem.rules.len()];
        let wanted = brute(&problem, &mut tables, &on);
        // With nothing left open, then with the least that was turned away for it, and so on.
        let mut open = 0;
        let found = loop {
            problem.open = Some(open);
            let found = search(&problem, &mut tables, &on, None, &NO_LIMITS);
            assert!(found.proved);
            match found.too_open {
                Some(next) if found.best.is_none() => open = next.max(open + 1),
                _ => break found.best.map(|(weight, _)| weight),
            }
        };
        assert_eq!(found, wanted, "{number}: {problem:?}");
        left_open += usize::from(wanted.is_some_and(|weight| weight.open > 0));
        cheaper += usize::from(wanted.is_some_and(|weight| weight.open > 1 && weight.money > 0));
    }
    assert!(left_open > 500 && cheaper > 50, "{left_open} and {cheaper}");
}
