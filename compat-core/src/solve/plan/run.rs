//! The cheapest plan, the next best ones, what forces each purchase, and what stands in the way
//! where there is no plan. Every plan that leaves here was checked whole by the very check that a
//! swap set gets.

use super::build::{Built, Choice, Demand, Request};
use super::conflict::{Clash, Conflict, clash, conflict};
use super::lack::Lack;
use super::problem::{Found, Limits, Problem};
use super::search::search;
use super::shelf::{Shelf, Unit};
use super::weight::Weight;
use crate::bike::{Bike, JointAt, Stock, Swap, Wish, Wishes};
use crate::catalog::{Catalog, Labour};
use crate::dim::Cases;
use crate::solve::check::{Check, Finding, Options, judged};
use crate::solve::remedy::Insert;
use crate::text::Faults;
use crate::verdict::Verdict;

/// The most things that may be left open before the planner gives up.
const MOST_OPEN: i64 = 8 * Weight::AGAINST;

/// The most plans that the check may refuse before the planner gives up.
const MOST_REFUSED: usize = 50;

/// What a plan is made of and how it is looked for.
#[derive(Clone, Copy)]
pub struct Asked<'a> {
    /// The bike.
    pub bike: &'a Bike,
    /// What is wished.
    pub wishes: &'a Wishes,
    /// The parts bin.
    pub bin: Option<&'a Stock>,
    /// The price list.
    pub list: Option<&'a Stock>,
    /// What the work costs.
    pub labour: &'a Labour,
    /// Figures from memory count as unknown.
    pub strict: bool,
    /// Joints that must be measured first are let through; plans are ranked by how many.
    pub unmeasured: bool,
    /// The parts of the bin cost what their line says, and not nothing.
    pub worth: bool,
    /// How many of the next best plans are wanted.
    pub next: usize,
    /// The most steps, over all searches.
    pub steps: u64,
    /// Asked now and then with the steps so far; true stops the search.
    pub stop: &'a dyn Fn(u64) -> bool,
}

impl std::fmt::Debug for Asked<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Asked")
            .field("wishes", &self.wishes)
            .finish_non_exhaustive()
    }
}

/// What is done to a slot.
#[derive(Clone, Debug)]
pub enum Act {
    /// A part goes there, from a line of the bin or the price list.
    Put(Unit),
    /// What was there comes off, and nothing takes its place.
    Empty,
}

/// Why a change is part of a plan.
#[derive(Clone, Debug)]
pub enum Why {
    /// Without it these cannot all hold.
    Forced(Vec<Demand>, bool),
    /// Without it the cheapest plan weighs the first and not the second.
    Saves(Weight, Weight),
    /// A joint lacks it otherwise.
    Lacked(JointAt),
    /// It hangs on a part that goes, and goes with it.
    Goes(usize),
    /// A better plan does without it: this one is another way.
    Apart,
    /// The search was stopped before it was known.
    Unknown,
}

/// A change of a plan.
#[derive(Clone, Debug)]
pub struct Step {
    /// The slot.
    pub slot: usize,
    /// What is done.
    pub act: Act,
    /// What the work on it costs.
    pub labour: i64,
    /// Why.
    pub why: Why,
}

/// An adaptor that a plan needs.
#[derive(Clone, Debug)]
pub struct Bought {
    /// What it is.
    pub what: String,
    /// The line it can be had from; nothing where the usual price was taken.
    pub unit: Option<Unit>,
    /// What it costs.
    pub price: i64,
}

/// A plan.
#[derive(Debug)]
pub struct Plan {
    /// What it weighs.
    pub weight: Weight,
    /// Its changes, by slot.
    pub steps: Vec<Step>,
    /// The adaptors it needs.
    pub adaptors: Vec<Bought>,
    /// The parts its joints lack, which nothing at hand gives.
    pub lacks: Vec<Lack>,
    /// The same as a swap set.
    pub swap: Swap,
    /// What a check says of it.
    pub check: Check,
    /// The joints that fit with something, as they stood on the bike.
    pub stood: Vec<Finding>,
}

