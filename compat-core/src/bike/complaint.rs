//! Complaints about the parts of a bike, what else they put in doubt, and who looked into them.

use super::{Bike, Graph, JointAt, Look};
use crate::catalog::Catalog;
use crate::text::Phrase;

impl Bike {
    /// What somebody saw who looked at a joint for the sake of a code, or of a complaint.
    pub fn look(&self, catalog: &Catalog, at: JointAt, code: Option<u8>) -> Option<&Look> {
        let joint = catalog.joints(at.family).get(at.joint)?;
        let here = |look: &&Look| {
            let slot = look.slot;
            (look.family, look.code) == (at.family, code)
                && slot.is_none_or(|slot| joint.hangs_on().any(|there| there == slot))
        };
        self.looks.iter().rev().find(here)
    }

    /// The complaints against a joint: slot, and number of the complaint of its kind.
    pub fn complaints(&self, catalog: &Catalog, at: JointAt) -> Vec<(usize, usize)> {
        let mut found = Vec::new();
        let Some(joint) = catalog.joints(at.family).get(at.joint) else {
            return found;
        };
        for end in joint.ends.iter().flatten() {
            let Some(part) = self.part(end.slot) else {
                continue;
            };
            let body = catalog.body(part.kind);
            for (number, _) in &part.complaints {
                let against = body
                    .complaints
                    .get(*number)
                    .is_some_and(|complaint| complaint.ends.contains(&end.end));
                if against {
                    found.push((end.slot, *number));
                }
            }
        }
        found
    }

    /// Some complaints cast doubt on what meets the part as well, as long as that stays on the bike:
    /// where a post slips, the bore may be worn.
    pub(super) fn doubt(&mut self, catalog: &Catalog) {
        let doubts = |slot: usize, number: usize| {
            let part = self.part(slot)?;
            let complaint = catalog.body(part.kind).complaints.get(number)?;
            Some(complaint.doubts)
        };
        let mut doubted: Vec<(usize, Phrase)> = Vec::new();
        let complaints = self.parts.iter().flatten().map(|part| &part.complaints);
        if complaints.flatten().next().is_none() {
            return;
        }
        for at in Graph::of(catalog, self).joints() {
            let mut against = self.complaints(catalog, *at).into_iter();
            let cleared = self.look(catalog, *at, None).is_some_and(|look| look.holds);
            if cleared || !against.any(|(slot, number)| doubts(slot, number) == Some(true)) {
                continue;
            }
            let joint = catalog.joints(at.family).get(at.joint).into_iter();
            let ends = joint.flat_map(|joint| joint.ends.iter().flatten());
            doubted.extend(ends.map(|end| (end.slot, end.end.clone())));
        }
        for (slot, end) in doubted {
            if let Some(part) = self.parts.get_mut(slot).and_then(Option::as_mut) {
                part.doubted.push(end);
            }
        }
    }
}
