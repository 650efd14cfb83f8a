//! Another part, or the one change that settles most, in words.

use super::words::Words;
use crate::dim::Cases;
use crate::explain::list;
use crate::solve::{Change, Single, Step};

impl Words<'_> {
    pub fn change(&self, change: &Change) -> String {
        // A name would be that of the part that does not fit.
        let slot = match self.touched.contains(&change.slot) {
            true => format!("another {}", self.slot_title(change.slot)),
            false => self.part(change.slot),
        };
        let dims: Vec<String> = change
            .to
            .iter()
            .map(|(dimension, cases)| {
                let ends = change.ends.iter().find(|(number, _)| number == dimension);
                let whole = ends.map(|(_, span)| Cases::Numbers(vec![*span]));
                let cases = whole.as_ref().unwrap_or(cases);
                let shown = self.few(self.quantity(change.slot, *dimension), cases);
                let colon = if matches!(cases, Cases::Names(_)) {
                    ":"
                } else {
                    ""
                };
                format!(
                    "{}{colon} {shown}",
                    self.dimension_title(change.slot, *dimension)
                )
            })
            .collect();
        match &change.title {
            Some(title) => format!("{slot}: {title} ({})", list(&dims)),
            None => format!("{slot}: {}", list(&dims)),
        }
    }

    /// The one change that settles most, and how many.
    pub fn single(&self, single: &Single) -> String {
        let which = match single.settles == single.of {
            true if single.of == 2 => "both joints".to_owned(),
            true => format!("all {} joints", single.of),
            false => format!("{} of the {} joints", single.settles, single.of),
        };
        let what = match &single.step {
            Step::Another(change) => self.change(change),
            Step::AsBefore(slot) => {
                format!("the {} that is fitted now stays", self.slot_title(*slot))
            }
        };
        format!("{which} that do not fit are settled by this: {what}")
    }
}
