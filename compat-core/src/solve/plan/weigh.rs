//! The judge of a plan's demands: the very families a check asks, and what was said of the slots.

use std::collections::BTreeMap;
use std::rc::Rc;

use smallvec::SmallVec;

use super::build::{Built, Choice, Demand, Inferred, Sight};
use super::lack::{lacking, may_lack};
use super::weight::Weight;
use crate::bike::{JointAt, Wish};
use crate::catalog::Part;
use crate::dim::Cases;
use crate::joints::FAMILIES;
use crate::solve::case::sees;
use crate::solve::check::{Before, joint, open, standing, stood};
use crate::solve::judge::{About, Setting, quick};
use crate::solve::known::Known;
use crate::solve::renewed::alike;
use crate::solve::unjudged::unjudged_ends;
use crate::verdict::{Holds, Verdict};

impl<'a> Built<'a> {
    /// The number a demand knows a choice by.
    #[inline]
    pub(super) fn sight(&mut self, rule: usize, position: usize, choice: usize) -> u32 {
        let seen = self
            .rules
            .get(rule)
            .and_then(|rule| rule.seen.get(position));
        match seen.and_then(|seen| seen.of_choice.get(choice)) {
            Some(Some(number)) => *number,
            _ => self.sight_anew(rule, position, choice),
        }
    }

    /// The same of a choice that was not looked at yet.
    #[inline(never)]
    fn sight_anew(&mut self, rule: usize, position: usize, choice: usize) -> u32 {
        let Some(known) = self.rules.get(rule) else {
            return 0;
        };
        let place = known.places.get(position).copied().unwrap_or(0);
        let sight = self.look(&known.demand, place, choice);
        let seen = self
            .rules
            .get_mut(rule)
            .and_then(|rule| rule.seen.get_mut(position));
        let Some(seen) = seen else { return 0 };
        if seen.of_choice.is_empty() {
            let place = self.places.get(place);
            let count = place.map_or(0, |place| place.choices.len());
            seen.of_choice.resize(count, None);
        }
        let next = u32::try_from(seen.alike.len()).unwrap_or(u32::MAX);
        let number = *seen.alike.entry(sight).or_insert(next);
        if let Some(known) = seen.of_choice.get_mut(choice) {
            *known = Some(number);
        }
        number
    }

