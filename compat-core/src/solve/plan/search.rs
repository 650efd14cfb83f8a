//! The search for the lightest choice that every rule allows: branch and bound over one choice for
//! each place, with what a choice forces on the others worked out at once.
//!
//! It knows places, choices with their weights, and rules over some of the places; what they stand
//! for is said by whoever judges them. Depth first, the lightest choice first, so that the first
//! plan found is a good one. A branch is left
//!
//! - where a rule over chosen places forbids the choice;
//! - where the least that can still come of it is no lighter than the best plan known: the weights
//!   of what was chosen, the lightest choice still open for every other place, and for rules that
//!   forbid those, the least step away from them, each place counted once;
//! - where a failure had nothing to do with the place: its other choices would fail the same way.

use smallvec::SmallVec;

use super::ground::{Failure, Ground, Set, Undo};
use super::problem::{Found, Judge, Limits, MOST_PLACES, MOST_RULES, Problem};
use super::weight::{Apart, Weight};

/// Searches for the lightest plan lighter than `under`, where one is given, with the rules that are
/// switched on.
pub fn search(
    problem: &Problem,
    judge: &mut impl Judge,
    on: &[bool],
    under: Option<Weight>,
    limits: &Limits<'_>,
) -> Found {
    searched(problem, judge, on, (under, false), limits)
}

/// Whether there is any plan with the rules that are switched on: stops at the first one.
pub fn any(problem: &Problem, judge: &mut impl Judge, on: &[bool], limits: &Limits<'_>) -> Found {
    searched(problem, judge, on, (None, true), limits)
}

fn searched(
    problem: &Problem,
    judge: &mut impl Judge,
    on: &[bool],
    (under, any): (Option<Weight>, bool),
    limits: &Limits<'_>,
) -> Found {
    let mut rules_of: Vec<Vec<usize>> = vec![Vec::new(); problem.places.len()];
    for (rule, places) in problem.rules.iter().enumerate() {
        if on.get(rule).copied().unwrap_or(false) {
            for place in places {
                if let Some(rules) = rules_of.get_mut(*place) {
                    rules.push(rule);
                }
            }
        }
    }
    let mut search = Search {
        problem,
        judge,
        on,
        limits,
        rules_of,
        now: vec![0; problem.places.len()],
        chosen: vec![false; problem.places.len()],
        why: vec![Ground::default(); problem.places.len()],
        said: vec![Some(Weight::NOTHING); problem.rules.len()],
        trail: Vec::new(),
        found: Found {
            spoke: vec![false; problem.rules.len()],
            ..Found::default()
        },
        bound: under,
        any,
        stopped: problem.places.len() > MOST_PLACES || problem.rules.len() > MOST_RULES,
        buffer: Vec::new(),
        alone: vec![Vec::new(); problem.places.len()],
    };
    search.run();
    search.found
}

pub(super) struct Search<'a, J> {
    pub(super) problem: &'a Problem,
    pub(super) judge: &'a mut J,
    on: &'a [bool],
    limits: &'a Limits<'a>,
    pub(super) rules_of: Vec<Vec<usize>>,
    /// The choice of each place that was chosen, and of every other the lightest still open.
    now: Vec<usize>,
    chosen: Vec<bool>,
    /// For each place that is not chosen, what closed its lighter choices.
    why: Vec<Ground>,
    /// What each rule says of the choices as they are now.
    said: Vec<Option<Weight>>,
    trail: Vec<Undo>,
    found: Found,
    bound: Option<Weight>,
    /// True where any plan will do.
    any: bool,
    stopped: bool,
    buffer: Vec<usize>,
    /// For each choice, the first from it on that the rules over its place alone allow, once they were
    /// asked.
    alone: Vec<Vec<Option<usize>>>,
}

