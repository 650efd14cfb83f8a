//! What is told of a part with regard to another that is fitted: the wheel that a gap was measured on.

use super::Bike;
use crate::catalog::Catalog;
use crate::dim::{Cases, Reading};

impl Bike {
    /// Gives dimensions that nobody stated and that are those of other parts as they are fitted.
    pub(super) fn as_fitted(&mut self, catalog: &Catalog) {
        let mut found: Vec<(usize, usize, Reading)> = Vec::new();
        for (slot, part) in self.parts.iter().enumerate() {
            let Some(part) = part else { continue };
            let dimensions = catalog.body(part.kind).dimensions.iter().zip(&part.entries);
            for (number, (dimension, entry)) in dimensions.enumerate() {
                if entry.is_unknown() && !dimension.as_fitted.is_empty() {
                    let told = dimension.as_fitted.iter();
                    let told = told.filter_map(|name| self.fitted(catalog, name));
                    found.extend(agreed(told).map(|reading| (slot, number, reading)));
                }
            }
        }
        for (slot, number, reading) in found {
            let part = self.parts.get_mut(slot).and_then(Option::as_mut);
            if let Some(entry) = part.and_then(|part| part.entries.get_mut(number)) {
                entry.stated = Some(reading);
            }
        }
    }

    /// What is known of a dimension, `SLOT.NAME`.
    fn fitted(&self, catalog: &Catalog, name: &str) -> Option<&Reading> {
        let (slot, name) = name.split_once('.')?;
        let part = self.part(catalog.slot_named(slot)?)?;
        let number = catalog.body(part.kind).dimension(name)?;
        part.entries.get(number)?.deciding()
    }
}

/// The one reading that all of them give; none where one is not exact, or two differ.
fn agreed<'a>(mut readings: impl Iterator<Item = &'a Reading>) -> Option<Reading> {
    let first = readings.next()?;
    let exact =
        |cases: &Cases| cases.len() == 1 && cases.span().is_some_and(|span| span.is_exact());
    let same = readings.all(|other| other.cases == first.cases);
    (same && exact(&first.cases)).then(|| first.clone())
}
