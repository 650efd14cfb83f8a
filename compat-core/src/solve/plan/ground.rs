//! What a failure of the search rests on, and what is undone behind it.

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
