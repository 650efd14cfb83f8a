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