impl Plan {
    /// True where another plan is this one with parts left out that its joints lack.
    fn without(&self, other: &Plan) -> bool {
        let same = |step: &Step, known: &Step| {
            let act = match (&step.act, &known.act) {
                (Act::Put(unit), Act::Put(known)) => unit == known,
                (Act::Empty, Act::Empty) => true,
                _ => false,
            };
            step.slot == known.slot && act
        };
        let mut steps = other.steps.iter();
        let inside = steps.all(|step| self.steps.iter().any(|known| same(step, known)));
        let mut left = self.steps.iter();
        inside
            && left.all(|step| {
                let mut lacks = other.lacks.iter();
                other.steps.iter().any(|known| same(step, known))
                    || lacks.any(|lack| lack.slot == step.slot)
            })
    }
}

/// What would have to give way for there to be a plan, and what that plan weighs.
#[derive(Clone, Debug)]
pub enum Relaxed {
    /// A wish, and what the part would be instead.
    Wish(Wish, Option<Cases>, Weight),
    /// The budget, and how much more it would have to be.
    Budget(i64, Weight),
    /// A slot need not stay as it is.
    Keep(usize, Weight),
    /// A slot need not get another part.
    Change(usize, Weight),
    /// A slot need not be emptied.
    Remove(usize, Weight),
    /// A part that is fitted now, if it might come off; and what the plan weighs then.
    Goes(usize, Weight),
    /// Joints may be measured first; and where that is not enough, one thing more gives way.
    Measure {
        /// What the plan weighs.
        weight: Weight,
        /// The slots and dimensions they ask for.
        asks: Vec<(usize, usize)>,
        /// The slots of which nothing is written down, and whose parts the new ones meet.
        mates: Vec<usize>,
        /// How much more the budget would have to be.
        more: Option<i64>,
        /// What would not be asked.
        without: Option<Demand>,
    },
    /// These together, the fewest that will do; and how much more the budget would have to be.
    Together(Vec<Demand>, Option<i64>, Weight),
}

/// What came of it.
#[derive(Debug)]
pub struct Planned {
    /// The plans, the best first; none where there is none.
    pub plans: Vec<Plan>,
    /// True where the first is known to be the best, or none to exist.
    pub proved: bool,
    /// No plan weighs less.
    pub least: Weight,
    /// Where there is no plan: what cannot all hold, and whether the budget is part of it.
    pub conflict: Option<(Vec<Demand>, bool)>,
    /// What would have to give way, one thing by itself.
    pub relaxed: Vec<Relaxed>,
    /// The slots that may change, and the choices for all of them.
    pub places: (usize, usize),
    /// Lines of the price list without a price, which were passed over.
    pub unpriced: usize,
    /// Lines in all.
    pub lines: usize,
    /// Steps of the search.
    pub steps: u64,
    /// How often a joint was judged.
    pub judged: u64,
}

pub(super) struct Planner<'a, 'b> {
    pub(super) built: &'b mut Built<'a>,
    pub(super) asked: &'b Asked<'a>,
    pub(super) steps: u64,
}

/// Plans.
///
/// # Errors
///
/// Every price that is none.
pub fn plan<'a>(catalog: &'a Catalog, asked: &Asked<'a>) -> Result<Planned, Faults> {
    let wanted = Built::wanted(catalog, asked.wishes);
    let shelf = Shelf::new(catalog, asked.bin, asked.list, asked.worth, &wanted)?;
    let mut built = Built::new(catalog, request(asked, asked.unmeasured), &shelf);
    let choices = built.places.iter().map(|place| place.choices.len()).sum();
    let mut planned = Planned {
        plans: Vec::new(),
        proved: false,
        least: Weight::NOTHING,
        conflict: None,
        relaxed: Vec::new(),
        places: (built.places.len(), choices),
        unpriced: shelf.unpriced,
        lines: shelf.lines,
        steps: 0,
        judged: 0,
    };
    let mut planner = Planner {
        built: &mut built,
        asked,
        steps: 0,
    };
    let (found, plan) = planner.best();
    planned.proved = found.proved;
    planned.least = found.least;
    match plan {
        Some((mut plan, choices)) => {
            planner.explain(&mut plan, &[]);
            planned.plans.push(plan);
            if planned.proved {
                planner.others(choices, &mut planned.plans);
            }
        }
        None if found.proved => {
            let limits = planner.limits();
            let conflict = conflict(
                &planner.built.problem.clone(),
                planner.built,
                &found,
                &[],
                &limits,
            );
            planned.relaxed = planner.relaxed(conflict.as_ref());
            if planned.relaxed.is_empty() {
                let one = planner.without_one(catalog, &shelf, conflict.as_ref());
                planned.relaxed.extend(one);
            }
            planned.conflict = conflict.map(|conflict| planner.named(&conflict));
            if planned.relaxed.is_empty() {
                planned.relaxed.extend(planner.together(catalog, &shelf));
            }
            let measured = planner.if_measured(catalog, &shelf, &planned.relaxed);
            planned.relaxed.extend(measured);
        }
        None => {}
    }
    planned.steps = planner.steps;
    planned.judged = planner.built.judged;
    Ok(planned)
}

