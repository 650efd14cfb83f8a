//! A bike, a swap set, and everything that is worked out once before any joint is judged: what the
//! bike tells, what is touched, which joints stand.

use std::collections::BTreeMap;
use std::rc::Rc;

use super::check::{Before, Finding, Options, grounds, joint, open, standing, stood, told_before};
use super::infer::{Conflict, Inference, Told, infer};
use super::judge::{About, Setting};
use super::known::Known;
use super::renewed::{Renewed, alike, renew};
use crate::bike::{Bike, Graph, JointAt, Look, Swap};
use crate::catalog::Catalog;
use crate::dim::Reading;
use crate::verdict::{Ground, Verdict};

/// A bike with a swap set, ready to be judged joint by joint.
#[derive(Debug)]
pub(super) struct Case<'a> {
    /// The catalogue.
    pub catalog: &'a Catalog,
    /// The bike as it would be.
    pub after: Bike,
    /// The slots the swap set touches.
    pub touched: Vec<usize>,
    /// What the bike as it stood told.
    pub inferences: Vec<Inference>,
    /// Where that contradicts itself.
    pub conflicts: Vec<Conflict>,
    /// The new parts that are the same as those that were fitted, and those that were said to be.
    pub renewed: Renewed,
    /// What of that still stands.
    pub inferred: Rc<BTreeMap<(usize, usize), Reading>>,
    /// The joints of the bike as it would be.
    pub graph: Graph,
    /// What is known of the bike as it stood.
    pub told: Known<'a>,
    alike: Vec<(usize, usize)>,
    before: Graph,
    setting: Setting,
}

impl<'a> Case<'a> {
    /// Works out what holds for every joint.
    pub fn new(
        catalog: &'a Catalog,
        bike: &'a Bike,
        swap: Option<&Swap>,
        options: Options,
    ) -> Case<'a> {
        let before = Graph::of(catalog, bike);
        let Told {
            known: told,
            inferences,
            conflicts,
        } = infer(catalog, bike, &before, options.strict);
        let (mut after, touched) =
            swap.map_or_else(|| (bike.clone(), Vec::new()), |swap| bike.with(swap));
        let renewed = renew(catalog, bike, &mut after);
        // What somebody saw of the old parts says nothing of the new ones.
        after.looks.retain(|look| !sees(catalog, look, &touched));
        after
            .looks
            .extend(swap.iter().flat_map(|swap| swap.looks.clone()));
        let mut inferred = Rc::clone(&told.inferred);
        Rc::make_mut(&mut inferred).retain(|(slot, dimension), _| {
            !touched.contains(slot) || renewed.holds(catalog, &after, *slot, *dimension)
        });
        Case {
            alike: alike(bike, &after, &touched),
            renewed,
            catalog,
            graph: Graph::of(catalog, &after),
            after,
            touched,
            inferences,
            conflicts,
            inferred,
            told,
            before,
            setting: Setting {
                strict: options.strict,
                brief: false,
            },
        }
    }

    /// How its joints are judged.
    pub fn setting(&self) -> Setting {
        self.setting
    }

    /// What is known of the bike as it would be.
    pub fn known(&self) -> Known<'_> {
        self.known_of(&self.after)
    }

    /// What is known of that bike with more said of its parts.
    pub fn known_of<'b>(&'b self, bike: &'b Bike) -> Known<'b> {
        Known {
            catalog: self.catalog,
            bike,
            inferred: Rc::clone(&self.inferred),
        }
    }

    /// True where the swap set touches a joint.
    pub fn touches(&self, at: JointAt) -> bool {
        let joint = self.catalog.joints(at.family).get(at.joint);
        joint.is_some_and(|joint| joint.hangs_on().any(|slot| self.touched.contains(&slot)))
    }

    /// The joints that are touched and could not have stood as the bike is described: where a
    /// complaint is against one, it may well have stood badly.
    pub fn unsound(&self, bike: &Bike) -> Vec<JointAt> {
        let stated = Known::stated(self.catalog, bike);
        let setting = Setting {
            brief: true,
            ..self.setting
        };
        let wrong = |at: &&JointAt| {
            if !self.touches(**at) || stated.complained(**at) {
                return false;
            }
            let stood = standing(&stated, **at, setting);
            let grounds = grounds(self.catalog, **at, &stood.judgement);
            stood.outcome == Verdict::DoesNotFit && grounds.contains(&Ground::CannotJoin)
        };
        self.before.joints().iter().filter(wrong).copied().collect()
    }

    /// What a joint proved by standing.
    pub fn stood(&self, at: JointAt) -> Vec<About> {
        stood(&self.told, at)
    }

    /// What a joint left open as it stood, where a new part is like the old one in anything.
    pub fn open(&self, at: JointAt) -> Vec<About> {
        match self.alike.is_empty() {
            true => Vec::new(),
            false => open(&self.told, at),
        }
    }

    /// What a joint proved by standing, and what was changed since.
    fn before<'b>(&'b self, stood: &'b [About], open: &'b [About]) -> Before<'b> {
        Before {
            stood,
            open,
            touched: &self.touched,
            same: &self.renewed.same,
            alike: &self.alike,
        }
    }

    /// Judges a joint of that bike with more said of its parts, for the verdict and the questions
    /// alone.
    pub fn brief(&self, bike: &Bike, at: JointAt, stood: &[About], open: &[About]) -> Finding {
        let setting = Setting {
            brief: true,
            ..self.setting
        };
        if !self.touches(at) {
            return standing(&Known::stated(self.catalog, bike), at, setting);
        }
        let before = self.before(stood, open);
        joint(&self.known_of(bike), at, setting, Some(before))
    }

    /// Judges a joint of the bike as it would be, or of that bike with more said of its parts.
    pub fn finding(&self, bike: &Bike, at: JointAt) -> Finding {
        // A joint nobody touches is judged on what is stated alone: what it told of itself proves
        // nothing about it.
        if !self.touches(at) {
            return standing(&Known::stated(self.catalog, bike), at, self.setting);
        }
        let (stood, open) = (stood(&self.told, at), self.open(at));
        let known = self.known_of(bike);
        let mut finding = joint(&known, at, self.setting, Some(self.before(&stood, &open)));
        if finding.judgement.claims().iter().any(|claim| claim.told) {
            finding.before = told_before(&self.told, &self.before, at);
        }
        finding
    }
}

/// True where what was looked at may be a joint of one of these slots.
pub(super) fn sees(catalog: &Catalog, look: &Look, slots: &[usize]) -> bool {
    catalog.joints(look.family).iter().any(|joint| {
        look.slot
            .is_none_or(|slot| joint.hangs_on().any(|there| there == slot))
            && joint.hangs_on().any(|slot| slots.contains(&slot))
    })
}