    fn look(&self, demand: &Demand, place: usize, choice: usize) -> Sight {
        let Some(slot) = self.places.get(place).map(|place| place.slot) else {
            return Sight::AsItIs;
        };
        if matches!(demand, Demand::Enough(_)) && !self.can_run_out(place, choice) {
            return Sight::AsItIs;
        }
        let mate = matches!(demand, Demand::Ends(own) if *own != slot);
        let class = match self.choice(place, choice) {
            Choice::AsItIs
                if mate
                    && self.request.bike.part(slot).is_some()
                    && self.laced_with(slot).is_empty()
                    && !self.beside(demand, slot) =>
            {
                return Sight::Part(SmallVec::new(), SmallVec::new());
            }
            Choice::AsItIs => return Sight::AsItIs,
            Choice::Empty => return Sight::Empty,
            Choice::Take(class) => class,
        };
        let kind = self.catalog.slots().get(slot).map(|slot| slot.kind);
        let there = kind.and_then(|kind| self.shelf.class(kind, class));
        match (demand, there) {
            (Demand::Joint(at), Some(there)) => {
                let (Some(joint), Some(family)) = (self.joint(*at), FAMILIES.get(at.family)) else {
                    return Sight::Class(class);
                };
                let mut said = SmallVec::new();
                let mut against = SmallVec::new();
                let value = |number: Option<&usize>| {
                    let value = number.and_then(|number| there.value(*number));
                    value.unwrap_or(u32::MAX)
                };
                let dimensions = joint.dimensions(self.catalog, family);
                for (end, numbers) in joint.ends.iter().zip(dimensions) {
                    let Some(end) = end.as_ref().filter(|end| end.slot == slot) else {
                        continue;
                    };
                    let values = numbers.iter();
                    said.extend(values.map(|number| value(number.as_ref())));
                    if there.complaints.is_empty() {
                        continue;
                    }
                    let complaints =
                        kind.map_or(&[][..], |kind| &self.catalog.body(kind).complaints);
                    let speaks = |number: &&usize| {
                        let complaint = complaints.get(**number);
                        complaint.is_some_and(|complaint| complaint.ends.contains(&end.end))
                    };
                    against.extend(there.complaints.iter().filter(speaks).copied());
                }
                // What the trade calls a name here may be another in this slot.
                let means = self
                    .catalog
                    .slots()
                    .get(slot)
                    .is_some_and(|slot| !slot.means.is_empty());
                if means {
                    said.extend(there.known().iter().map(|(_, value)| *value));
                    against.extend(there.known().iter().map(|(number, _)| usize::from(*number)));
                }
                Sight::Part(said, against)
            }
            (Demand::Ends(own), Some(there)) if *own == slot => {
                let known = there.known().iter();
                let known = known.map(|(number, _)| usize::from(*number));
                let against = there
                    .complaints
                    .iter()
                    .map(|number| u32::try_from(*number).unwrap_or(u32::MAX));
                // What it drags along counts, not by which values it does.
                let values = self.drags_along(slot, there);
                Sight::Part(values.into_iter().chain(against).collect(), known.collect())
            }
            (Demand::Wish(wish), Some(there)) => {
                let value = there.value(wish.dimension).unwrap_or(u32::MAX);
                Sight::Part(SmallVec::from_iter([value]), SmallVec::new())
            }
            (Demand::Shared(family), Some(_)) => {
                // Which line a part of the same kind is taken from; else what the one joint sees that is
                // made there.
                if self.places_of_adaptors(*family).contains(&place) {
                    return Sight::Class(class);
                }
                let rules = self.adapted.get(family).into_iter().flatten();
                let mut there = rules.filter_map(|rule| self.rules.get(*rule));
                let mut there = there.by_ref().filter(|rule| rule.places.contains(&place));
                match (there.next(), there.next()) {
                    (Some(rule), None) => self.look(&rule.demand, place, choice),
                    _ => Sight::Class(class),
                }
            }
            (Demand::Ends(_), Some(_)) if self.beside(demand, slot) => Sight::Class(class),
            (Demand::Enough(_) | Demand::Not(_), _) => Sight::Class(class),
            _ => Sight::Part(SmallVec::new(), SmallVec::new()),
        }
    }

