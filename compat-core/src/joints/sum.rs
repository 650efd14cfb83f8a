//! Sums of dimensions: what is known of them, and which readings of each keep them inside a bound.

use std::marker::PhantomData;

use smallvec::SmallVec;

use super::family::Dim;
use crate::dim::{Cases, Difference, Linear, Span};
use crate::verdict::{Field, Turn};

/// A sum of dimensions and a constant.
#[derive(Clone, Debug)]
pub struct Sum<K> {
    pub(super) terms: SmallVec<[(Field, i64, Option<Span>); 6]>,
    pub(super) constant: Span,
    kind: PhantomData<K>,
}

impl<K: Linear> Dim<'_, K> {
    /// What is known of it, as one span.
    pub fn span(&self) -> Option<Span> {
        self.reading?.cases.span()
    }

    /// The dimension as a sum of one.
    pub fn sum(&self) -> Sum<K> {
        let mut terms = SmallVec::new();
        terms.push((self.field, 1, self.span()));
        Sum {
            terms,
            constant: Span::exactly(0),
            kind: PhantomData,
        }
    }
}

impl<K: Linear + Difference<O>, O: Linear> std::ops::Sub<Dim<'_, O>> for Dim<'_, K> {
    type Output = Sum<K::Result>;
    fn sub(self, other: Dim<'_, O>) -> Sum<K::Result> {
        let mut terms = SmallVec::new();
        terms.push((
            self.field,
            i64::from(self.field != other.field),
            self.span(),
        ));
        if self.field != other.field {
            terms.push((other.field, -1, other.span()));
        }
        Sum {
            terms,
            constant: Span::exactly(0),
            kind: PhantomData,
        }
    }
}

impl<K: Linear> std::ops::Add for Sum<K> {
    type Output = Sum<K>;
    fn add(mut self, other: Sum<K>) -> Sum<K> {
        for (field, factor, span) in other.terms {
            match self.terms.iter_mut().find(|(mine, ..)| *mine == field) {
                Some((_, mine, _)) => *mine += factor,
                None => self.terms.push((field, factor, span)),
            }
        }
        self.constant = self.constant.plus(other.constant);
        self
    }
}

impl<K: Linear> std::ops::Sub for Sum<K> {
    type Output = Sum<K>;
    fn sub(self, mut other: Sum<K>) -> Sum<K> {
        for (_, factor, _) in &mut other.terms {
            *factor = -*factor;
        }
        other.constant = other.constant.negated();
        self + other
    }
}

impl<K: Linear> Sum<K> {
    /// The same sum as another kind of the same quantity.
    pub(crate) fn cast<O: Linear>(self) -> Sum<O> {
        Sum {
            terms: self.terms,
            constant: self.constant,
            kind: PhantomData,
        }
    }

    /// The sum, where everything in it is known.
    pub fn span(&self) -> Option<Span> {
        self.terms
            .iter()
            .try_fold(self.constant, |sum, (_, factor, span)| {
                Some(sum.plus(span.as_ref()?.times(*factor)))
            })
    }

    /// True where a dimension counts in both.
    pub(super) fn shares(&self, other: &Sum<K>) -> bool {
        let mut mine = self.terms.iter();
        mine.any(|(field, ..)| other.terms.iter().any(|(other, ..)| other == field))
    }

    /// The same sum, resting on a dimension that does not count in it.
    #[must_use]
    pub fn resting_on<O: Linear>(mut self, dim: Dim<'_, O>) -> Self {
        self.terms.push((dim.field, 0, dim.span()));
        self
    }

    /// Everything but one term; `None` where something else is unknown.
    fn without(&self, index: usize) -> Option<Span> {
        let others = self.terms.iter().enumerate().filter(|(at, _)| *at != index);
        others
            .map(|(_, term)| term)
            .try_fold(self.constant, |sum, (_, factor, span)| {
                Some(sum.plus(span.as_ref()?.times(*factor)))
            })
    }

    /// For each dimension, the readings that keep the sum inside `allowed`.
    pub(super) fn turns(&self, allowed: Span) -> Vec<Turn> {
        let turn = |(index, (field, factor, _)): (usize, &(Field, i64, Option<Span>))| {
            let rest = self.without(index);
            let within = |low: i64, high: i64| {
                (low <= high)
                    .then_some(Span { low, high })?
                    .divided(*factor)
            };
            let may = rest.and_then(|rest| {
                let wide = allowed.plus(rest.negated());
                within(wide.low, wide.high)
            });
            let sure = rest.and_then(|rest| {
                let low = Span {
                    low: allowed.low,
                    high: allowed.low,
                }
                .plus(Span::exactly(rest.low).negated())
                .low;
                let high = Span {
                    low: allowed.high,
                    high: allowed.high,
                }
                .plus(Span::exactly(rest.high).negated())
                .high;
                within(low, high)
            });
            let cases = |span: Option<Span>| span.map(|span| Cases::Numbers(vec![span]));
            Turn {
                field: *field,
                sure: cases(sure),
                may: cases(may),
            }
        };
        self.terms.iter().enumerate().map(turn).collect()
    }
}

impl<K: Linear> From<Dim<'_, K>> for Sum<K> {
    fn from(dim: Dim<'_, K>) -> Self {
        dim.sum()
    }
}
