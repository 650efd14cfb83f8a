//! Reading the bands of a family's page: `[[band]]` rows with `table`, `on`, `least` and `most`.

use super::page::Reader;
use crate::dim::{Quantity, Span, read_span};
use crate::joints::{BandRow, BandTable};
use crate::text::{Fault, FaultKind, Node, Place, Row, nearest};

impl Reader<'_> {
    /// The bands in the order the family declares them.
    pub(super) fn bands(&mut self, nodes: &[&Node]) -> Vec<BandTable> {
        let known = self.definition.bands;
        let mut tables = vec![BandTable::default(); known.len()];
        for node in nodes {
            let mut row = Row::new(self.file, node, &mut self.faults);
            let name = row.must("table", &mut self.faults);
            let index = known.iter().position(|(known, ..)| *known == name);
            let Some((_, by, bounds)) = index.and_then(|index| known.get(index)) else {
                let near = nearest(name, known.iter().map(|(known, ..)| *known));
                let message = format!("`{name}` is no band of this family");
                let fault = Fault::new(row.here(), FaultKind::UnknownName, name, message);
                self.faults.push(fault.near(near));
                continue;
            };
            let on = self.span(&mut row, "on", *by).unwrap_or(Span::ALL);
            let least = self.span(&mut row, "least", *bounds);
            let most = self.span(&mut row, "most", *bounds);
            let (fact, grade) = self.fact(&mut row);
            row.end(&mut self.faults);
            if let Some(table) = index.and_then(|index| tables.get_mut(index)) {
                table.rows.push(BandRow {
                    on,
                    // A side nobody bounds is open on that side: nothing is outside it.
                    least: least.unwrap_or(Span::exactly(Span::LEAST)),
                    most: most.unwrap_or(Span::exactly(Span::MOST)),
                    fact,
                    grade,
                });
            }
        }
        for (table, (name, ..)) in tables.iter_mut().zip(known) {
            table.rows.sort_by_key(|row| row.on);
            let overlap = table
                .rows
                .windows(2)
                .any(|pair| matches!(pair, [a, b] if a.on.high >= b.on.low));
            let wrong = match table.rows.is_empty() {
                true => Some((FaultKind::Missing, "has no rows")),
                false => overlap.then_some((FaultKind::BadValue, "has rows that overlap")),
            };
            if let Some((kind, what)) = wrong {
                let place = Place::start(self.file);
                self.fault(place, kind, name, format!("the band `{name}` {what}"), None);
            }
        }
        tables
    }

    fn span(&mut self, row: &mut Row<'_>, key: &'static str, of: Quantity) -> Option<Span> {
        let here = row.here();
        let text = row.text(key, &mut self.faults)?;
        match read_span(of, text) {
            Ok(span) => Some(span),
            Err(wrong) => {
                let fault = Fault::new(here, FaultKind::BadValue, text, wrong.message);
                self.faults.push(fault);
                None
            }
        }
    }
}
