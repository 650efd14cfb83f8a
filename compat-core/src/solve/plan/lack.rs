//! What a joint lacks: a part that its page says would play an end where nothing is.
//!
//! It is counted as if it were bought, at no less than any part at hand that would do, so that a plan
//! that puts one in is never dearer than the same plan without.

use super::build::{Built, Choice};
use super::problem::Judge;
use super::weight::Weight;
use crate::bike::{Bike, JointAt};
use crate::catalog::{Catalog, Joint};
use crate::solve::check::Finding;

/// A part that a joint lacks.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Lack {
    /// The joint.
    pub at: JointAt,
    /// The slot it would go in.
    pub slot: usize,
    /// What it is, in words of the catalogue.
    pub what: String,
    /// What it is taken to cost.
    pub price: i64,
    /// What the work on its slot costs.
    pub labour: i64,
    /// True where a part at hand would do for this joint.
    pub at_hand: bool,
}

/// True where a family may need a part that plays an end.
pub(super) fn may_lack(catalog: &Catalog, family: usize) -> bool {
    let mut codes = catalog.book(family).codes.iter();
    codes.any(|code| code.plays.is_some())
}

/// The slots that lack a part, and what goes there.
pub(super) fn lacking(
    catalog: &Catalog,
    joint: &Joint,
    bike: &Bike,
    finding: &Finding,
) -> Vec<(usize, String)> {
    let codes = &catalog.book(finding.at.family).codes;
    let mut found: Vec<(usize, String)> = Vec::new();
    let runs = finding.judgement.runs.iter();
    for claim in runs.flat_map(|run| &run.claims) {
        let end = codes
            .get(usize::from(claim.code))
            .and_then(|code| code.plays);
        let end = end.and_then(|end| joint.ends.get(end)?.as_ref());
        let bare = end.filter(|end| bike.part(end.slot).is_none());
        for (end, need) in bare
            .into_iter()
            .flat_map(|end| claim.needs.iter().map(move |need| (end, need)))
        {
            if !found.iter().any(|(slot, _)| *slot == end.slot) {
                found.push((end.slot, need.what.to_string()));
            }
        }
    }
    found
}

impl Built<'_> {
    /// What a joint adds for the parts it lacks.
    pub(super) fn weigh_lacking(
        &mut self,
        rule: usize,
        choices: &[usize],
        at: JointAt,
        wanted: Vec<(usize, String)>,
    ) -> Weight {
        let mut weight = Weight::NOTHING;
        let mut lacks = Vec::new();
        for (slot, what) in wanted {
            let labour = self.request.labour.cost(slot);
            let dearest = self.dearest(rule, choices, slot);
            let usual = self.request.labour.adaptor.saturating_add(labour);
            let money = dearest.unwrap_or(usual).max(usual);
            let place = self.place_of(slot).and_then(|place| self.places.get(place));
            let behind = place.map_or(0, |place| place.choices.len());
            weight = weight
                + Weight {
                    money,
                    changes: 1,
                    order: i64::try_from(behind).unwrap_or(i64::MAX),
                    ..Weight::NOTHING
                };
            lacks.push(Lack {
                at,
                slot,
                what,
                price: money.saturating_sub(labour),
                labour,
                at_hand: dearest.is_some(),
            });
        }
        let key = self.key(rule, choices);
        self.lacking.insert((rule, key), lacks);
        weight
    }

    /// The money of the dearest part for a slot with which the joint is sure and lacks nothing there.
    fn dearest(&mut self, rule: usize, choices: &[usize], slot: usize) -> Option<i64> {
        let place = self.place_of(slot)?;
        let places = &self.rules.get(rule)?.places;
        let position = places.iter().position(|known| *known == place)?;
        let mut tried = choices.to_vec();
        let mut dearest = None;
        for choice in 0..self.places.get(place)?.choices.len() {
            if !matches!(self.choice(place, choice), Choice::Take(_)) {
                continue;
            }
            *tried.get_mut(position)? = choice;
            let sure = self
                .weigh(rule, &tried)
                .is_some_and(|weight| weight.open == 0);
            let weights = self.problem.places.get(place)?;
            let money = weights.get(choice)?.money;
            if sure && dearest.is_none_or(|known| known < money) {
                dearest = Some(money);
            }
        }
        dearest
    }

    /// The parts that the joints of a plan lack.
    pub fn lacks(&mut self, plan: &[usize]) -> Vec<Lack> {
        let mut found = Vec::new();
        for rule in 0..self.count() {
            let places = self.rules.get(rule).map_or(&[][..], |rule| &rule.places);
            let chosen = places
                .iter()
                .map(|place| plan.get(*place).copied().unwrap_or(0));
            let chosen: Vec<usize> = chosen.collect();
            if self.weigh(rule, &chosen).is_some() {
                let key = self.key(rule, &chosen);
                found.extend(
                    self.lacking
                        .get(&(rule, key))
                        .into_iter()
                        .flatten()
                        .cloned(),
                );
            }
        }
        found
    }
}
