//! What a failure of the search rests on, and what is undone behind it.

use super::problem::Judge;
use super::search::Search;
use super::weight::Weight;

/// A set of places, or of rules.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Bits<const WORDS: usize>([u64; WORDS]);

pub(super) type Set = Bits<4>;

impl<const WORDS: usize> Default for Bits<WORDS> {
    fn default() -> Self {
        Bits([0; WORDS])
    }
}

impl<const WORDS: usize> Bits<WORDS> {
    pub(super) fn add(&mut self, place: usize) {
        if let Some(word) = self.0.get_mut(place / 64) {
            *word |= 1 << (place % 64);
        }
    }

    pub(super) fn has(&self, place: usize) -> bool {
        let word = self.0.get(place / 64).copied().unwrap_or(0);
        word & (1 << (place % 64)) != 0
    }

    pub(super) fn drop(&mut self, place: usize) {
        if let Some(word) = self.0.get_mut(place / 64) {
            *word &= !(1 << (place % 64));
        }
    }

    pub(super) fn join(&mut self, other: Self) {
        for (mine, theirs) in self.0.iter_mut().zip(other.0) {
            *mine |= theirs;
        }
    }
}

/// What something rests on: chosen places, and the rules that spoke.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Ground {
    pub(super) places: Set,
    pub(super) rules: Bits<16>,
}

impl Ground {
    pub(super) fn join(&mut self, other: Ground) {
        self.places.join(other.places);
        self.rules.join(other.rules);
    }
}

/// What a failure rests on.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Failure {
    pub(super) on: Ground,
    /// True where it also rests on the weight of what was chosen, and so on why nothing lighter was.
    pub(super) heavy: bool,
}

impl Failure {
    pub(super) fn of(on: Ground) -> Failure {
        Failure { on, heavy: false }
    }

    pub(super) fn heavy(on: Ground) -> Failure {
        Failure { on, heavy: true }
    }

    pub(super) fn join(&mut self, other: Failure) {
        self.on.join(other.on);
        self.heavy |= other.heavy;
    }
}

/// What is undone when a branch is left.
pub(super) enum Undo {
    Now(usize, usize, Ground),
    Said(usize, Option<Weight>),
    Chosen(usize),
}

impl<J: Judge> Search<'_, J> {
    /// A rule, and those of its places that are chosen.
    pub(super) fn ground_of(&self, rule: usize) -> Ground {
        let mut ground = Ground::default();
        ground.rules.add(rule);
        for place in self
            .places_of(rule)
            .iter()
            .filter(|place| self.is_chosen(**place))
        {
            ground.places.add(*place);
        }
        ground
    }

    /// The rules that decide about a place, and their chosen places: who closed its choices.
    pub(super) fn closers(&self, place: usize) -> Ground {
        let mut ground = Ground::default();
        for rule in self.rules_of.get(place).map_or(&[][..], Vec::as_slice) {
            if self.places_of(*rule).len() > 1 && self.only_open(*rule, place) {
                ground.join(self.ground_of(*rule));
            }
        }
        ground.places.drop(place);
        ground
    }

    /// The rules of a failure that a place has a part in, and its position there.
    pub(super) fn spoke_of(&self, place: usize, on: &Ground) -> Vec<(usize, usize)> {
        let rules = self.rules_of.get(place).map_or(&[][..], Vec::as_slice);
        let spoke = rules.iter().filter(|rule| on.rules.has(**rule));
        let position = |rule: &usize| {
            let places = self.places_of(*rule);
            places.iter().position(|other| *other == place).unwrap_or(0)
        };
        spoke.map(|rule| (*rule, position(rule))).collect()
    }

    /// True where no rule that spoke against a lighter choice can tell this one from it: it would
    /// fail the same way.
    pub(super) fn fails_alike(
        &mut self,
        failed: &[(usize, Vec<(usize, usize)>)],
        choice: usize,
    ) -> bool {
        failed.iter().any(|(other, spoke)| {
            spoke
                .iter()
                .all(|(rule, position)| self.judge.same(*rule, *position, *other, choice))
        })
    }
}
