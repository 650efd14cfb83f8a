//! Which lines of a stock fit this bike, and where?

use std::collections::BTreeMap;
use std::rc::Rc;

use super::check::{Finding, Options, joint, stood};
use super::infer::infer;
use super::judge::{About, Setting};
use super::known::Known;
use crate::bike::{Bike, Graph, JointAt, Stock};
use crate::catalog::{Catalog, Part, PartReader};
use crate::dim::Reading;
use crate::verdict::Verdict;

/// What a part comes to in one slot.
#[derive(Clone, Debug)]
pub struct Place {
    /// The slot.
    pub slot: usize,
    /// The verdict over every joint it would take part in; `measure first` where none is judged.
    pub verdict: Verdict,
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
    bike: Bike,
    inferred: Vec<Rc<BTreeMap<(usize, usize), Reading>>>,
    joints: Vec<Vec<JointAt>>,
    stood: BTreeMap<JointAt, Vec<About>>,
    setting: Setting,
}

impl<'a> Auditor<'a> {
    /// Prepares a bike.
    pub fn new(catalog: &'a Catalog, bike: &Bike, options: Options) -> Self {
        let graph = Graph::of(catalog, bike);
        let known = infer(catalog, bike, &graph, options.strict).known;
        // Each slot is judged as if the part there were gone: what it told of itself goes with it.
        let without = |slot: usize| {
            if !known.inferred.keys().any(|(about, _)| *about == slot) {
                return Rc::clone(&known.inferred);
            }
            let mut inferred = known.inferred.as_ref().clone();
            inferred.retain(|(about, _), _| *about != slot);
            Rc::new(inferred)
        };
        let inferred = (0..bike.parts.len()).map(without).collect();
        let joints: Vec<Vec<JointAt>> = (0..bike.parts.len())
            .map(|slot| {
                let carried: Vec<usize> = catalog.carried(slot).collect();
                let bare = carried.iter().all(|other| bike.part(*other).is_none());
                if bike.part(slot).is_some() && bare {
                    return graph.joints_of(slot);
                }
                let mut with = bike.clone();
                for other in carried {
                    if let Some(place) = with.parts.get_mut(other) {
                        *place = None;
                    }
                }
                let kind = catalog.slots().get(slot).map_or(0, |slot| slot.kind);
                if let Some(place) = with.parts.get_mut(slot) {
                    *place = Some(PartReader::new(catalog, kind, Default::default()).part);
                }
                Graph::of(catalog, &with).joints_of(slot)
            })
            .collect();
        let all = graph.joints().iter();
        let stood = all.map(|at| (*at, stood(&known, *at))).collect();
        Auditor {
            catalog,
            bike: bike.clone(),
            inferred,
            joints,
            stood,
            setting: Setting {
                strict: options.strict,
                brief: true,
            },
        }
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
        let inferred = self.inferred.get(slot).cloned().unwrap_or_default();
        let mut part = part.clone();
        self.catalog.meant_in(slot, &mut part);
        let there = self.bike.parts.get_mut(slot);
        let before = there.and_then(|there| there.replace(part));
        // What hangs on the part that goes, goes with it.
        let bike = &mut self.bike;
        let carried = self.catalog.carried(slot);
        let gone: Vec<(usize, Part)> = carried
            .filter_map(|other| Some((other, bike.parts.get_mut(other)?.take()?)))
            .collect();
        let known = Known {
            catalog: self.catalog,
            bike: &self.bike,
            inferred: Rc::clone(&inferred),
        };
        let joints = self
            .joints
            .get(slot)
            .map_or(&[] as &[JointAt], Vec::as_slice);
        let mut findings: Vec<Finding> = joints
            .iter()
            .map(|at| {
                let stood = self.stood.get(at).map_or(&[] as &[About], Vec::as_slice);
                joint(&known, *at, self.setting, Some((stood, &[slot])))
            })
            .collect();
        if let Some(there) = self.bike.parts.get_mut(slot) {
            *there = before;
        }
        for (other, part) in gone {
            if let Some(there) = self.bike.parts.get_mut(other) {
                *there = Some(part);
            }
        }
        let worst = findings
            .iter()
            .map(|finding| finding.outcome)
            .reduce(Verdict::and);
        findings.sort_by_key(|finding| (std::cmp::Reverse(finding.outcome), finding.at));
        Place {
            slot,
            verdict: worst.unwrap_or(Verdict::MeasureFirst),
            findings,
            inferred,
        }
    }

    /// Every line of a stock; lines of the same part are judged once.
    pub fn stock(&mut self, stock: &Stock) -> Audit {
        let makes: Vec<Vec<Place>> = stock.makes.iter().map(|part| self.part(part)).collect();
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
        let rank = |line: &usize| {
            stock
                .lines
                .get(*line)
                .and_then(|line| ranks.get(line.make as usize))
        };
        let mut order: Vec<usize> = (0..stock.lines.len()).collect();
        order.sort_by_key(rank);
        Audit { makes, order }
    }
}
