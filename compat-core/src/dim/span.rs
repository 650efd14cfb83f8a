//! A closed interval of a quantity, open-ended where nothing bounds it.

use serde::{Deserialize, Serialize};

/// From `low` to `high`, both included, in the small unit of the quantity.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct Span {
    /// Lower end; [`Span::LEAST`] where there is none.
    pub low: i64,
    /// Upper end; [`Span::MOST`] where there is none.
    pub high: i64,
}

impl Span {
    /// Stands for "no lower end".
    pub const LEAST: i64 = i64::MIN;
    /// Stands for "no upper end".
    pub const MOST: i64 = i64::MAX;
    /// Everything.
    pub const ALL: Span = Span {
        low: Self::LEAST,
        high: Self::MOST,
    };

    /// One value.
    pub const fn exactly(value: i64) -> Self {
        Span {
            low: value,
            high: value,
        }
    }

    /// From one value to another, in either order.
    pub fn between(one: i64, other: i64) -> Self {
        Span {
            low: one.min(other),
            high: one.max(other),
        }
    }

    /// Everything from a value up.
    pub const fn at_least(low: i64) -> Self {
        Span {
            low,
            high: Self::MOST,
        }
    }

    /// Everything up to a value.
    pub const fn at_most(high: i64) -> Self {
        Span {
            low: Self::LEAST,
            high,
        }
    }

    /// True for a single value.
    pub fn is_exact(self) -> bool {
        self.low == self.high
    }

    /// True where `other` lies wholly inside.
    pub fn holds(self, other: Span) -> bool {
        self.low <= other.low && other.high <= self.high
    }

    /// What both have in common.
    pub fn meet(self, other: Span) -> Option<Span> {
        let low = self.low.max(other.low);
        let high = self.high.min(other.high);
        (low <= high).then_some(Span { low, high })
    }

    /// The sum of every pair.
    #[must_use]
    pub fn plus(self, other: Span) -> Span {
        Span {
            low: add(self.low, other.low),
            high: add(self.high, other.high),
        }
    }

    /// The interval with its sign turned.
    #[must_use]
    pub fn negated(self) -> Span {
        Span {
            low: negate(self.high),
            high: negate(self.low),
        }
    }

    /// Each value times a whole number.
    #[must_use]
    pub fn times(self, factor: i64) -> Span {
        match factor {
            0 => Span::exactly(0),
            1 => self,
            -1 => self.negated(),
            _ if factor < 0 => self.negated().times(factor.saturating_neg()),
            _ => Span {
                low: scale(self.low, factor),
                high: scale(self.high, factor),
            },
        }
    }

    /// Every whole number that, times `factor`, lies inside: rounded inward.
    pub fn divided(self, factor: i64) -> Option<Span> {
        let span = match factor {
            0 => return None,
            _ if factor < 0 => return self.negated().divided(factor.saturating_neg()),
            1 => self,
            _ => Span {
                low: if self.low == Self::LEAST {
                    Self::LEAST
                } else {
                    ceil(self.low, factor)
                },
                high: if self.high == Self::MOST {
                    Self::MOST
                } else {
                    self.high.div_euclid(factor)
                },
            },
        };
        (span.low <= span.high).then_some(span)
    }

    /// How far a value is from the interval; nothing where it lies inside.
    pub fn distance(self, value: i64) -> i64 {
        if value < self.low {
            self.low.saturating_sub(value)
        } else {
            value.saturating_sub(self.high).max(0)
        }
    }
}

fn add(a: i64, b: i64) -> i64 {
    match (a, b) {
        (Span::LEAST, _) | (_, Span::LEAST) => Span::LEAST,
        (Span::MOST, _) | (_, Span::MOST) => Span::MOST,
        _ => a.saturating_add(b),
    }
}

fn negate(a: i64) -> i64 {
    match a {
        Span::LEAST => Span::MOST,
        Span::MOST => Span::LEAST,
        _ => a.saturating_neg(),
    }
}

fn scale(a: i64, factor: i64) -> i64 {
    match a {
        Span::LEAST | Span::MOST => a,
        _ => a.saturating_mul(factor),
    }
}

fn ceil(a: i64, factor: i64) -> i64 {
    a.div_euclid(factor) + i64::from(a.rem_euclid(factor) != 0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn open_ends_stay_open() {
        let up = Span::at_least(5);
        assert_eq!(up.plus(Span::exactly(3)), Span::at_least(8));
        assert_eq!(up.negated(), Span::at_most(-5));
        assert_eq!(up.times(-2), Span::at_most(-10));
        assert_eq!(Span::ALL.plus(up), Span::ALL);
    }

    #[test]
    fn division_rounds_inward() {
        assert_eq!(Span::between(3, 9).divided(2), Some(Span::between(2, 4)));
        assert_eq!(Span::between(-9, -3).divided(-2), Some(Span::between(2, 4)));
        assert_eq!(Span::exactly(3).divided(2), None);
        assert_eq!(Span::exactly(3).divided(0), None);
    }
}
