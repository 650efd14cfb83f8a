//! What a choice adds to a plan, in the order in which plans are compared.

use std::ops::{Add, Sub};

/// What a plan is compared by, from the first to the last: how many joints must be measured first,
/// what it costs, how many parts it changes, and a number that makes the order of equals stable.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Weight {
    /// Joints and wishes that must be measured first.
    pub open: i64,
    /// Money, in hundredths.
    pub money: i64,
    /// Parts that are changed.
    pub changes: i64,
    /// The places of the choices in their lists.
    pub order: i64,
}

impl Weight {
    /// Nothing at all.
    pub const NOTHING: Weight = Weight {
        open: 0,
        money: 0,
        changes: 0,
        order: 0,
    };

    /// What a joint counts that somebody complained of, and that is to be measured: more than all else
    /// that a plan may leave open.
    pub const AGAINST: i64 = 64;

    /// A joint to be measured first that somebody complained of.
    pub const fn against() -> Weight {
        Weight {
            open: Weight::AGAINST,
            ..Weight::NOTHING
        }
    }

    /// How many joints of it somebody complained of.
    pub const fn complaints(self) -> i64 {
        self.open / Weight::AGAINST
    }

    /// How many things it leaves open.
    pub fn things(self) -> usize {
        let others = self.open % Weight::AGAINST;
        usize::try_from(self.complaints().saturating_add(others)).unwrap_or(0)
    }

    /// As four numbers.
    pub const fn row(self) -> [i64; 4] {
        [self.open, self.money, self.changes, self.order]
    }

    /// Money and nothing else.
    pub const fn money(money: i64) -> Weight {
        Weight {
            money,
            ..Weight::NOTHING
        }
    }

    /// One thing to be measured first.
    pub const fn open() -> Weight {
        Weight {
            open: 1,
            ..Weight::NOTHING
        }
    }
}

/// Steps that have to be made, each by a way that leaves something open or by one that does not.
#[derive(Clone, Debug, Default)]
pub(super) struct Apart {
    /// What they weigh at least, each number for itself.
    least: Weight,
    /// For each that may leave something open: how much that is, and the money it saves.
    saves: Vec<(i64, i64)>,
}

impl Apart {
    /// Adds a step: what staying weighs, and the least of the ways away from it.
    pub(super) fn add(&mut self, stay: Option<Weight>, away: Option<Weight>) {
        let (Some(one), Some(other)) = (stay.or(away), away.or(stay)) else {
            return;
        };
        // By the way that leaves less open, unless the other is taken.
        let (closed, open) = match one.open <= other.open {
            true => (one, other),
            false => (other, one),
        };
        let saved = closed.money.saturating_sub(open.money);
        if open.open > closed.open && saved > 0 {
            self.saves.push((open.open - closed.open, saved));
        }
        let money = match open.open == closed.open {
            true => open.money.min(closed.money),
            false => closed.money,
        };
        self.least = self.least
            + Weight {
                open: closed.open,
                money,
                changes: one.changes.min(other.changes),
                order: one.order.min(other.order),
            };
    }

    /// What a plan weighs at least that leaves just so much open, beside what is settled.
    pub(super) fn least(mut self, settled: Weight, open: i64) -> Weight {
        let all = settled + self.least;
        let left = open.saturating_sub(all.open);
        // As many as the least of them would allow, those that save most.
        let smallest = self.saves.iter().map(|(open, _)| *open).min().unwrap_or(1);
        let most = usize::try_from(left / smallest.max(1)).unwrap_or(0);
        self.saves.sort_unstable_by_key(|(_, saved)| -saved);
        let saved = self.saves.iter().take(most).map(|(_, saved)| *saved);
        let saved = saved.fold(0_i64, i64::saturating_add);
        Weight {
            open: all.open.max(open),
            money: all.money.saturating_sub(saved),
            ..all
        }
    }
}

impl Add for Weight {
    type Output = Weight;
    fn add(self, other: Weight) -> Weight {
        Weight {
            open: self.open.saturating_add(other.open),
            money: self.money.saturating_add(other.money),
            changes: self.changes.saturating_add(other.changes),
            order: self.order.saturating_add(other.order),
        }
    }
}

impl Sub for Weight {
    type Output = Weight;
    fn sub(self, other: Weight) -> Weight {
        Weight {
            open: self.open.saturating_sub(other.open),
            money: self.money.saturating_sub(other.money),
            changes: self.changes.saturating_sub(other.changes),
            order: self.order.saturating_sub(other.order),
        }
    }
}

impl std::iter::Sum for Weight {
    fn sum<I: Iterator<Item = Weight>>(all: I) -> Weight {
        all.fold(Weight::NOTHING, Add::add)
    }
}
