//! A name that may be one of several, and a number beside it that leaves fewer: of the systems that are
//! called 1.7, only one has levers of nine speeds.

use super::kinds::{Dimension, number_of};
use super::parts::Part;
use crate::dim::{Cases, Label, Span, read_span};
use crate::text::{Fault, FaultKind, Faults, FileId, Node, Phrase, Row};

/// The names a dimension may have where another dimension of the part has a value.
#[derive(Clone, Debug)]
pub struct Among {
    /// The number of the dimension that is named.
    pub named: usize,
    /// The number of the one that is counted.
    pub counted: usize,
    /// Its value.
    pub value: Span,
    /// The names.
    pub names: Vec<Label>,
}

impl Among {
    pub(super) fn read(
        file: FileId,
        node: &Node,
        dimensions: &[Dimension],
        label: impl Fn(usize, &str) -> Option<Label>,
        faults: &mut Faults,
    ) -> Option<Among> {
        let mut row = Row::new(file, node, faults);
        let here = row.here();
        let number = |name: &str, faults: &mut Faults| number_of(name, dimensions, here, faults);
        let named = number(row.must("named", faults), faults);
        let counted = number(row.must("counted", faults), faults);
        let value = row.must("value", faults);
        let names: Vec<Phrase> = row
            .texts("names", faults)
            .into_iter()
            .map(|(name, _)| name.into())
            .collect();
        row.end(faults);
        let (named, counted) = named.zip(counted)?;
        let quantity = dimensions.get(counted)?.quantity;
        let value = read_span(quantity, value)
            .map_err(|wrong| {
                faults.push(Fault::new(here, FaultKind::BadValue, value, wrong.message))
            })
            .ok()?;
        let list = dimensions.get(named)?.list?;
        let mut labels = Vec::new();
        for name in &names {
            match label(list, name.as_str()) {
                Some(label) => labels.push(label),
                None => faults.push(Fault::new(
                    here,
                    FaultKind::UnknownName,
                    name.as_str(),
                    format!("`{name}` is no name of the list"),
                )),
            }
        }
        Some(Among {
            named,
            counted,
            value,
            names: labels,
        })
    }

    /// Leaves of the names a part may have those that go with what is counted, where one does.
    pub(super) fn narrow(&self, part: &mut Part) {
        let counted = part.entries.get(self.counted);
        let counted = counted.and_then(|entry| entry.deciding()?.cases.span());
        if !counted.is_some_and(|counted| self.value.holds(counted)) {
            return;
        }
        let Some(entry) = part.entries.get_mut(self.named) else {
            return;
        };
        let readings = [&mut entry.stated, &mut entry.measured];
        for reading in readings.into_iter().flatten() {
            match &mut reading.cases {
                Cases::Names(labels) if labels.iter().any(|name| self.names.contains(name)) => {
                    labels.retain(|name| self.names.contains(name));
                }
                _ => {}
            }
        }
    }
}