pub(super) fn request<'a>(asked: &Asked<'a>, unmeasured: bool) -> Request<'a> {
    Request {
        bike: asked.bike,
        wishes: asked.wishes,
        labour: asked.labour,
        strict: asked.strict,
        unmeasured,
        soft: false,
    }
}

impl<'a> Planner<'a, '_> {
    fn limits(&self) -> Limits<'a> {
        Limits {
            steps: self.asked.steps.saturating_sub(self.steps),
            stop: self.asked.stop,
        }
    }

    pub(super) fn search(&mut self, on: &[bool], under: Option<Weight>) -> Found {
        let mut problem = self.built.problem.clone();
        let lets = self.built.request.unmeasured || self.built.request.soft;
        if !lets {
            return self.step(&problem, on, under);
        }
        // First with nothing left open, then with the least that was turned away for it, and so on: the
        // first plan found leaves the least open.
        let mut found = Found::default();
        let mut open = 0;
        while open < MOST_OPEN {
            problem.open = Some(open);
            self.built.most_open = open;
            self.built.turned = i64::MAX;
            found = self.step(&problem, on, under);
            if found.best.is_some() || !found.proved {
                break;
            }
            let turned = found.too_open.unwrap_or(i64::MAX).min(self.built.turned);
            open = turned.max(open.saturating_add(1));
        }
        self.built.most_open = i64::MAX;
        found
    }

    fn step(&mut self, problem: &Problem, on: &[bool], under: Option<Weight>) -> Found {
        let limits = self.limits();
        let found = search(problem, self.built, on, under, &limits);
        self.steps = self.steps.saturating_add(found.steps);
        found
    }

    pub(super) fn all(&self) -> Vec<bool> {
        vec![true; self.built.count()]
    }

    /// The best plan that the check lets through.
    pub(super) fn best(&mut self) -> (Found, Option<(Plan, Vec<usize>)>) {
        for _ in 0..MOST_REFUSED {
            let mut found = self.search(&self.all(), None);
            let Some((weight, choices)) = found.best.take() else {
                return (found, None);
            };
            if let Some(plan) = self.made(weight, &choices) {
                return (found, Some((plan, choices)));
            }
            let whole: Vec<(usize, usize)> = choices.iter().copied().enumerate().collect();
            let places = (0..choices.len()).collect();
            self.built.add(Demand::Not(whole), places);
        }
        (Found::default(), None)
    }

    /// The plan of these choices, where the check lets it through.
    pub(super) fn made(&mut self, weight: Weight, choices: &[usize]) -> Option<Plan> {
        let swap = self.built.swap(choices);
        let options = Options {
            strict: self.asked.strict,
        };
        let changes = !(swap.parts.is_empty() && swap.remove.is_empty());
        let swap_set = changes.then_some(&swap);
        let check = judged(self.built.catalog, self.asked.bike, swap_set, options);
        let most = if self.built.request.unmeasured {
            Verdict::MeasureFirst
        } else {
            Verdict::FitsWith
        };
        // A bike that stays as it is was not changed for the worse.
        if changes && check.verdict > most {
            return None;
        }
        let units = self.built.units(choices);
        let mut steps: Vec<Step> = Vec::new();
        for (place, choice) in choices.iter().enumerate() {
            let slot = self.built.places.get(place).map(|place| place.slot)?;
            let act = match self.built.choice(place, *choice) {
                Choice::AsItIs => continue,
                Choice::Empty => Act::Empty,
                Choice::Take(_) => {
                    let unit = units.iter().find(|(of, _)| *of == place);
                    Act::Put(unit.map(|(_, unit)| *unit)?)
                }
            };
            let carrier = self.carrier(slot).filter(|_| matches!(act, Act::Empty));
            steps.push(Step {
                slot,
                labour: if carrier.is_some() {
                    0
                } else {
                    self.asked.labour.cost(slot)
                },
                act,
                why: carrier.map_or(Why::Unknown, Why::Goes),
            });
        }
        // In the order of the families and their joints, as the rules count them.
        let mut adapted: Vec<_> = check.findings.iter().collect();
        adapted.retain(|finding| !finding.standing);
        adapted.sort_by_key(|finding| finding.at);
        let inserts = adapted.iter().flat_map(|finding| {
            let inserts = finding.remedies.inserts.clone();
            self.built.not_there(finding.at, inserts)
        });
        let inserts: Vec<Insert> = inserts.collect();
        let stood = adapted
            .iter()
            .filter(|finding| finding.outcome == Verdict::FitsWith);
        let stood = stood.filter_map(|finding| self.built.as_it_stood(finding.at));
        let stood = stood.collect();
        let units = self.built.adaptors(inserts.iter(), &units);
        let adaptors = inserts
            .iter()
            .zip(units)
            .map(|(insert, (unit, price))| Bought {
                what: insert.need.what.to_string(),
                unit,
                price,
            });
        let adaptors = adaptors.collect();
        Some(Plan {
            weight,
            steps,
            adaptors,
            lacks: self.built.lacks(choices),
            swap,
            check,
            stood,
        })
    }

    fn carrier(&self, slot: usize) -> Option<usize> {
        let name = self.built.catalog.slots().get(slot)?.goes_with.as_deref()?;
        self.built.catalog.slot_named(name)
    }

    /// Says of each change what forces it, whatever the plans before it are.
    fn explain(&mut self, plan: &mut Plan, before: &[Plan]) {
        let count = self.built.count();
        let own = |rule: usize| {
            let other = matches!(self.built.demand_at(rule), Some(Demand::Not(_)));
            before.is_empty() || !other
        };
        let among: Vec<bool> = (0..=count).map(own).collect();
        for step in &mut plan.steps {
            if matches!(step.why, Why::Goes(_)) {
                continue;
            }
            let held = self.built.demand(Demand::Keep(step.slot), &[step.slot]);
            let limits = self.limits();
            let problem = self.built.problem.clone();
            let mut left = before.iter();
            let left = left.any(|plan| plan.steps.iter().all(|known| known.slot != step.slot));
            step.why = match clash(&problem, self.built, &among, &[held], &limits) {
                Clash::Conflict(conflict) => {
                    let (demands, budget) = self.named(&conflict);
                    Why::Forced(demands, budget)
                }
                Clash::Plan if left => Why::Apart,
                Clash::Plan => match self.search(&self.all(), None).best {
                    Some((weight, choices)) => {
                        let lacks = self.built.lacks(&choices);
                        let lack = lacks.iter().find(|lack| lack.slot == step.slot);
                        match lack {
                            Some(lack) => Why::Lacked(lack.at),
                            None => Why::Saves(weight, plan.weight),
                        }
                    }
                    None if !before.is_empty() => Why::Apart,
                    None => Why::Unknown,
                },
                Clash::Unknown => Why::Unknown,
            };
            self.built.drop_to(count);
        }
    }

    /// The next best plans: each leaves out something that every plan before it changes, or changes
    /// it otherwise.
    fn others(&mut self, first: Vec<usize>, plans: &mut Vec<Plan>) {
        let mut last = first;
        let most = self.asked.next.saturating_add(1);
        for _ in 0..MOST_REFUSED.saturating_add(most) {
            if plans.len() >= most {
                return;
            }
            let changed: Vec<(usize, usize)> = (last.iter().copied().enumerate())
                .filter(|(place, choice)| self.built.choice(*place, *choice) != Choice::AsItIs)
                .collect();
            if changed.is_empty() {
                return;
            }
            let places = changed.iter().map(|(place, _)| *place).collect();
            self.built.add(Demand::Not(changed), places);
            let (found, plan) = self.best();
            let Some((mut plan, choices)) = plan.filter(|_| found.proved) else {
                return;
            };
            last.clone_from(&choices);
            // The same plan with a part left out that a joint then lacks is no other plan.
            if plans.iter().any(|known| known.without(&plan)) {
                continue;
            }
            self.explain(&mut plan, plans);
            plans.push(plan);
        }
    }

    fn named(&self, conflict: &Conflict) -> (Vec<Demand>, bool) {
        let demands = conflict.rules.iter();
        let demands = demands.filter_map(|rule| self.built.demand_at(*rule).cloned());
        (demands.collect(), conflict.budget)
    }
}
