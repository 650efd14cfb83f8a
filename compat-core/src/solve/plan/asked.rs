//! The judge as the search asks it: what a rule said of choices of some sorts is not judged again,
//! whoever asks.

use smallvec::SmallVec;

use super::build::{Built, Rule};
use super::problem::Judge;
use super::sweep::{Reached, Row};
use super::weight::Weight;

impl Rule {
    /// What it says of choices of these sorts, where that is known: it was asked about them, or they were
    /// judged together with others that differ from them in one place.
    pub(super) fn known(&self, key: &SmallVec<[u32; 6]>) -> Option<Option<Weight>> {
        if let Some(weight) = self.memo.get(key) {
            return Some(*weight);
        }
        let mut of_row = key.clone();
        for (position, sort) in key.iter().enumerate() {
            let there = of_row.get_mut(position)?;
            *there = u32::MAX;
            let row = self.numbers.get(&of_row);
            let row = row.and_then(|number| self.rows.get(*number));
            if let Some(open) = row.and_then(|row| row.of(*sort as usize)) {
                // What costs something was judged by itself.
                let weight = |open| Weight {
                    open,
                    ..Weight::NOTHING
                };
                return Some(open.map(weight));
            }
            *of_row.get_mut(position)? = *sort;
        }
        None
    }
}

impl Built<'_> {
    /// What a rule says of choices nobody asked it about; it is remembered.
    fn weigh_kept(
        &mut self,
        rule: usize,
        choices: &[usize],
        key: SmallVec<[u32; 6]>,
    ) -> Option<Weight> {
        let weight = self.weigh_new(rule, choices);
        if let Some(rule) = self.rules.get_mut(rule) {
            rule.memo.insert(key, weight);
        }
        weight
    }
}

impl Judge for Built<'_> {
    fn weigh(&mut self, rule: usize, choices: &[usize]) -> Option<Weight> {
        let key = self.key(rule, choices);
        let known = self.rules.get(rule).and_then(|rule| rule.known(&key));
        let weight = known.unwrap_or_else(|| self.weigh_kept(rule, choices, key));
        let open = weight.map_or(0, |weight| weight.open);
        if open > self.most_open {
            self.turned = self.turned.min(open);
            return None;
        }
        weight
    }

    fn same(&mut self, rule: usize, position: usize, one: usize, other: usize) -> bool {
        self.sight(rule, position, one) == self.sight(rule, position, other)
    }

    fn first(
        &mut self,
        rule: usize,
        position: usize,
        choices: &mut [usize],
        count: usize,
    ) -> Option<usize> {
        let from = choices.get(position).copied()?;
        // The sorts of the others, and in this one's place its position: a key of its own.
        let mut key: SmallVec<[u32; 6]> = SmallVec::new();
        for (other, choice) in choices.iter().enumerate() {
            key.push(if other == position {
                u32::MAX
            } else {
                self.sight(rule, other, *choice)
            });
        }
        let number = self.rules.get_mut(rule)?.row(key);
        let kept = self.rules.get_mut(rule)?.rows.get_mut(number)?;
        let mut row = std::mem::take(kept);
        let mut next = from;
        let found = loop {
            // Over those that are known to be forbidden at once.
            let seen = self
                .rules
                .get(rule)
                .and_then(|rule| rule.seen.get(position));
            let sorts = seen.and_then(|seen| seen.of_choice.get(next..count));
            let (most, mut turned) = (self.most_open, self.turned);
            let forbidden = |sort: &&Option<u32>| {
                let known = sort.and_then(|sort| row.of(sort as usize));
                match known {
                    Some(Some(open)) if open > most => turned = turned.min(open),
                    Some(Some(_)) | None => return false,
                    Some(None) => {}
                }
                true
            };
            let sorts = sorts.unwrap_or(&[]).iter();
            next += sorts.take_while(forbidden).count();
            self.turned = turned;
            if next >= count {
                break None;
            }
            let sort = self.sight(rule, position, next) as usize;
            if row.of(sort).is_none()
                && row.missed >= Row::PATIENCE
                && self.taken(rule, position, next).is_some()
            {
                match self.sweep(rule, position, choices, (next, count), &mut row) {
                    Reached::Allowed(choice) => break Some(choice),
                    Reached::End => break None,
                    Reached::Unsettled(choice) => next = choice,
                }
            }
            let sort = self.sight(rule, position, next) as usize;
            let open = row.of(sort).unwrap_or_else(|| {
                if let Some(there) = choices.get_mut(position) {
                    *there = next;
                }
                let key = self.key(rule, choices);
                let known = self.rules.get(rule).and_then(|rule| rule.known(&key));
                let weight = known.unwrap_or_else(|| self.weigh_kept(rule, choices, key));
                let open = weight.map(|weight| weight.open);
                row.missed += usize::from(open.is_none());
                row.put(sort, open);
                open
            });
            match open {
                Some(open) if open <= self.most_open => break Some(next),
                Some(open) => self.turned = self.turned.min(open),
                None => {}
            }
            next += 1;
        };
        *self.rules.get_mut(rule)?.rows.get_mut(number)? = row;
        found
    }
}
