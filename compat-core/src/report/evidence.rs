//! Evidence in words: what the bike as it stood told, and where marking and measurement disagree.

use super::words::Words;
use crate::bike::{COMPLAINT, Look};
use crate::dim::Reading;
use crate::explain::list;
use crate::joints::FAMILIES;
use crate::solve::{Finding, Inference};

impl Words<'_> {
    pub(super) fn rests_on(&self, finding: &Finding) -> Vec<String> {
        let numbers = finding
            .rests_on
            .iter()
            .filter_map(|number| self.inferences.get(*number));
        let told = numbers.map(|inference| self.inference(inference));
        let mut codes: Vec<Option<u8>> = vec![None];
        let claims = finding.judgement.claims().iter();
        codes.extend(claims.map(|claim| Some(claim.code)));
        codes.sort_unstable();
        codes.dedup();
        let looks = codes
            .into_iter()
            .filter_map(|code| self.known.look(finding.at, code));
        told.chain(looks.map(|look| self.look(look))).collect()
    }

    /// What somebody saw.
    fn look(&self, look: &Look) -> String {
        let codes = FAMILIES.get(look.family).map(|family| family.codes);
        let code = look.code.and_then(|code| codes?.get(usize::from(code)));
        let family = FAMILIES.get(look.family).map_or("", |family| family.name);
        format!(
            "somebody looked: {family}/{} {} ({})",
            code.unwrap_or(&COMPLAINT),
            if look.holds { "holds" } else { "does not hold" },
            self.place(look.place)
        )
    }

    /// An inference with its chain: what it comes to, and what told it.
    pub fn inference(&self, inference: &Inference) -> String {
        let quantity = self.quantity(inference.slot, inference.dimension);
        let mut from: Vec<String> = Vec::new();
        for (slot, dimension) in &inference.from {
            let entry = self
                .before
                .part(*slot)
                .and_then(|part| part.entries.get(*dimension));
            let shown = entry.and_then(|entry| entry.deciding()).map(|reading| {
                let own = self.quantity(*slot, *dimension);
                format!(
                    "{} {}",
                    self.slot_title(*slot),
                    self.cases(own, &reading.cases)
                )
            });
            let earlier = || {
                let told = self
                    .inferences
                    .iter()
                    .find(|told| (told.slot, told.dimension) == (*slot, *dimension));
                told.map(|_| format!("{}, itself inferred", self.slot_title(*slot)))
            };
            from.extend(shown.or_else(earlier));
        }
        let unless = if inference.unless_bridged {
            "; unless an adaptor is fitted there: look for one"
        } else {
            ""
        };
        format!(
            "{} of the {} is {}: told by {} ({}){unless}",
            self.dimension_title(inference.slot, inference.dimension),
            self.slot_title(inference.slot),
            self.cases(quantity, &inference.cases),
            if from.is_empty() {
                "what is fitted now".to_owned()
            } else {
                format!("the {} that is fitted now", list(&from))
            },
            self.joint_title(inference.joint),
        )
    }

    pub fn disagreement(&self, slot: usize, dimension: usize) -> String {
        let quantity = self.quantity(slot, dimension);
        let entry = self
            .known
            .bike
            .part(slot)
            .and_then(|part| part.entries.get(dimension));
        let show = |reading: Option<&Reading>| {
            reading
                .map(|reading| self.cases(quantity, &reading.cases))
                .unwrap_or_default()
        };
        format!(
            "{} of the {} is marked {} and measures {}; the measurement decides",
            self.dimension_title(slot, dimension),
            self.part(slot),
            show(entry.and_then(|entry| entry.stated.as_ref())),
            show(entry.and_then(|entry| entry.measured.as_ref())),
        )
    }
}
