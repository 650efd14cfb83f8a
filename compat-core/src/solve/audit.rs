//! Which lines of a stock fit this bike, and where?

use std::collections::BTreeMap;
use std::rc::Rc;

use super::check::{Before, Finding, Options, joint, stood};
use super::infer::infer;
use super::judge::{About, Setting, quick};
use super::known::Known;
use super::unjudged::{Unjudged, changed, unheard, unjudged_ends};
use crate::bike::{Bike, Graph, JointAt, Stock};
use crate::catalog::{Catalog, Part};
use crate::dim::Reading;
use crate::verdict::Verdict;

/// What a part comes to in one slot.
#[derive(Clone, Debug)]
pub struct Place {
    /// The slot.
    pub slot: usize,
    /// The verdict over every joint it would take part in; `measure first` where none is judged.
    pub verdict: Verdict,
    /// The number of a complaint that none of the joints hears of.
    pub complaint: Option<usize>,
    /// An end of it that decides and that no joint judges: its mate is not written down.
    pub waits: Option<Unjudged>,
    /// The joints, worst first.
    pub findings: Vec<Finding>,
    /// What the bike told of the parts that stay.
    pub inferred: Rc<BTreeMap<(usize, usize), Reading>>,
}

/// What every distinct part of a stock comes to.
#[derive(Clone, Debug, Default)]
pub struct Audit {
    /// For each distinct part, the slots it could go to, best first.
    pub makes: Vec<Vec<Place>>,
    /// The lines of the stock, best first, each with the number of its best place.
    pub order: Vec<usize>,
}

/// Audits parts against one bike. What the bike tells is worked out once.
#[derive(Debug)]
pub struct Auditor<'a> {
    catalog: &'a Catalog,
    /// The bike as it stands, and what it tells.
    told: Known<'a>,
    /// The bike with the part that is judged.
    trial: Bike,
    /// For each slot, once it was asked: what the bike tells of the other parts, and the joints that
    /// stand with a part there, each with what it proved by standing.
    slots: Vec<Option<Rc<Around>>>,
    setting: Setting,
}

/// What stands around a slot.
#[derive(Debug)]
struct Around {
    inferred: Rc<BTreeMap<(usize, usize), Reading>>,
    joints: Vec<(JointAt, Vec<About>)>,
    /// An end that decides and that none of them judges, whatever the part is.
    waits: Option<Unjudged>,
}

impl<'a> Auditor<'a> {
    /// Prepares a bike.
    pub fn new(catalog: &'a Catalog, bike: &'a Bike, options: Options) -> Self {
        let graph = Graph::of(catalog, bike);
        let told = infer(catalog, bike, &graph, options.strict).known;
        Auditor {
            catalog,
            told,
            trial: bike.clone(),
            slots: vec![None; bike.parts.len()],
            setting: Setting {
                strict: options.strict,
                brief: true,
            },
        }
    }

    /// What stands around a slot that has a part on the trial bike.
    fn around(&mut self, slot: usize) -> Rc<Around> {
        if let Some(Some(known)) = self.slots.get(slot) {
            return Rc::clone(known);
        }
        // The slot is judged as if the part there were gone: what it told of itself goes with it.
        let mut inferred = Rc::clone(&self.told.inferred);
        if inferred.keys().any(|(about, _)| *about == slot) {
            Rc::make_mut(&mut inferred).retain(|(about, _), _| *about != slot);
        }
        let joints = Graph::of(self.catalog, &self.trial).joints_of(slot);
        let ends = unjudged_ends(self.catalog, (None, &self.trial), &joints, slot, &[slot]);
        let mut ends = ends.into_iter().filter(|end| end.complaint.is_none());
        let waits = ends.find(|end| end.vital);
        let joints = joints.into_iter().map(|at| (at, stood(&self.told, at)));
        let around = Rc::new(Around {
            inferred,
            joints: joints.collect(),
            waits,
        });
        if let Some(place) = self.slots.get_mut(slot) {
            *place = Some(Rc::clone(&around));
        }
        around
    }

    /// Every slot a part could go to, best first.
    pub fn part(&mut self, part: &Part) -> Vec<Place> {
        let slots = self
            .catalog
            .slots()
            .iter()
            .enumerate()
            .filter(|(_, slot)| slot.kind == part.kind && !slot.fixed);
        let slots: Vec<usize> = slots.map(|(slot, _)| slot).collect();
        let mut places: Vec<Place> = slots
            .into_iter()
            .map(|slot| self.place(slot, part))
            .collect();
        places.sort_by_key(|place| (place.verdict, place.slot));
        places
    }

