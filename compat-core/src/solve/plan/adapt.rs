//! What the adaptors of a plan cost: each from the cheapest line that still has one.

use std::collections::BTreeMap;

use super::build::Built;
use super::problem::Judge;
use super::shelf::{Supply, Unit};
use super::weight::Weight;
use crate::bike::JointAt;
use crate::solve::check::{Finding, standing};
use crate::solve::judge::Setting;
use crate::solve::known::Known;
use crate::solve::remedy::Insert;

impl Built<'_> {
    /// What adaptors cost where no other joint asks for the same.
    pub(super) fn alone(&self, inserts: &[Insert]) -> i64 {
        self.adaptors(inserts.iter(), &[])
            .iter()
            .map(|(_, price)| price)
            .sum()
    }

    /// A joint as it stood on the bike, by what is stated; nothing where it did not stand.
    pub(super) fn as_it_stood(&self, at: JointAt) -> Option<Finding> {
        let setting = Setting {
            strict: self.request.strict,
            brief: true,
        };
        let stated = Known::stated(self.catalog, self.request.bike);
        stated.stands(at).then(|| standing(&stated, at, setting))
    }

    /// What has to be put in between: an adaptor without which the joint would not have stood is there.
    pub(super) fn not_there(&self, at: JointAt, mut inserts: Vec<Insert>) -> Vec<Insert> {
        if inserts.is_empty() {
            return inserts;
        }
        let stood = self.as_it_stood(at);
        let there = stood.map_or_else(Vec::new, |stood| stood.remedies.inserts);
        inserts.retain(|insert| {
            !there
                .iter()
                .any(|known| known.need.what == insert.need.what)
        });
        inserts
    }

    /// Where adaptors can be had, and for how much: a line gives no more than it has, less what the slots
    /// take of it.
    pub fn adaptors<'i>(
        &self,
        inserts: impl Iterator<Item = &'i Insert>,
        taken: &[(usize, Unit)],
    ) -> Vec<(Option<Unit>, i64)> {
        let mut used: BTreeMap<(Supply, usize), u32> = BTreeMap::new();
        for (_, unit) in taken {
            *used.entry((unit.from, unit.line)).or_default() += 1;
        }
        let one = |insert: &Insert| {
            let mut units = self.shelf.like(&insert.part).into_iter();
            let left = units.find(|unit| {
                let used = used.entry((unit.from, unit.line)).or_default();
                let left = unit.count.is_none_or(|count| *used < count);
                *used += u32::from(left);
                left
            });
            match left {
                Some(unit) => (Some(*unit), unit.price),
                None => (None, self.request.labour.adaptor),
            }
        };
        inserts.map(one).collect()
    }

    /// What the adaptors of a family cost more, where several joints ask for the same.
    pub(super) fn weigh_shared(&mut self, rule: usize, family: usize, choices: &[usize]) -> Weight {
        let places = self.rules.get(rule).map(|rule| rule.places.clone());
        let places = places.unwrap_or_default();
        let joints = self.adapted.get(&family).cloned().unwrap_or_default();
        let mut inserts: Vec<Insert> = Vec::new();
        let mut apart = 0_i64;
        for joint in joints {
            let own = self.rules.get(joint).map_or(&[][..], |rule| &rule.places);
            let chosen = own.iter().filter_map(|place| {
                let position = places.iter().position(|known| known == place)?;
                choices.get(position).copied()
            });
            let chosen: Vec<usize> = chosen.collect();
            if self.weigh(joint, &chosen).is_none() {
                // The joint itself refuses this.
                return Weight::NOTHING;
            }
            let key = self.key(joint, &chosen);
            if let Some(needed) = self.needed.get(&(joint, key)) {
                apart = apart.saturating_add(self.alone(needed));
                inserts.extend(needed.iter().cloned());
            }
        }
        let own = self.places_of_adaptors(family);
        let chosen = places.iter().copied().zip(choices.iter().copied());
        let taken = self.units_of(chosen.filter(|(place, _)| own.contains(place)));
        let priced = self.adaptors(inserts.iter(), &taken);
        let together: i64 = priced.iter().map(|(_, price)| price).sum();
        Weight::money(together.saturating_sub(apart).max(0))
    }
}