    /// A part of a class, as it is on the shelf.
    pub fn part_of(&self, slot: usize, class: usize) -> Option<&'a Part> {
        let kind = self.catalog.slots().get(slot)?.kind;
        self.shelf.class(kind, class)?.part()
    }

    /// Puts the choices of a rule on the trial bike; says which slots they touch.
    fn put(&mut self, rule: usize, choices: &[usize]) -> Vec<usize> {
        let mut touched = Vec::new();
        let places = self.rules.get(rule).map_or(&[][..], |rule| &rule.places);
        for (place, choice) in places.iter().zip(choices) {
            let choice = self.choice(*place, *choice);
            let Some(slot) = self.places.get(*place).map(|place| place.slot) else {
                continue;
            };
            if choice != Choice::AsItIs {
                touched.push(slot);
            }
            let Some(there) = self.there.get_mut(slot) else {
                continue;
            };
            let before = there.replace(choice);
            if before == Some(choice) {
                continue;
            }
            let part = match choice {
                Choice::AsItIs => self.request.bike.part(slot).cloned(),
                Choice::Empty => None,
                Choice::Take(class) => {
                    let kind = self
                        .catalog
                        .slots()
                        .get(slot)
                        .map_or(usize::MAX, |slot| slot.kind);
                    let made = || {
                        let mut part = self.shelf.class(kind, class)?.part()?.clone();
                        self.catalog.meant_in(slot, &mut part);
                        Some(part)
                    };
                    self.parked.remove(&(slot, class)).or_else(made)
                }
            };
            let place = self.trial.parts.get_mut(slot);
            let gone = place.and_then(|place| std::mem::replace(place, part));
            if let (Some(Choice::Take(class)), Some(gone)) = (before, gone) {
                self.parked.insert((slot, class), gone);
            }
        }
        touched.sort_unstable();
        touched
    }

    /// What is inferred of the parts that stay, where these slots are touched.
    pub(super) fn inferred(&mut self, touched: &[usize]) -> Inferred {
        if let Some(known) = self.inferred.get(touched) {
            return Rc::clone(known);
        }
        let mut inferred = Rc::clone(&self.told.inferred);
        Rc::make_mut(&mut inferred).retain(|(slot, _), _| !touched.contains(slot));
        self.inferred.insert(touched.to_vec(), Rc::clone(&inferred));
        inferred
    }

    pub(super) fn stood(&self, at: JointAt) -> Rc<[About]> {
        let known = self.stood.borrow().get(&at).cloned();
        known.unwrap_or_else(|| {
            let all: Rc<[About]> = stood(&self.told, at).into();
            self.stood.borrow_mut().insert(at, Rc::clone(&all));
            all
        })
    }

    /// What a joint left open as it stood.
    pub(super) fn open(&self, at: JointAt) -> Rc<[About]> {
        let known = self.open.borrow().get(&at).cloned();
        known.unwrap_or_else(|| {
            let all: Rc<[About]> = open(&self.told, at).into();
            self.open.borrow_mut().insert(at, Rc::clone(&all));
            all
        })
    }

    /// What a verdict adds.
    pub(super) fn weight_of(&self, verdict: Verdict) -> Option<Weight> {
        match verdict {
            Verdict::Fits | Verdict::FitsWith => Some(Weight::NOTHING),
            Verdict::MeasureFirst if self.request.unmeasured => Some(Weight::open()),
            Verdict::MeasureFirst | Verdict::DoesNotFit => None,
        }
    }

    /// Puts the choices of a joint on the trial bike, with what was looked at there. Says which of its
    /// slots they touch; nothing where it does not stand.
    pub(super) fn on_trial(
        &mut self,
        rule: usize,
        at: JointAt,
        choices: &[usize],
    ) -> Option<Vec<usize>> {
        let touched = self.put(rule, choices);
        let (joint, family) = (self.joint(at)?, FAMILIES.get(at.family)?);
        if !joint.stands(family, |slot| self.trial.part(slot).is_some()) {
            return None;
        }
        let touched: Vec<usize> = joint
            .hangs_on()
            .filter(|slot| touched.contains(slot))
            .collect();
        self.trial.looks.clear();
        let looks = self.request.bike.looks.iter();
        let looks = looks.filter(|look| !sees(self.catalog, look, &touched));
        self.trial.looks.extend(looks.cloned());
        self.trial
            .looks
            .extend(self.request.wishes.looks.iter().cloned());
        Some(touched)
    }

    fn weigh_joint(&mut self, rule: usize, at: JointAt, choices: &[usize]) -> Option<Weight> {
        let (Some(joint_there), Some(touched)) = (self.joint(at), self.on_trial(rule, at, choices))
        else {
            return Some(Weight::NOTHING);
        };
        self.judged += 1;
        let setting = Setting {
            strict: self.request.strict,
            brief: true,
        };
        if touched.is_empty() {
            let known = Known::stated(self.catalog, &self.trial);
            // Most joints stand as they stood.
            if !known.complained(at)
                && quick(self.catalog, at.family, &known.cells(at), setting) != Verdict::DoesNotFit
                && self.trial.looks.is_empty()
            {
                return Some(Weight::NOTHING);
            }
            let finding = standing(&known, at, setting);
            let told = finding.plain != Verdict::DoesNotFit && finding.complaints.is_empty();
            let apart = !finding.complaints.is_empty() && finding.outcome != Verdict::DoesNotFit;
            return if told || apart {
                Some(Weight::NOTHING)
            } else {
                self.weight_of(finding.outcome)
            };
        }
        let inferred = self.inferred(&touched);
        let known = Known {
            catalog: self.catalog,
            bike: &self.trial,
            inferred,
        };
        let stood = self.stood(at);
        let plainly = self.plainly(&known, at, &stood, (&touched, None));
        let quick = quick(self.catalog, at.family, &known.cells(at), setting);
        if let Some(said) = plainly.says(quick) {
            return said;
        }
        let may_lack = may_lack(self.catalog, at.family);
        let before = Before {
            stood: &stood,
            open: &self.open(at),
            touched: &touched,
            same: &[],
            alike: &alike(self.request.bike, &self.trial, &touched),
        };
        let finding = joint(&known, at, setting, Some(before));
        let mut weight = self.weight_of(finding.outcome)?;
        if weight.open > 0 && !finding.complaints.is_empty() {
            weight = Weight::against();
        }
        if may_lack && finding.plain != Verdict::DoesNotFit {
            let lacking = lacking(self.catalog, joint_there, &self.trial, &finding);
            // What is to come off, or to stay as it is, is not put on for a joint that lacks it.
            let wishes = self.request.wishes;
            let barred = |(slot, _): &(usize, String)| {
                wishes.remove.contains(slot) || wishes.keep.contains(slot)
            };
            if lacking.iter().any(barred) && !self.request.soft {
                return None;
            }
            if !lacking.is_empty() {
                return Some(weight + self.weigh_lacking(rule, choices, at, lacking));
            }
        }
        if finding.plain != Verdict::DoesNotFit || finding.remedies.inserts.is_empty() {
            return Some(weight);
        }
        let inserts = self.not_there(at, finding.remedies.inserts);
        // Of two plans that cost the same, the one with fewer adaptors is the lighter.
        let more = Weight {
            money: self.alone(&inserts),
            changes: i64::try_from(inserts.len()).unwrap_or(i64::MAX),
            ..Weight::NOTHING
        };
        let key = self.key(rule, choices);
        self.needed.insert((rule, key), inserts);
        Some(weight + more)
    }

    /// What a demand sees of the choices for its places.
    pub(super) fn key(&mut self, rule: usize, choices: &[usize]) -> SmallVec<[u32; 6]> {
        (choices.iter().enumerate())
            .map(|(position, choice)| self.sight(rule, position, *choice))
            .collect()
    }

    fn weigh_ends(&mut self, rule: usize, slot: usize, choices: &[usize]) -> Option<Weight> {
        let touched = self.put(rule, choices);
        if !touched.contains(&slot) || self.trial.part(slot).is_none() {
            return Some(Weight::NOTHING);
        }
        let all = self.joints_of.get(slot).map_or(&[][..], Vec::as_slice);
        let stands = all.iter().copied().filter(|at| {
            let joint = self.joint(*at).zip(FAMILIES.get(at.family));
            joint.is_some_and(|(joint, family)| {
                joint.stands(family, |slot| self.trial.part(slot).is_some())
            })
        });
        let stands: Vec<JointAt> = stands.collect();
        // Figures that are only told judge nothing.
        let judges = |at: &JointAt| {
            let codes = &self.catalog.book(at.family).codes;
            codes.iter().any(|code| code.ground.is_some())
        };
        let unjudged = unjudged_ends(
            self.catalog,
            (Some(&self.told), &self.trial),
            &stands,
            slot,
            &touched,
        );
        if unjudged.iter().any(|end| end.complaint.is_some()) {
            return self
                .weight_of(Verdict::MeasureFirst)
                .map(|_| Weight::against());
        }
        let sure = stands.iter().any(judges) && !unjudged.iter().any(|end| end.vital);
        if sure {
            Some(Weight::NOTHING)
        } else {
            self.weight_of(Verdict::MeasureFirst)
        }
    }

    /// Whether the part in a slot is what was wished; open where nobody knows.
    pub fn wish_holds(part: Option<&Part>, wish: &Wish) -> Holds {
        let Some(part) = part else {
            return Holds::No;
        };
        let entry = part.entries.get(wish.dimension);
        let Some(reading) = entry.and_then(|entry| entry.deciding()) else {
            return Holds::Open;
        };
        let (all, any) = match (&reading.cases, &wish.wanted) {
            (Cases::Numbers(found), Cases::Numbers(wanted)) => (
                found
                    .iter()
                    .all(|span| wanted.iter().any(|wish| wish.holds(*span))),
                found
                    .iter()
                    .any(|span| wanted.iter().any(|wish| wish.meet(*span).is_some())),
            ),
            (Cases::Names(found), Cases::Names(wanted)) => (
                found.iter().all(|name| wanted.contains(name)),
                found.iter().any(|name| wanted.contains(name)),
            ),
            _ => (false, false),
        };
        match (all, any) {
            (true, _) => Holds::Yes,
            (false, true) => Holds::Open,
            (false, false) => Holds::No,
        }
    }

    fn weigh_wish(&mut self, rule: usize, wish: &Wish, choices: &[usize]) -> Option<Weight> {
        self.put(rule, choices);
        match Self::wish_holds(self.trial.part(wish.slot), wish) {
            Holds::Yes => Some(Weight::NOTHING),
            Holds::Open => self.weight_of(Verdict::MeasureFirst),
            Holds::No => self.given_way(),
        }
    }

    /// What a wish adds that does not hold.
    fn given_way(&self) -> Option<Weight> {
        self.request.soft.then(Weight::open)
    }

    /// What the second and every further part of a class costs more than the first.
    fn weigh_enough(&self, rule: usize, kind: usize, choices: &[usize]) -> Option<Weight> {
        let places = self.rules.get(rule).map_or(&[][..], |rule| &rule.places);
        let mut counts: BTreeMap<usize, usize> = BTreeMap::new();
        for (place, choice) in places.iter().zip(choices) {
            if let Choice::Take(class) = self.choice(*place, *choice) {
                *counts.entry(class).or_default() += 1;
            }
        }
        let mut more = 0_i64;
        for (class, count) in counts {
            let class = self.shelf.class(kind, class)?;
            let taken = class.taken(count)?;
            let first = taken.first().map_or(0, |unit| unit.price);
            more += taken.iter().map(|unit| unit.price - first).sum::<i64>();
        }
        Some(Weight::money(more))
    }

    pub(super) fn weigh_new(&mut self, rule: usize, choices: &[usize]) -> Option<Weight> {
        let known = self.rules.get(rule)?;
        let allow = |holds: bool| holds.then_some(Weight::NOTHING);
        let only = || match (known.places.first(), choices.first()) {
            (Some(place), Some(choice)) => self.choice(*place, *choice),
            _ => Choice::AsItIs,
        };
        match known.demand.clone() {
            Demand::Joint(at) => self.weigh_joint(rule, at, choices),
            Demand::Ends(slot) => self.weigh_ends(rule, slot, choices),
            Demand::Wish(wish) => self.weigh_wish(rule, &wish, choices),
            Demand::Keep(_) => allow(only() == Choice::AsItIs).or(self.given_way()),
            Demand::Change(_) => allow(matches!(only(), Choice::Take(_))).or(self.given_way()),
            Demand::Remove(slot) => {
                let bare = self.request.bike.part(slot).is_none();
                allow(only() == Choice::Empty || bare && only() == Choice::AsItIs)
                    .or(self.given_way())
            }
            Demand::Carried(slot, carrier) => {
                let chosen = |slot: usize| {
                    let place = self.place_of(slot)?;
                    let position = known.places.iter().position(|known| *known == place)?;
                    Some(self.choice(place, *choices.get(position)?))
                };
                let changed = chosen(carrier).is_some_and(|choice| choice != Choice::AsItIs);
                let kept = self.request.wishes.keep.contains(&slot);
                let optional = self
                    .catalog
                    .slots()
                    .get(slot)
                    .is_some_and(|slot| slot.optional);
                match chosen(slot) {
                    Some(Choice::AsItIs) | None => allow(!changed || kept),
                    Some(Choice::Empty) => allow(changed || optional),
                    Some(Choice::Take(_)) => Some(Weight::NOTHING),
                }
            }
            Demand::Enough(kind) => self.weigh_enough(rule, kind, choices),
            Demand::Shared(family) => Some(self.weigh_shared(rule, family, choices)),
            Demand::Not(wanted) => {
                let there = |(place, choice): &(usize, usize)| {
                    let position = known.places.iter().position(|known| known == place);
                    position.and_then(|position| choices.get(position)) == Some(choice)
                };
                allow(!wanted.iter().all(there))
            }
        }
    }
}