    fn place(&mut self, slot: usize, part: &Part) -> Place {
        let mut part = part.clone();
        let complaints: Vec<usize> = part.complaints.iter().map(|(number, _)| *number).collect();
        let kind = part.kind;
        self.catalog.meant_in(slot, &mut part);
        let there = self.trial.parts.get_mut(slot);
        let before = there.and_then(|there| there.replace(part));
        // What hangs on the part that goes, goes with it.
        let bike = &mut self.trial;
        let carried = self.catalog.carried(slot);
        let gone: Vec<(usize, Part)> = carried
            .filter_map(|other| Some((other, bike.parts.get_mut(other)?.take()?)))
            .collect();
        let around = self.around(slot);
        let findings = self.findings(slot, &around);
        let stands: Vec<JointAt> = around.joints.iter().map(|(at, _)| *at).collect();
        let mut against = complaints.into_iter();
        let against = against.find(|number| unheard(self.catalog, (slot, kind), *number, &stands));
        let waits = around.waits.clone();
        let waits = waits.or_else(|| {
            let changed = changed((&self.told, &self.trial), &stands, slot, &[slot]);
            changed.into_iter().next()
        });
        if let Some(there) = self.trial.parts.get_mut(slot) {
            *there = before;
        }
        for (other, part) in gone {
            if let Some(there) = self.trial.parts.get_mut(other) {
                *there = Some(part);
            }
        }
        let worst = findings.first().map(|finding| finding.outcome);
        let worst = worst.unwrap_or(Verdict::MeasureFirst);
        Place {
            slot,
            verdict: match (against, &waits) {
                (None, None) => worst,
                _ => worst.and(Verdict::MeasureFirst),
            },
            complaint: against,
            waits,
            findings,
            inferred: Rc::clone(&around.inferred),
        }
    }

    /// What the joints of a slot come to, worst first. Of those that merely fit only the first has
    /// its argument: no other is spoken of.
    fn findings(&self, slot: usize, around: &Around) -> Vec<Finding> {
        let known = Known {
            catalog: self.catalog,
            bike: &self.trial,
            inferred: Rc::clone(&around.inferred),
        };
        let full = |at: JointAt, stood: &[About]| {
            let before = Before {
                stood,
                touched: &[slot],
                same: &[],
                open: &[],
                alike: &[],
            };
            joint(&known, at, self.setting, Some(before))
        };
        let judge = |(at, stood): &(JointAt, Vec<About>)| {
            let verdict = quick(self.catalog, at.family, &known.cells(*at), self.setting);
            if verdict == Verdict::Fits && !known.complained(*at) {
                Finding::fits(*at)
            } else {
                full(*at, stood)
            }
        };
        let mut findings: Vec<Finding> = around.joints.iter().map(judge).collect();
        findings.sort_by_key(|finding| (std::cmp::Reverse(finding.outcome), finding.at));
        if let Some(first) = findings.first_mut()
            && first.judgement.runs.is_empty()
        {
            *first = full(first.at, &[]);
        }
        findings
    }

    /// Every line of a stock; lines of the same part are judged once.
    pub fn stock(&mut self, stock: &Stock) -> Audit {
        let makes: Vec<Vec<Place>> = stock.makes.parts().map(|part| self.part(part)).collect();
        // The parts are ranked, and the lines then by the rank of their part.
        let quality = |make: &usize| {
            let place = makes.get(*make).and_then(|places| places.first());
            let best = place.map(|place| (place.verdict, place.findings.is_empty(), place.slot));
            (best.is_none(), best)
        };
        let mut sorted: Vec<usize> = (0..makes.len()).collect();
        sorted.sort_by_key(quality);
        let mut ranks = vec![0; makes.len()];
        let mut rank = 0;
        for pair in sorted.windows(2) {
            if let [before, make] = pair {
                rank += usize::from(quality(before) != quality(make));
                if let Some(place) = ranks.get_mut(*make) {
                    *place = rank;
                }
            }
        }
        // There are few ranks, and the lines of each keep the order of the file.
        let mut ranked: Vec<Vec<usize>> = vec![Vec::new(); rank + 1];
        for (number, line) in stock.lines.iter().enumerate() {
            let rank = ranks.get(line.make as usize);
            if let Some(place) = rank.and_then(|rank| ranked.get_mut(*rank)) {
                place.push(number);
            }
        }
        let order = ranked.concat();
        Audit { makes, order }
    }
}
