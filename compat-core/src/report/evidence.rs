//! Evidence in words: what the bike as it stood told, and where marking and measurement disagree.

use super::words::Words;
use crate::bike::{Bike, COMPLAINT, Look};
use crate::dim::{Cases, Reading};
use crate::explain::list;
use crate::joints::FAMILIES;
use crate::solve::{Check, Conflict, Finding, Inference, Renewed, Unjudged};

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

    /// An end that nothing judges, on the bike as it would be.
    pub(super) fn not_judged(&self, unjudged: &Unjudged, after: &Bike) -> String {
        let slot = self.slot_title(unjudged.slot);
        if let Some(complaint) = unjudged.complaint {
            let told = self.against_itself(unjudged.slot, complaint);
            return format!("{slot}, {told}");
        }
        if let Some(changes) = unjudged.changes {
            return self.dragged(unjudged, changes, after);
        }
        let end = &unjudged.end;
        match unjudged.missing {
            Some(missing) => {
                let missing = self.slot_title(missing);
                format!("{slot}, {end}: the bike lists no {missing}; write down what is fitted")
            }
            None if unjudged.vital => format!(
                "{slot}, {end}: no rule here judges it, and it decides; look before you order"
            ),
            None => format!("{slot}, {end}: no rule here judges it"),
        }
    }

    /// An end that changes what sits there, where nobody wrote that down.
    fn dragged(&self, end: &Unjudged, (dimension, one): (usize, bool), after: &Bike) -> String {
        let missing = end.missing.filter(|_| one);
        let missing =
            missing.map(|missing| format!("the bike lists no {}", self.slot_title(missing)));
        let quantity = self.quantity(end.slot, dimension);
        let shown = |cases: Option<&Cases>| {
            cases.map_or_else(|| "not known".to_owned(), |cases| self.few(quantity, cases))
        };
        let stated = |bike: &Bike| {
            let entry = bike.part(end.slot)?.entries.get(dimension)?;
            entry.deciding().map(|reading| reading.cases.clone())
        };
        let told = || {
            let mut all = self.inferences.iter();
            let told = all.find(|told| (told.slot, told.dimension) == (end.slot, dimension));
            told.map(|told| told.cases.clone())
        };
        let (old, new) = (stated(self.before).or_else(told), stated(after));
        let ask = match (&old, &new) {
            (Some(_), Some(_)) => "write down what is fitted",
            _ => "write down either",
        };
        format!(
            "{}, {}: {} was {} and is {}, and {}; {ask}",
            self.slot_title(end.slot),
            end.end,
            self.dimension_title(end.slot, dimension),
            shown(old.as_ref()),
            shown(new.as_ref()),
            missing.unwrap_or_else(|| "nothing is listed that sits there".to_owned())
        )
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
        format!(
            "{} of the {} is {}: {}",
            self.dimension_title(inference.slot, inference.dimension),
            self.slot_title(inference.slot),
            self.cases(quantity, &inference.cases),
            self.told_by(inference, true),
        )
    }

    /// What told something, back to what is written down.
    fn told_by(&self, inference: &Inference, first: bool) -> String {
        let at = (inference.slot, inference.dimension);
        let own = self.inferences.iter().position(|known| known == inference);
        let earlier = self
            .inferences
            .get(..own.unwrap_or(self.inferences.len()))
            .unwrap_or_default();
        // Of a part that tells by more than one dimension each is named.
        let mate = |slot: usize, dimension: usize, shown: &str| {
            let own = inference.from.iter().filter(|(other, _)| *other == slot);
            match own.count() {
                0 | 1 => format!("the {} {shown}", self.slot_title(slot)),
                _ => {
                    let (part, what) =
                        (self.slot_title(slot), self.dimension_title(slot, dimension));
                    format!("the {part} ({what} {shown})")
                }
            }
        };
        let mut from: Vec<String> = Vec::new();
        for (slot, dimension) in inference.from.iter().filter(|other| **other != at) {
            let quantity = self.quantity(*slot, *dimension);
            let part = self.before.part(*slot);
            let entry = part.and_then(|part| part.entries.get(*dimension));
            if let Some(reading) = entry.and_then(|entry| entry.deciding()) {
                let shown = self.cases(quantity, &reading.cases);
                from.push(mate(*slot, *dimension, &shown));
                continue;
            }
            let mut earlier = earlier.iter().rev();
            let told = earlier.find(|told| (told.slot, told.dimension) == (*slot, *dimension));
            if let Some(told) = told {
                let shown = self.cases(quantity, &told.cases);
                let chain = self.told_by(told, false);
                let mate = mate(*slot, *dimension, &shown);
                from.push(format!("{mate}, itself {chain}"));
            }
        }
        let fitted = match (from.is_empty(), first) {
            (true, _) => "what is fitted now".to_owned(),
            (false, true) if from.len() > 1 => format!("{} that are fitted now", list(&from)),
            (false, true) => format!("{} that is fitted now", list(&from)),
            (false, false) => list(&from),
        };
        let unless = if inference.unless_bridged {
            "; unless an adaptor is fitted there: look for one"
        } else {
            ""
        };
        format!(
            "told by {fitted} ({}){unless}",
            self.joint_title(inference.joint)
        )
    }

    /// Everything the bike as it stood told of what is still on it.
    pub fn told(&self, check: &Check) -> Vec<String> {
        let last = |(slot, dimension): &(usize, usize)| {
            let mut told = self.inferences.iter().rev();
            told.find(|told| (told.slot, told.dimension) == (*slot, *dimension))
        };
        let told = check.inferred.keys().filter_map(last);
        told.map(|told| self.inference(told)).collect()
    }

    /// Where what is described contradicts itself: what the parts tell of each other, and joints that
    /// could not have stood.
    pub fn contradictions(&self, check: &Check) -> Vec<String> {
        let told = check.conflicts.iter().map(|one| self.conflict(one));
        let unsound = check.unsound.iter().map(|at| {
            format!(
                "{}: what is fitted now could not be joined as it is described; one of the two is not what it is said to be, so measure again",
                self.joint_title(*at)
            )
        });
        told.chain(unsound).collect()
    }

    /// Evidence that contradicts itself, with what there is to do.
    fn conflict(&self, conflict: &Conflict) -> String {
        let quantity = self.quantity(conflict.slot, conflict.dimension);
        let told = conflict.told.iter().map(|told| {
            let shown = self.cases(quantity, &told.cases);
            format!("{shown}, {}", self.told_by(told, true))
        });
        let told: Vec<String> = told.collect();
        let against = match conflict.joint {
            Some(joint) => format!(
                "; with that this joint could not stand: {}",
                self.joint_title(joint)
            ),
            None => String::new(),
        };
        format!(
            "{} of the {}: {}{against}; not all of it can be right, so none is taken: measure it, and look for an adaptor or a wrong part",
            self.dimension_title(conflict.slot, conflict.dimension),
            self.slot_title(conflict.slot),
            told.join("; but "),
        )
    }

    /// The new parts that are the same as those that were fitted, and what that means for each.
    pub fn same(&self, renewed: &Renewed) -> Vec<String> {
        let line = |slot: &usize| {
            let part = self.part(*slot);
            format!(
                "{part}, of the make, model and size that was fitted: what that proved by standing holds; what is cut, set or worn, and what would be unsafe, is asked anew"
            )
        };
        renewed.same.iter().map(line).collect()
    }

    /// The new parts that were said to be the same as those that were fitted, and cannot be.
    pub fn not_the_same(&self, renewed: &Renewed) -> Vec<String> {
        let line = |(slot, dimension): &(usize, Option<usize>)| {
            let title = self.slot_title(*slot);
            match dimension {
                None => format!("the bike lists no {title} that the new one could be the same as"),
                Some(dimension) => format!(
                    "the new {title} is said to be the same as the one that is fitted, and they differ in {}: it is taken for another",
                    self.dimension_title(*slot, *dimension)
                ),
            }
        };
        renewed.other.iter().map(line).collect()
    }

    /// What is marked on a part and what it measures, where both cannot be right.
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
