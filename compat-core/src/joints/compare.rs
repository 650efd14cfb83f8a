//! The comparisons a rule is made of. Each one knows at which readings it turns, so that a
//! question, an inference and a remedy all come out of the same comparison.

use super::family::{Dim, Limit, PairTable, Says};
pub use super::sum::Sum;
use crate::dim::{Cases, Label, Linear, Name, Quantity, Span};
use crate::verdict::{
    Bound, Claim, FactId, Field, Grade, Ground, Holds, Need, Side, Term, Turn, Verdict,
};

/// Where claims go. One rule runs with a trace that keeps them and with one that does not.
pub trait Trace {
    /// True where claims are kept; building one is skipped otherwise.
    const KEEPS: bool;
    /// Takes a claim.
    fn keep(&mut self, claim: Claim);
}

/// Keeps every claim.
#[derive(Clone, Debug, Default)]
pub struct Argument(pub Vec<Claim>);

impl Trace for Argument {
    const KEEPS: bool = true;
    fn keep(&mut self, claim: Claim) {
        self.0.push(claim);
    }
}

/// Keeps none.
#[derive(Clone, Copy, Debug, Default)]
pub struct Silent;

impl Trace for Silent {
    const KEEPS: bool = false;
    fn keep(&mut self, _: Claim) {}
}

/// Collects what a rule says of one joint.
#[derive(Clone, Debug, Default)]
pub struct Why<T> {
    /// The claims, where they are kept.
    pub trace: T,
    /// What they come to.
    pub verdict: Verdict,
    /// True where figures from memory count as unknown.
    pub strict: bool,
    /// True where it does not come to fit however exactly the figures that are known are learnt, as long
    /// as nothing is known of the others.
    pub never: bool,
}

impl Dim<'_, Name> {
    /// The name, where it is known.
    pub fn label(&self) -> Option<Label> {
        self.reading?.cases.label()
    }

    /// Whether it is a given name; `None` where it is not known.
    pub fn is(&self, name: Option<Label>) -> Option<bool> {
        Some(self.label()? == name?)
    }
}

impl<T: Trace> Why<T> {
    pub(super) fn settle(&mut self, holds: Holds, needs: bool) {
        self.verdict = self.verdict.and(match holds {
            Holds::Yes if needs => Verdict::FitsWith,
            Holds::Yes => Verdict::Fits,
            Holds::Open => Verdict::MeasureFirst,
            Holds::No => Verdict::DoesNotFit,
        });
    }

    /// The value must not be below the limit.
    pub fn at_least<K: Linear>(&mut self, code: u8, value: &Sum<K>, limit: Limit<K>) {
        self.with_limit(code, value, Side::AtLeast, limit);
    }

    /// The value must not be above the limit.
    pub fn at_most<K: Linear>(&mut self, code: u8, value: &Sum<K>, limit: Limit<K>) {
        self.with_limit(code, value, Side::AtMost, limit);
    }

    fn with_limit<K: Linear>(&mut self, code: u8, value: &Sum<K>, side: Side, limit: Limit<K>) {
        let row = limit
            .row
            .filter(|row| !(self.strict && row.grade == Grade::Memory));
        let less = row.map_or(Span::ALL, |row| row.span.negated());
        if !T::KEEPS {
            let total = value.span().map(|value| value.plus(less));
            return self.settle(holds(total, allowed(side)), false);
        }
        let mut total = value.clone();
        total.constant = total.constant.plus(less);
        let bound = Bound {
            side,
            limit: limit.row.map_or(Span::ALL, |row| row.span),
            fact: limit.row.map(|row| row.fact),
            rated: None,
        };
        self.linear(code, value, &total, bound, K::QUANTITY);
    }

    /// The value must not be below another: a dimension that a part carries, or a sum.
    pub fn not_below<K: Linear>(&mut self, code: u8, value: &Sum<K>, than: impl Into<Sum<K>>) {
        self.with_other(code, value, Side::AtLeast, &than.into());
    }

    /// The value must not be above another: a dimension that a part carries, or a sum.
    pub fn not_above<K: Linear>(&mut self, code: u8, value: &Sum<K>, than: impl Into<Sum<K>>) {
        self.with_other(code, value, Side::AtMost, &than.into());
    }

    fn with_other<K: Linear>(&mut self, code: u8, value: &Sum<K>, side: Side, than: &Sum<K>) {
        if !T::KEEPS && !value.shares(than) {
            let both = value.span().zip(than.span());
            let total = both.map(|(value, than)| value.plus(than.negated()));
            return self.settle(holds(total, allowed(side)), false);
        }
        let total = value.clone() - than.clone();
        let rated = match than.terms.as_slice() {
            [(field, 1, _)] => Some(*field),
            _ => None,
        };
        let bound = Bound {
            side,
            limit: than.span().unwrap_or(Span::ALL),
            fact: None,
            rated,
        };
        self.linear(code, value, &total, bound, K::QUANTITY);
    }

