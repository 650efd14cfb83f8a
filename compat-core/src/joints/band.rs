//! Bands: how much of one number goes with how much of another, row by row, as tables in handbooks
//! give it (for a rim this wide tyres from this width to that).
//!
//! A row speaks for its own number. Between two rows both must agree; beyond the first and the
//! last nothing is known.

use std::marker::PhantomData;

use smallvec::SmallVec;

use super::compare::{Sum, Trace, Why};
use super::family::{Dim, Limit, LimitRow, Sheet};
use crate::dim::{Linear, Span};
use crate::verdict::{FactId, Grade};

/// A row: for numbers in `on`, not less than `least` and not more than `most`. Either is a span
/// where sources differ; inside it the claim is open.
#[derive(Clone, Copy, Debug)]
pub struct BandRow {
    /// The numbers it speaks for.
    pub on: Span,
    /// The least that goes with them.
    pub least: Span,
    /// The most that goes with them.
    pub most: Span,
    /// Who says so.
    pub fact: FactId,
    /// How good that is.
    pub grade: Grade,
}

/// The rows of a table, from the smallest number up.
#[derive(Clone, Debug, Default)]
pub struct BandTable {
    /// The rows.
    pub rows: Vec<BandRow>,
}

impl BandTable {
    /// What the table says of a number: the least and the most that every row with a say agrees
    /// on. `None` where the number, or a part of its span, lies outside the table.
    pub fn at(&self, number: Span, strict: bool) -> Option<BandRow> {
        let doubted = |row: &&BandRow| strict && row.grade == Grade::Memory;
        let rows: SmallVec<[BandRow; 16]> = self
            .rows
            .iter()
            .filter(|row| !doubted(row))
            .copied()
            .collect();
        // The last row that begins at or below the number, and the first that ends at or above it.
        let first = rows.iter().rposition(|row| row.on.low <= number.low)?;
        let last = rows.iter().position(|row| row.on.high >= number.high)?;
        let said = rows.get(first..=last)?.iter().copied();
        said.reduce(|a, b| BandRow {
            on: number,
            least: hull(a.least, b.least),
            most: hull(a.most, b.most),
            grade: a.grade.max(b.grade),
            fact: a.fact,
        })
    }
}

fn hull(a: Span, b: Span) -> Span {
    Span {
        low: a.low.min(b.low),
        high: a.high.max(b.high),
    }
}

/// Bands as a rule sees them: by which role they go, and which they bound.
#[derive(Clone, Copy, Debug)]
pub struct Bands<'s, K, V> {
    table: Option<&'s BandTable>,
    roles: PhantomData<(K, V)>,
}

impl<'s, K, V> Bands<'s, K, V> {
    /// The bands at a number of a sheet.
    pub fn of(sheet: &'s Sheet, index: usize) -> Self {
        Bands {
            table: sheet.bands.get(index),
            roles: PhantomData,
        }
    }
}

impl<K: Linear, V: Linear> Bands<'_, K, V> {
    /// The row for a number, for a decision or a formula inside a rule; `None` where the number is
    /// not known or lies outside the table.
    pub fn row(&self, number: Option<Span>, strict: bool) -> Option<BandRow> {
        self.table?.at(number?, strict)
    }
}

impl<T: Trace> Why<T> {
    /// The value must lie in the band that goes with a number.
    pub fn band<K: Linear, V: Linear>(
        &mut self,
        (too_little, too_much): (u8, u8),
        bands: &Bands<'_, K, V>,
        number: Dim<'_, K>,
        value: Dim<'_, V>,
    ) {
        let found = bands
            .table
            .zip(number.span())
            .and_then(|(table, number)| table.at(number, self.strict));
        let Some(row) = found else {
            return self.ask(too_much, &[number.field, value.field]);
        };
        let limit = |span: Span| Limit {
            row: Some(LimitRow {
                span,
                fact: row.fact,
                grade: row.grade,
            }),
            kind: PhantomData,
        };
        let value: Sum<V> = value.sum().resting_on(number);
        self.at_least(too_little, &value, limit(row.least));
        self.at_most(too_much, &value, limit(row.most));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row(on: (i64, i64), least: i64, most: i64) -> BandRow {
        let (family, fact) = (0, 0);
        BandRow {
            on: Span::between(on.0, on.1),
            least: Span::exactly(least),
            most: Span::exactly(most),
            fact: FactId { family, fact },
            grade: Grade::Published,
        }
    }

    fn table() -> BandTable {
        BandTable {
            rows: vec![
                row((10, 12), 1, 5),
                row((15, 15), 3, 6),
                row((20, 20), 4, 9),
            ],
        }
    }

    fn at(low: i64, high: i64) -> Option<(Span, Span)> {
        let said = table().at(Span { low, high }, false);
        said.map(|row| (row.least, row.most))
    }

    #[test]
    fn a_row_speaks_for_its_own_numbers() {
        assert_eq!(at(11, 11), Some((Span::exactly(1), Span::exactly(5))));
        assert_eq!(at(15, 15), Some((Span::exactly(3), Span::exactly(6))));
    }

    #[test]
    fn between_two_rows_both_have_a_say() {
        let both = Some((Span::between(1, 3), Span::between(5, 6)));
        assert_eq!(at(13, 14), both);
        assert_eq!(at(12, 15), both);
        assert_eq!(at(10, 20), Some((Span::between(1, 4), Span::between(5, 9))));
    }

    #[test]
    fn beyond_the_ends_nothing_is_known() {
        assert_eq!(at(9, 9), None);
        assert_eq!(at(19, 21), None);
        assert_eq!(at(21, 21), None);
    }
}