impl<J: Judge> Search<'_, J> {
    fn run(&mut self) {
        let mut open = true;
        for rule in 0..self.problem.rules.len() {
            if self.is_on(rule) {
                let said = self.weigh_now(rule);
                self.put_said(rule, said);
            }
        }
        // What a rule over one place alone forbids is closed from the start.
        for place in 0..self.problem.places.len() {
            if self.problem.places.get(place).is_none_or(Vec::is_empty) {
                open = false;
                continue;
            }
            match self.first_open(place, 0) {
                Some(choice) => self.set_now(place, choice, Ground::default()),
                None => open = false,
            }
        }
        self.found.least = self.lightest();
        let failure = if open && !self.stopped {
            self.node()
        } else {
            Failure::default()
        };
        self.found.proved = !self.stopped;
        if self.found.proved && self.found.best.is_none() {
            // What a rule over one place alone closes is in no ground.
            let rules = self.problem.rules.iter().zip(&self.found.spoke);
            let core = rules.enumerate().map(|(rule, (places, spoke))| {
                failure.on.rules.has(rule) || *spoke && places.len() <= 1
            });
            self.found.core = core.collect();
        }
        if let (true, Some((best, _))) = (self.found.proved, &self.found.best) {
            self.found.least = *best;
        }
    }

    fn is_on(&self, rule: usize) -> bool {
        self.on.get(rule).copied().unwrap_or(false)
    }

    fn weight(&self, place: usize, choice: usize) -> Weight {
        let weights = self.problem.places.get(place);
        weights
            .and_then(|weights| weights.get(choice))
            .copied()
            .unwrap_or_default()
    }

    fn now(&self, place: usize) -> usize {
        self.now.get(place).copied().unwrap_or(0)
    }

    pub(super) fn is_chosen(&self, place: usize) -> bool {
        self.chosen.get(place).copied().unwrap_or(false)
    }

    pub(super) fn places_of(&self, rule: usize) -> &[usize] {
        self.problem.rules.get(rule).map_or(&[], Vec::as_slice)
    }

    /// What a rule says of the choices as they are.
    fn weigh_now(&mut self, rule: usize) -> Option<Weight> {
        let mut choices = std::mem::take(&mut self.buffer);
        choices.clear();
        let places = self.problem.rules.get(rule).map_or(&[][..], Vec::as_slice);
        choices.extend(places.iter().map(|place| self.now(*place)));
        let said = self.judge.weigh(rule, &choices);
        self.buffer = choices;
        // A price counts against the budget, as long as there is one.
        let counts = |weight: Weight| weight.money > 0 && self.problem.budget.is_some();
        if said.is_none_or(counts)
            && let Some(spoke) = self.found.spoke.get_mut(rule)
        {
            *spoke = true;
        }
        said
    }

    fn put_said(&mut self, rule: usize, said: Option<Weight>) {
        if let Some(place) = self.said.get_mut(rule) {
            self.trail.push(Undo::Said(rule, *place));
            *place = said;
        }
    }

    /// Makes a choice the one that stands for a place, and asks the rules about it.
    fn set_now(&mut self, place: usize, choice: usize, why: Ground) {
        let (Some(now), Some(known)) = (self.now.get_mut(place), self.why.get_mut(place)) else {
            return;
        };
        self.trail.push(Undo::Now(place, *now, *known));
        known.join(why);
        if *now == choice {
            return;
        }
        *now = choice;
        for index in 0..self.rules_of.get(place).map_or(0, Vec::len) {
            let Some(rule) = self.rules_of.get(place).and_then(|rules| rules.get(index)) else {
                continue;
            };
            let rule = *rule;
            let said = self.weigh_now(rule);
            self.put_said(rule, said);
        }
    }

    fn undo(&mut self, mark: usize) {
        while self.trail.len() > mark {
            match self.trail.pop() {
                Some(Undo::Now(place, choice, why)) => {
                    if let Some(now) = self.now.get_mut(place) {
                        *now = choice;
                    }
                    if let Some(known) = self.why.get_mut(place) {
                        *known = why;
                    }
                }
                Some(Undo::Said(rule, said)) => {
                    if let Some(known) = self.said.get_mut(rule) {
                        *known = said;
                    }
                }
                Some(Undo::Chosen(place)) => {
                    if let Some(chosen) = self.chosen.get_mut(place) {
                        *chosen = false;
                    }
                }
                None => {}
            }
        }
    }

    /// True where a rule is about no place that is not chosen, but for one.
    pub(super) fn only_open(&self, rule: usize, place: usize) -> bool {
        self.places_of(rule)
            .iter()
            .all(|other| *other == place || self.is_chosen(*other))
    }

    /// The first choice of a place, from one on, that no rule forbids of which every other place is
    /// chosen.
    fn first_open(&mut self, place: usize, from: usize) -> Option<usize> {
        let rules = self.rules_of.get(place).map_or(&[][..], Vec::as_slice);
        let deciding =
            |rule: &&usize| self.places_of(**rule).len() > 1 && self.only_open(**rule, place);
        let rules: SmallVec<[usize; 8]> = rules.iter().filter(deciding).copied().collect();
        let mut choice = self.first_alone(place, from)?;
        loop {
            let before = choice;
            choice = self.moved_on(place, choice, &rules)?;
            if choice == before {
                return Some(choice);
            }
            choice = self.first_alone(place, choice)?;
        }
    }

    /// The weights of the choices as they are, rules not counted.
    fn lightest(&self) -> Weight {
        let places = 0..self.problem.places.len();
        places
            .map(|place| self.weight(place, self.now(place)))
            .sum()
    }

    /// Everything below the choices made so far. Says which chosen places its failure rests on.
    fn node(&mut self) -> Failure {
        self.found.steps += 1;
        if self.found.steps >= self.limits.steps
            || self.found.steps.is_multiple_of(64) && (self.limits.stop)(self.found.steps)
        {
            self.stopped = true;
        }
        if self.stopped {
            return Failure::default();
        }
        let choices = self.lightest();
        // What the rules say of the choices as they are: forbidden, or at a price.
        let mut extra = Weight::NOTHING;
        let mut settled = Weight::NOTHING;
        let mut broken: Vec<(usize, usize)> = Vec::new();
        let mut priced: Vec<(usize, usize)> = Vec::new();
        let mut because = Ground::default();
        for rule in 0..self.problem.rules.len() {
            if !self.is_on(rule) {
                continue;
            }
            let said = self.said.get(rule).copied().flatten();
            if said == Some(Weight::NOTHING) {
                continue;
            }
            let places = self.places_of(rule).iter();
            let open = places.filter(|place| !self.is_chosen(**place)).count();
            match said {
                None if open == 0 => return Failure::of(self.ground_of(rule)),
                None => broken.push((open, rule)),
                Some(weight) => {
                    extra = extra + weight;
                    if open == 0 {
                        settled = settled + weight;
                        because.join(self.ground_of(rule));
                    } else {
                        priced.push((open, rule));
                    }
                }
            }
        }
        // Why the lightest choices are no lighter.
        for place in 0..self.problem.places.len() {
            if !self.is_chosen(place)
                && let Some(why) = self.why.get(place)
            {
                because.join(*why);
            }
        }
        let affords = |money: i64| self.problem.budget.is_none_or(|budget| money <= budget);
        let wanted = |open: i64| self.problem.open.is_none_or(|most| open <= most);
        let total = choices + extra;
        if broken.is_empty()
            && affords(total.money)
            && wanted(total.open)
            && self.bound.is_none_or(|best| total < best)
        {
            self.bound = Some(total);
            self.found.best = Some((total, self.now.clone()));
            if self.any {
                self.stopped = true;
                return Failure::default();
            }
        }
        if broken.is_empty() && priced.is_empty() {
            self.found.dear |= !affords(total.money);
            self.too_open(total.open);
            return Failure::heavy(because);
        }
        // The least that can come of this: a rule that forbids what stands now costs the least
        // step away from it. No place is counted twice.
        let mut least = choices + settled;
        // Where no plan leaves less open than so much, one may save money by leaving that open: what
        // the steps cost in money, and how much of it each may save so.
        let mut apart = Apart::default();
        let mut counted = Set::default();
        let mut stepped = because;
        broken.sort_unstable();
        priced.sort_unstable();
        for (_, rule) in broken.iter().chain(&priced) {
            let open: Vec<usize> = self
                .places_of(*rule)
                .iter()
                .copied()
                .filter(|place| !self.is_chosen(*place))
                .collect();
            if open.iter().any(|place| counted.has(*place)) {
                continue;
            }
            let said = self.said.get(*rule).copied().flatten();
            let mut away: Option<Weight> = None;
            for place in &open {
                let now = self.now(*place);
                if let Some(next) = self.first_alone(*place, now + 1) {
                    let more = self.weight(*place, next) - self.weight(*place, now);
                    away = Some(away.map_or(more, |away| away.min(more)));
                }
            }
            let step = said.into_iter().chain(away).min();
            stepped.join(self.ground_of(*rule));
            let Some(step) = step else {
                // Nothing of it can be changed.
                let mut ground = self.ground_of(*rule);
                for place in &open {
                    ground.join(self.why.get(*place).copied().unwrap_or_default());
                }
                return Failure::of(ground);
            };
            for place in &open {
                counted.add(*place);
            }
            least = least + step;
            apart.add(said, away);
        }
        if !affords((choices + settled).money) {
            self.found.dear = true;
            return Failure::heavy(because);
        }
        if !wanted((choices + settled).open) {
            self.too_open((choices + settled).open);
            return Failure::heavy(because);
        }
        let open = self.problem.open;
        let least = match open.filter(|open| *open > least.open) {
            Some(open) => apart.least(choices + settled, open),
            None => least,
        };
        if self.bound.is_some_and(|best| least >= best) {
            return Failure::heavy(stepped);
        }
        self.branch(&broken, &priced, because)
    }

    /// Remembers what was turned away because it left too much open.
    fn too_open(&mut self, open: i64) {
        if self.problem.open.is_some_and(|most| open > most) {
            let known = self.found.too_open.unwrap_or(open);
            self.found.too_open = Some(known.min(open));
        }
    }

    /// The least that can come of a weight, knowing how much every plan leaves open.
    fn at_least(&self, weight: Weight) -> Weight {
        Weight {
            open: weight.open.max(self.problem.open.unwrap_or(0)),
            ..weight
        }
    }

    /// The first choice from one on that no rule over this place alone forbids.
    fn first_alone(&mut self, place: usize, from: usize) -> Option<usize> {
        let count = self.problem.places.get(place).map_or(0, Vec::len);
        let known = self.alone.get(place)?;
        if let Some(Some(next)) = known.get(from) {
            return (*next < count).then_some(*next);
        }
        let rules = self.rules_of.get(place).map_or(&[][..], Vec::as_slice);
        let alone = rules.iter().copied();
        let alone: SmallVec<[usize; 8]> = alone
            .filter(|rule| self.places_of(*rule).len() == 1)
            .collect();
        let mut next = (from < count).then_some(from);
        if alone.is_empty() {
            return next;
        }
        while let Some(choice) = next {
            next = self.moved_on(place, choice, &alone);
            if next == Some(choice) {
                break;
            }
        }
        if let Some(known) = self.alone.get_mut(place) {
            if known.is_empty() {
                known.resize(count, None);
            }
            if let Some(known) = known.get_mut(from) {
                *known = Some(next.unwrap_or(count));
            }
        }
        next
    }

    /// Moves a choice of a place on by some rules, each in turn to the first it allows.
    fn moved_on(&mut self, place: usize, mut choice: usize, rules: &[usize]) -> Option<usize> {
        let count = self.problem.places.get(place).map_or(0, Vec::len);
        for rule in rules {
            let mut choices = std::mem::take(&mut self.buffer);
            choices.clear();
            let places = self.problem.rules.get(*rule).map_or(&[][..], Vec::as_slice);
            choices.extend(places.iter().map(|place| self.now(*place)));
            let position = places.iter().position(|other| *other == place).unwrap_or(0);
            if let Some(there) = choices.get_mut(position) {
                *there = choice;
            }
            let next = self.judge.first(*rule, position, &mut choices, count);
            self.buffer = choices;
            if next != Some(choice)
                && let Some(spoke) = self.found.spoke.get_mut(*rule)
            {
                *spoke = true;
            }
            choice = next?;
        }
        Some(choice)
    }

    /// Tries the choices of one place of a rule that forbids what stands now, or asks a price.
    fn branch(
        &mut self,
        broken: &[(usize, usize)],
        priced: &[(usize, usize)],
        because: Ground,
    ) -> Failure {
        let Some((_, rule)) = broken.first().or(priced.first()) else {
            return Failure::heavy(because);
        };
        let open = self.places_of(*rule).iter().copied();
        let open = open.filter(|place| !self.is_chosen(*place));
        let left = |place: &usize| {
            let all = self.problem.places.get(*place).map_or(0, Vec::len);
            (all.saturating_sub(self.now(*place)), *place)
        };
        let Some(place) = open.min_by_key(left) else {
            return Failure::heavy(because);
        };
        // Why the choices before the one that stands now are closed, and then why each fails.
        let mut fails = Failure::of(self.why.get(place).copied().unwrap_or_default());
        let others = self.lightest() - self.weight(place, self.now(place));
        let mut next = Some(self.now(place));
        // The choices that failed, and what spoke against them.
        let mut failed: Vec<(usize, Vec<(usize, usize)>)> = Vec::new();
        while let Some(choice) = next {
            if self.fails_alike(&failed, choice) {
                next = self.first_open(place, choice + 1);
                continue;
            }
            let weight = others + self.weight(place, choice);
            let dear = self
                .problem
                .budget
                .is_some_and(|budget| weight.money > budget);
            self.found.dear |= dear;
            if dear || self.bound.is_some_and(|best| self.at_least(weight) >= best) {
                fails.join(Failure::heavy(because));
                break;
            }
            let mark = self.trail.len();
            let below = match self.choose(place, choice) {
                None => self.node(),
                Some(ground) => Failure::of(ground),
            };
            self.undo(mark);
            if self.stopped {
                return Failure::default();
            }
            if !below.on.places.has(place) {
                // It had nothing to do with this place; but where the weight counted, lighter
                // choices of it would have.
                let mut below = below;
                if below.heavy {
                    below.on.join(fails.on);
                }
                below.on.places.drop(place);
                return below;
            }
            fails.join(below);
            fails.on.join(self.closers(place));
            failed.push((choice, self.spoke_of(place, &below.on)));
            next = self.first_open(place, choice + 1);
        }
        fails.on.places.drop(place);
        fails
    }

    /// Chooses, and moves every place on that is left with one rule to decide it.
    /// Says on what it fails, where it does.
    fn choose(&mut self, place: usize, choice: usize) -> Option<Ground> {
        self.set_now(place, choice, Ground::default());
        if let Some(chosen) = self.chosen.get_mut(place) {
            *chosen = true;
            self.trail.push(Undo::Chosen(place));
        }
        let mut affected: Vec<usize> = Vec::new();
        for rule in self.rules_of.get(place).map_or(&[][..], Vec::as_slice) {
            let mut open = self
                .places_of(*rule)
                .iter()
                .filter(|other| !self.is_chosen(**other));
            if let (Some(only), None) = (open.next(), open.next())
                && !affected.contains(only)
            {
                affected.push(*only);
            }
        }
        for other in affected {
            let now = self.now(other);
            match self.first_open(other, now) {
                Some(next) if next == now => {}
                Some(next) => {
                    let why = self.closers(other);
                    self.set_now(other, next, why);
                }
                None => {
                    let mut set = self.closers(other);
                    if let Some(why) = self.why.get(other) {
                        set.join(*why);
                    }
                    return Some(set);
                }
            }
        }
        None
    }
}