    fn linear<K: Linear>(
        &mut self,
        code: u8,
        value: &Sum<K>,
        total: &Sum<K>,
        bound: Bound,
        quantity: Quantity,
    ) {
        let allowed = allowed(bound.side);
        let holds = holds(total.span(), allowed);
        self.settle(holds, false);
        if T::KEEPS {
            self.trace.keep(Claim {
                terms: total
                    .terms
                    .iter()
                    .map(|(field, factor, _)| Term {
                        field: *field,
                        factor: *factor,
                    })
                    .collect(),
                value: value.span().map(|span| (quantity, span)),
                bound: Some(bound),
                turns: total.turns(allowed),
                ..bare(code, holds)
            });
        }
    }

    /// A value worked out by a formula, over these dimensions, must keep to the limit. `None`
    /// where something it needs is not known.
    pub fn computed<K: Linear>(
        &mut self,
        code: u8,
        over: &[Field],
        value: Option<Span>,
        side: Side,
        limit: Limit<K>,
    ) {
        let row = limit
            .row
            .filter(|row| !(self.strict && row.grade == Grade::Memory));
        let allowed = allowed(side);
        let total = value
            .zip(row)
            .map(|(value, row)| value.plus(row.span.negated()));
        let holds = holds(total, allowed);
        self.settle(holds, false);
        if T::KEEPS {
            let bound = Bound {
                side,
                limit: limit.row.map_or(Span::ALL, |row| row.span),
                fact: limit.row.map(|row| row.fact),
                rated: None,
            };
            let value = value.map(|span| (K::QUANTITY, span));
            self.trace.keep(Claim {
                value,
                bound: Some(bound),
                ..over_fields(code, holds, over)
            });
        }
    }

    /// A figure worth telling; it decides nothing.
    pub fn tell(&mut self, code: u8, over: &[Field], quantity: Quantity, value: Option<Span>) {
        let Some(value) = value else { return };
        if T::KEEPS {
            let value = Some((quantity, value));
            self.trace.keep(Claim {
                value,
                turns: Vec::new(),
                told: true,
                ..over_fields(code, Holds::Yes, over)
            });
        }
    }

