//! Another part, or the one change that settles most, in words.

use super::words::Words;
use crate::dim::Cases;
use crate::explain::list;
use crate::solve::{Change, Finding, Single, Step};
use crate::verdict::Field;

impl Words<'_> {
    /// The adaptors that mend some of the cases where something is one thing or another.
    pub(super) fn in_cases(&self, finding: &Finding) -> Vec<String> {
        let mended = finding.remedies.in_cases.iter().map(|(inserts, cases)| {
            let case = |(field, cases): &(Field, Cases)| {
                let (slot, dimension) = self.known.dimension(finding.at, *field)?;
                let shown = self.cases(self.quantity(slot, dimension), cases);
                let title = self.dimension_title(slot, dimension);
                let mut split = finding.judgement.split.iter();
                let decides = split.any(|(known, _)| known == field);
                decides.then(|| format!("{title} of the {} is {shown}", self.part(slot)))
            };
            let cases: Vec<String> = cases.iter().filter_map(case).collect();
            let names = inserts.iter().map(|insert| insert.need.what.to_string());
            let from = inserts.iter().filter_map(|insert| insert.need.fact);
            let from: Vec<String> = from.map(|fact| self.source(fact)).collect();
            let names: Vec<String> = names.collect();
            let (names, from) = (list(&names), from.join("; "));
            format!("fits with {names} in between if {} [{from}]", list(&cases))
        });
        let mut mended: Vec<String> = mended.collect();
        mended.dedup();
        mended
    }

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
