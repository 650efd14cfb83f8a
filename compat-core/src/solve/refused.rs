//! Joints of new parts of which a part is not written down: whatever it is like, two that clash do not go
//! together.

use super::case::Case;
use super::check::{Finding, joint};
use super::unjudged::Unjudged;
use crate::bike::{Bike, JointAt};
use crate::catalog::{Joint, PartReader};
use crate::joints::FAMILIES;
use crate::text::Place;
use crate::verdict::{Holds, Verdict};

/// What is refused for the parts that are written down, and the ends of new parts it judges.
pub(super) fn refused(case: &Case<'_>, unjudged: &mut Vec<Unjudged>) -> Vec<Finding> {
    let mut found = Vec::new();
    let wanted = unjudged.iter().filter(|one| one.vital);
    let mut slots: Vec<(usize, usize)> = wanted
        .filter_map(|one| Some((one.slot, one.missing?)))
        .collect();
    slots.sort_unstable();
    slots.dedup();
    if slots.is_empty() {
        return found;
    }
    for (family, definition) in FAMILIES.iter().enumerate() {
        let joints = case.catalog.joints(family).iter().enumerate();
        for (number, here) in joints {
            let of = |slot: usize| here.ends.iter().flatten().any(|end| end.slot == slot);
            let lacks = slots
                .iter()
                .any(|(slot, missing)| of(*slot) && of(*missing));
            if !lacks || here.stands(definition, |slot| case.after.part(slot).is_some()) {
                continue;
            }
            let Some(bike) = filled(case, here, definition) else {
                continue;
            };
            let at = JointAt {
                family,
                joint: number,
            };
            let finding = joint(&case.known_of(&bike), at, case.setting(), None);
            if finding.outcome == Verdict::DoesNotFit && written(case, at, &finding) {
                unjudged.retain(|one| !one.missing.is_some_and(of) || !played(case, here, one));
                found.push(finding);
            }
        }
    }
    for finding in &mut found {
        let changes = &mut finding.remedies.changes;
        changes.retain(|change| case.after.part(change.slot).is_some());
    }
    found
}

/// True where something is refused that is about parts that are written down, and no other.
fn written(case: &Case<'_>, at: JointAt, finding: &Finding) -> bool {
    let known = case.known();
    let claims = finding.judgement.claims().iter();
    let mut no = claims.filter(|claim| claim.holds == Holds::No);
    no.any(|claim| {
        let mut terms = claim.terms.iter();
        let there = |end: u8| known.slot_of(at, usize::from(end)).is_some();
        !claim.terms.is_empty() && terms.all(|term| there(term.field.end))
    })
}

/// True where a joint judges the end that nothing judged.
fn played(case: &Case<'_>, joint: &Joint, one: &Unjudged) -> bool {
    let kind = case
        .after
        .part(one.slot)
        .map(|part| case.catalog.body(part.kind));
    let mut mine = joint
        .ends
        .iter()
        .flatten()
        .filter(|end| end.slot == one.slot);
    mine.any(|end| {
        let own = kind.and_then(|kind| kind.end(&end.end));
        own.is_some_and(|own| own.title == one.end)
    })
}

/// The bike with a part of which nothing is known where the joint lacks one, if two of its own are there
/// and none that it lacks was taken off.
fn filled(case: &Case<'_>, joint: &Joint, family: &crate::joints::Family) -> Option<Bike> {
    let there = |slot: usize| case.after.part(slot).is_some();
    let mut own: Vec<usize> = joint
        .ends
        .iter()
        .flatten()
        .map(|end| end.slot)
        .filter(|slot| there(*slot))
        .collect();
    own.sort_unstable();
    own.dedup();
    if own.len() < 2 || !joint.filled.iter().all(|slot| there(*slot)) {
        return None;
    }
    let mut bike = case.after.clone();
    for (end, wanted) in joint.ends.iter().zip(family.ends) {
        let Some(slot) = end.as_ref().map(|end| end.slot) else {
            continue;
        };
        if wanted.optional || there(slot) {
            continue;
        }
        if case.touched.contains(&slot) {
            return None;
        }
        let kind = case.catalog.slots().get(slot)?.kind;
        let part = PartReader::new(case.catalog, kind, Place::default()).part;
        *bike.parts.get_mut(slot)? = Some(part);
    }
    joint
        .stands(family, |slot| bike.part(slot).is_some())
        .then_some(bike)
}