    /// The same name must stand on both sides.
    pub fn same(&mut self, code: u8, a: Dim<'_, Name>, b: Dim<'_, Name>) {
        let holds = match (a.label(), b.label()) {
            (Some(a), Some(b)) if a == b => Holds::Yes,
            (Some(_), Some(_)) => Holds::No,
            _ => Holds::Open,
        };
        self.settle(holds, false);
        if T::KEEPS {
            let turn = |field: Field, other: Dim<'_, Name>| {
                let cases = other.label().map(|label| Cases::Names(vec![label]));
                Turn {
                    field,
                    sure: cases.clone(),
                    may: cases,
                }
            };
            let turns = vec![turn(a.field, b), turn(b.field, a)];
            self.trace.keep(names(code, holds, a, b, turns));
        }
    }

    /// A pair of names must be listed in a table as fitting.
    pub fn pair(
        &mut self,
        code: u8,
        table: Option<&PairTable>,
        a: Dim<'_, Name>,
        b: Dim<'_, Name>,
    ) {
        let Some(table) = table else {
            return self.ask(code, &[a.field, b.field]);
        };
        let judged = match (a.label(), b.label()) {
            (Some(a), Some(b)) => Some(self.row(table, a, b)),
            // Where every name of the list gives the same answer, the name is not asked for.
            (Some(a), None) => self.whole(table, table.all_b.iter().map(|b| (a, *b))),
            (None, Some(b)) => self.whole(table, table.all_a.iter().map(|a| (*a, b))),
            (None, None) => None,
        };
        let (holds, ground, row) = judged
            .map_or((Holds::Open, None, None), |(holds, ground, row)| {
                (holds, ground, Some(row))
            });
        let needs = match a.label().zip(b.label()).map(|(a, b)| table.says(a, b)) {
            Some((Says::With(things), fact, _)) if holds == Holds::Yes => things
                .iter()
                .map(|what| Need {
                    what: what.clone(),
                    fact: Some(fact),
                })
                .collect(),
            _ => Vec::new(),
        };
        self.settle(holds, !needs.is_empty());
        if T::KEEPS {
            let turns = vec![
                self.pair_turn(a.field, b.label(), &table.all_a, |mine, other| {
                    self.row(table, mine, other)
                }),
                self.pair_turn(b.field, a.label(), &table.all_b, |mine, other| {
                    self.row(table, other, mine)
                }),
            ];
            self.trace.keep(Claim {
                ground,
                row,
                needs,
                ..names(code, holds, a, b, turns)
            });
        }
    }

    /// What a table says of all these pairs, where it says the same plain thing of each.
    fn whole(
        &self,
        table: &PairTable,
        pairs: impl Iterator<Item = (Label, Label)>,
    ) -> Option<(Holds, Option<Ground>, FactId)> {
        let mut all: Option<(Holds, Option<Ground>, FactId)> = None;
        for (a, b) in pairs {
            let plain = matches!(table.says(a, b).0, Says::Fits | Says::Not(_));
            let found = self.row(table, a, b);
            let same = all.is_none_or(|(holds, ..)| holds == found.0);
            if !plain || !same || found.0 == Holds::Open {
                return None;
            }
            // Where the rows differ in why, it is not said to be impossible.
            all = all.map_or(Some(found), |(holds, ground, fact)| {
                Some((holds, either_ground(ground, found.1), fact))
            });
        }
        all
    }

    fn row(&self, table: &PairTable, a: Label, b: Label) -> (Holds, Option<Ground>, FactId) {
        let (says, fact, grade) = table.says(a, b);
        let doubted = self.strict && grade == Grade::Memory;
        match says {
            _ if doubted => (Holds::Open, None, fact),
            Says::Fits | Says::With(_) => (Holds::Yes, None, fact),
            Says::Ask => (Holds::Open, None, fact),
            Says::Not(ground) => (Holds::No, Some(*ground), fact),
        }
    }

    fn pair_turn(
        &self,
        field: Field,
        other: Option<Label>,
        all: &[Label],
        row: impl Fn(Label, Label) -> (Holds, Option<Ground>, FactId),
    ) -> Turn {
        let Some(other) = other else {
            return Turn {
                field,
                sure: None,
                may: None,
            };
        };
        let with = |wanted: fn(Holds, Option<Ground>) -> bool| -> Option<Cases> {
            let names = all.iter().filter(|mine| {
                let (holds, ground, _) = row(**mine, other);
                wanted(holds, ground)
            });
            let names: Vec<Label> = names.copied().collect();
            (!names.is_empty()).then_some(Cases::Names(names))
        };
        Turn {
            field,
            sure: with(|holds, _| holds == Holds::Yes),
            // What is only forbidden stands on many a bike.
            may: with(|holds, ground| holds != Holds::No || ground != Some(Ground::CannotJoin)),
        }
    }

    /// Something must be found out that no comparison can settle.
    pub fn ask(&mut self, code: u8, over: &[Field]) {
        self.plain(code, Holds::Open, over);
    }

    /// What is open here stays open, or does not fit, however exactly the figures that are known are
    /// learnt: only a trial tells, or a figure of which nothing is known.
    pub fn leave_open(&mut self) {
        self.never = true;
    }

    /// It does not fit, whatever the other readings.
    pub fn refuse(&mut self, code: u8, over: &[Field]) {
        self.plain(code, Holds::No, over);
    }

    /// It holds, and is worth saying.
    pub fn grant(&mut self, code: u8, over: &[Field]) {
        self.plain(code, Holds::Yes, over);
    }

    fn plain(&mut self, code: u8, holds: Holds, over: &[Field]) {
        self.settle(holds, false);
        if T::KEEPS {
            self.trace.keep(over_fields(code, holds, over));
        }
    }
}

/// What a difference may be that must not be below, or above, nothing.
fn allowed(side: Side) -> Span {
    match side {
        Side::AtLeast => Span::at_least(0),
        Side::AtMost => Span::at_most(0),
    }
}

/// A claim with nothing in it yet.
fn bare(code: u8, holds: Holds) -> Claim {
    Claim {
        code,
        holds,
        ground: None,
        terms: Vec::new(),
        value: None,
        bound: None,
        row: None,
        turns: Vec::new(),
        needs: Vec::new(),
        told: false,
        mended: false,
    }
}

/// A claim over dimensions, none of which turns it at a reading that could be named.
pub(super) fn over_fields(code: u8, holds: Holds, over: &[Field]) -> Claim {
    Claim {
        terms: over
            .iter()
            .map(|field| Term {
                field: *field,
                factor: 1,
            })
            .collect(),
        turns: over
            .iter()
            .map(|field| Turn {
                field: *field,
                sure: None,
                may: None,
            })
            .collect(),
        ..bare(code, holds)
    }
}

fn names(code: u8, holds: Holds, a: Dim<'_, Name>, b: Dim<'_, Name>, turns: Vec<Turn>) -> Claim {
    Claim {
        turns,
        ..over_fields(code, holds, &[a.field, b.field])
    }
}

/// The ground for two rows of which one speaks.
fn either_ground(a: Option<Ground>, b: Option<Ground>) -> Option<Ground> {
    match (a, b) {
        _ if a == b => a,
        (Some(Ground::Unsafe), _) | (_, Some(Ground::Unsafe)) => Some(Ground::Unsafe),
        _ => Some(Ground::OutsideRating),
    }
}

/// Whether a value keeps inside what is allowed.
fn holds(value: Option<Span>, allowed: Span) -> Holds {
    match value {
        Some(value) if allowed.holds(value) => Holds::Yes,
        Some(value) if allowed.meet(value).is_none() => Holds::No,
        _ => Holds::Open,
    }
}
