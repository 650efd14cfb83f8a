//! What would have to give way for there to be a plan: one thing by itself and only as far as it
//! must, or the fewest together. Every answer is a plan that was found and checked.

use super::build::{Built, Demand, Request};
use super::conflict::Conflict;
use super::problem::Judge;
use super::run::{Asked, Planner, Relaxed, request};
use super::shelf::Shelf;
use super::weight::Weight;
use crate::bike::Wish;
use crate::catalog::{Catalog, Joint, Part};
use crate::dim::{Cases, Label, Span};

/// A planner over another problem of the same question.
fn over<'x, 'y>(built: &'y mut Built<'x>, asked: &'y Asked<'x>, steps: u64) -> Planner<'x, 'y> {
    Planner {
        built,
        asked,
        steps,
    }
}

impl<'a> Planner<'a, '_> {
    /// What would have to give way, each thing by itself, and only as far as it must.
    pub(super) fn relaxed(&mut self, conflict: Option<&Conflict>) -> Vec<Relaxed> {
        let mut found = Vec::new();
        let Some(conflict) = conflict else {
            return found;
        };
        if conflict.budget
            && let Some(budget) = self.built.problem.budget.take()
        {
            if let Some((weight, _)) = self.works(&self.all()) {
                found.push(Relaxed::Budget(weight.money - budget, weight));
            }
            self.built.problem.budget = Some(budget);
        }
        for rule in &conflict.rules {
            let Some(demand) = self.built.demand_at(*rule).cloned() else {
                continue;
            };
            let mut on = self.all();
            if let Some(on) = on.get_mut(*rule) {
                *on = false;
            }
            let give = match &demand {
                Demand::Wish(_) | Demand::Keep(_) | Demand::Change(_) | Demand::Remove(_) => {
                    self.works(&on)
                }
                _ => None,
            };
            let Some((weight, choices)) = give else {
                continue;
            };
            found.push(match demand {
                Demand::Wish(wish) => self.nearest(&wish, *rule, (weight, choices)),
                Demand::Keep(slot) => Relaxed::Keep(slot, weight),
                Demand::Change(slot) => Relaxed::Change(slot, weight),
                Demand::Remove(slot) => Relaxed::Remove(slot, weight),
                _ => continue,
            });
        }
        found
    }

    /// The best plan with these rules, where the check lets it through.
    fn works(&mut self, on: &[bool]) -> Option<(Weight, Vec<usize>)> {
        let found = self.search(on, None);
        let (weight, choices) = found.best?;
        self.made(weight, &choices)?;
        Some((weight, choices))
    }

    /// The nearest a wish can be met: the readings the shelf offers are taken in from the wish
    /// outward, until there is a plan.
    fn nearest(&mut self, wish: &Wish, rule: usize, free: (Weight, Vec<usize>)) -> Relaxed {
        let reading = |part: Option<&Part>| -> Option<Cases> {
            let entry = part?.entries.get(wish.dimension)?;
            entry.deciding().map(|reading| reading.cases.clone())
        };
        let Cases::Numbers(wanted) = &wish.wanted else {
            let named = self.named_instead(wish, rule);
            let (weight, choices) = named.unwrap_or(free);
            let now = reading(self.part_after(wish.slot, &choices).as_ref());
            return Relaxed::Wish(wish.clone(), now, weight);
        };
        let kind = self
            .built
            .catalog
            .slots()
            .get(wish.slot)
            .map_or(0, |slot| slot.kind);
        let classes = self.built.shelf.classes.get(kind);
        let parts = classes
            .into_iter()
            .flatten()
            .filter_map(|class| class.part());
        let away = |span: &Span| -> Option<i64> {
            let one = |wish: &Span| wish.distance(span.low).max(wish.distance(span.high));
            wanted.iter().map(one).min()
        };
        let mut distances: Vec<i64> = parts
            .chain(self.asked.bike.part(wish.slot))
            .filter_map(|part| match reading(Some(part))? {
                Cases::Numbers(spans) => spans.iter().filter_map(away).max(),
                Cases::Names(_) => None,
            })
            .filter(|distance| *distance > 0)
            .collect();
        distances.sort_unstable();
        distances.dedup();
        let mut best = free;
        let (mut low, mut high) = (0, distances.len());
        while low < high {
            let middle = (low + high) / 2;
            let distance = distances.get(middle).copied().unwrap_or(0);
            let wide = wanted
                .iter()
                .map(|span| span.plus(Span::between(-distance, distance)));
            let wider = Wish {
                wanted: Cases::Numbers(wide.collect()),
                ..wish.clone()
            };
            match self.works_with(rule, wider) {
                Some(plan) => {
                    best = plan;
                    high = middle;
                }
                None => low = middle + 1,
            }
        }
        let (weight, choices) = best;
        let now = reading(self.part_after(wish.slot, &choices).as_ref());
        Relaxed::Wish(wish.clone(), now, weight)
    }

    /// The cheapest plan with another name than was wished.
    fn named_instead(&mut self, wish: &Wish, rule: usize) -> Option<(Weight, Vec<usize>)> {
        let Cases::Names(wanted) = &wish.wanted else {
            return None;
        };
        let list = usize::from(wanted.first()?.list);
        let names = self.built.catalog.lists().get(list)?.labels(list);
        let others: Vec<Label> = names
            .into_iter()
            .filter(|name| !wanted.contains(name))
            .collect();
        let other = Wish {
            wanted: Cases::Names(others),
            ..wish.clone()
        };
        self.works_with(rule, other)
    }

    fn works_with(&mut self, rule: usize, wish: Wish) -> Option<(Weight, Vec<usize>)> {
        let count = self.built.count();
        let slot = wish.slot;
        self.built.demand(Demand::Wish(wish), &[slot]);
        let mut on = self.all();
        if let Some(on) = on.get_mut(rule) {
            *on = false;
        }
        let plan = self.works(&on);
        self.built.drop_to(count);
        plan
    }

    fn part_after(&self, slot: usize, choices: &[usize]) -> Option<Part> {
        let (bike, _) = self.asked.bike.with(&self.built.swap(choices));
        bike.part(slot).cloned()
    }

    /// The parts fitted now that stand in the way, each by itself: there is a plan if it may come off.
    pub(super) fn without_one(
        &mut self,
        catalog: &'a Catalog,
        shelf: &Shelf<'a>,
        conflict: Option<&Conflict>,
    ) -> Vec<Relaxed> {
        let wishes = self.asked.wishes;
        let rules = conflict.map_or(&[][..], |conflict| &conflict.rules);
        let mut slots: Vec<usize> = Vec::new();
        for rule in rules {
            let Some(Demand::Joint(at)) = self.built.demand_at(*rule) else {
                continue;
            };
            let joint = catalog.joints(at.family).get(at.joint);
            slots.extend(joint.into_iter().flat_map(Joint::hangs_on));
        }
        slots.sort_unstable();
        slots.dedup();
        slots.retain(|slot| {
            let asked = wishes.keep.iter().chain(&wishes.change);
            let mut asked = asked.chain(wishes.wishes.iter().map(|wish| &wish.slot));
            let may = catalog.slots().get(*slot).is_some_and(|definition| {
                !(definition.always || definition.fixed || definition.no_part)
            });
            may && self.asked.bike.part(*slot).is_some()
                && !wishes.may_go.contains(slot)
                && !asked.any(|other| other == slot)
        });
        let mut found = Vec::new();
        for slot in slots {
            let mut wishes = wishes.clone();
            wishes.may_go.push(slot);
            let asked = Asked {
                wishes: &wishes,
                ..*self.asked
            };
            let mut built = Built::new(catalog, request(&asked, asked.unmeasured), shelf);
            let mut planner = over(&mut built, &asked, self.steps);
            let all = planner.all();
            let works = planner.works(&all);
            let steps = planner.steps;
            found.extend(works.map(|(weight, _)| Relaxed::Goes(slot, weight)));
            self.steps = steps;
        }
        found
    }

    /// The fewest wishes that would have to give way together, and what is cheapest then.
    pub(super) fn together(&mut self, catalog: &'a Catalog, shelf: &Shelf<'a>) -> Option<Relaxed> {
        let soft = Request {
            soft: true,
            ..request(self.asked, self.asked.unmeasured)
        };
        let mut built = Built::new(catalog, soft, shelf);
        let budget = built.problem.budget.take();
        let (steps, plan, gave) = {
            let mut planner = over(&mut built, self.asked, self.steps);
            let (_, plan) = planner.best();
            let (plan, choices) = plan?;
            (planner.steps, plan, planner.given_way(&choices))
        };
        self.steps = steps;
        let more = budget.map(|budget| plan.weight.money - budget);
        Some(Relaxed::Together(
            gave,
            more.filter(|more| *more > 0),
            plan.weight,
        ))
    }

    /// The demands that a plan leaves open.
    fn given_way(&mut self, choices: &[usize]) -> Vec<Demand> {
        let mut gave = Vec::new();
        for rule in 0..self.built.count() {
            let places = self
                .built
                .problem
                .rules
                .get(rule)
                .cloned()
                .unwrap_or_default();
            let of = places
                .iter()
                .map(|place| choices.get(*place).copied().unwrap_or(0));
            let of: Vec<usize> = of.collect();
            let said = self.built.weigh(rule, &of);
            if said.is_some_and(|weight| weight.open > 0) {
                gave.extend(self.built.demand_at(rule).cloned());
            }
        }
        gave
    }

    /// The plan there would be if joints might be measured first: by that alone, else with more money,
    /// else with one thing less that was said of the bike.
    pub(super) fn if_measured(
        &mut self,
        catalog: &'a Catalog,
        shelf: &Shelf<'a>,
        others: &[Relaxed],
    ) -> Option<Relaxed> {
        if self.asked.unmeasured {
            return None;
        }
        let mut built = Built::new(catalog, request(self.asked, true), shelf);
        let mut planner = over(&mut built, self.asked, self.steps);
        let budget = planner.built.problem.budget;
        let mut found = planner.measured(None);
        let alone = |one: &Relaxed| matches!(one, Relaxed::Budget(..));
        if found.is_none() && budget.is_some() && !others.iter().any(alone) {
            planner.built.problem.budget = None;
            found = planner.measured(None);
            planner.built.problem.budget = budget;
        }
        if found.is_none() && others.iter().all(Relaxed::leaves_all) {
            let asked = (0..planner.built.count()).filter_map(|rule| {
                let demand = planner.built.demand_at(rule)?;
                let asked = matches!(
                    demand,
                    Demand::Wish(_) | Demand::Keep(_) | Demand::Change(_) | Demand::Remove(_)
                );
                asked.then(|| (rule, demand.clone()))
            });
            let mut asked: Vec<(usize, Demand)> = asked.collect();
            // Without the only thing that is asked, nothing has to change.
            if asked.len() < 2 {
                asked.clear();
            }
            for (rule, demand) in asked {
                let one = planner.measured(Some((rule, demand)));
                found = found.into_iter().chain(one).min_by_key(Relaxed::weight);
            }
        }
        let steps = planner.steps;
        self.steps = steps;
        found
    }

    /// The plan that leaves the least open, with one demand left out where one is named; one that
    /// changes nothing is none then.
    fn measured(&mut self, without: Option<(usize, Demand)>) -> Option<Relaxed> {
        let mut on = self.all();
        if let Some(on) = without.as_ref().and_then(|(rule, _)| on.get_mut(*rule)) {
            *on = false;
        }
        let (plan, choices) = match &without {
            None => self.best().1?,
            Some(_) => {
                let (weight, choices) = self.search(&on, None).best?;
                (self.made(weight, &choices)?, choices)
            }
        };
        if without.is_some() && plan.steps.is_empty() {
            return None;
        }
        let open = self.given_way(&choices);
        let left = |demand: &Demand| without.as_ref().is_some_and(|(_, left)| left == demand);
        let new = plan.check.findings.iter();
        let new = new.filter(|finding| !finding.standing);
        let mut asks: Vec<(usize, usize)> = new
            .flat_map(|finding| &finding.questions)
            .map(|question| (question.slot, question.dimension))
            .collect();
        asks.extend(open.iter().filter_map(|demand| match demand {
            Demand::Wish(wish) if !left(demand) => Some((wish.slot, wish.dimension)),
            _ => None,
        }));
        asks.sort_unstable();
        asks.dedup();
        let unjudged = plan.check.unjudged.iter();
        let deciding = unjudged.filter(|end| end.vital || end.changes.is_some());
        let mut mates: Vec<usize> = deciding.filter_map(|end| end.missing).collect();
        mates.sort_unstable();
        mates.dedup();
        let budget = self.asked.wishes.budget;
        let more = budget.map(|budget| plan.weight.money.saturating_sub(budget));
        Some(Relaxed::Measure {
            weight: plan.weight,
            asks,
            mates,
            more: more.filter(|more| *more > 0),
            without: without.map(|(_, demand)| demand),
        })
    }
}

impl Relaxed {
    /// What the plan weighs.
    pub fn weight(&self) -> Weight {
        match self {
            Relaxed::Wish(_, _, weight)
            | Relaxed::Budget(_, weight)
            | Relaxed::Keep(_, weight)
            | Relaxed::Change(_, weight)
            | Relaxed::Remove(_, weight)
            | Relaxed::Goes(_, weight)
            | Relaxed::Measure { weight, .. }
            | Relaxed::Together(_, _, weight) => *weight,
        }
    }

    /// True where the bike would only stay as it is.
    fn leaves_all(&self) -> bool {
        self.weight().changes == 0
    }
}
