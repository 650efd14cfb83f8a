//! What tells the choices for a place apart in the eyes of a demand, beyond their own dimensions.

use super::build::{Built, Choice, Demand, Place};
use super::shelf::Class;
use crate::catalog::Drags;
use crate::joints::FAMILIES;

impl Built<'_> {
    /// The slots to whose parts it matters whether the part of this one stays: a rim's, to its hub's.
    pub(super) fn laced_with(&self, slot: usize) -> Vec<usize> {
        let joints = (0..FAMILIES.len()).flat_map(|family| self.catalog.joints(family));
        let mut found = Vec::new();
        for joint in joints.filter(|joint| !joint.together.is_empty()) {
            let joined = joint.together.iter();
            let joined = joined.filter_map(|end| joint.ends.get(*end)?.as_ref());
            let slots: Vec<usize> = joined.map(|end| end.slot).collect();
            if slots.contains(&slot) {
                found.extend(slots.into_iter().filter(|other| *other != slot));
            }
        }
        found
    }

    /// The slots whose parts tell whether a joint says enough of the part in this one.
    pub(super) fn asked_beside(&self, slot: usize) -> Vec<usize> {
        let joints = self.joints_of.get(slot).into_iter().flatten();
        let beside = joints.filter_map(|at| {
            let joint = self.joint(*at)?;
            let field = joint.aside_unless?;
            Some(joint.ends.get(usize::from(field.end))?.as_ref()?.slot)
        });
        beside.filter(|other| *other != slot).collect()
    }

    /// True for a part of which not every place of its kind can get one at one price.
    pub(super) fn can_run_out(&self, place: usize, choice: usize) -> bool {
        let slots = self.catalog.slots();
        let kind = (self.places.get(place)).and_then(|place| Some(slots.get(place.slot)?.kind));
        let (Choice::Take(class), Some(kind)) = (self.choice(place, choice), kind) else {
            return false;
        };
        let of_kind = |place: &&Place| slots.get(place.slot).is_some_and(|slot| slot.kind == kind);
        let most = self.places.iter().filter(of_kind).count();
        let all = self
            .shelf
            .class(kind, class)
            .and_then(|class| class.taken(most));
        all.is_none_or(|all| {
            all.iter()
                .any(|unit| Some(unit.price) != all.first().map(|one| one.price))
        })
    }

    /// True where it matters to the ends of a part what this slot has.
    pub(super) fn beside(&self, demand: &Demand, slot: usize) -> bool {
        matches!(demand, Demand::Ends(own) if self.asked_beside(*own).contains(&slot))
    }

    /// What a part of a class drags along at each of its ends, by number;
    /// `u32::MAX` for nothing.
    pub(super) fn drags_along(&self, slot: usize, class: &Class<'_>) -> Vec<u32> {
        let Some(part) = class.part() else {
            return Vec::new();
        };
        let ends = self.catalog.body(part.kind).ends.iter();
        let drags = ends.filter_map(|end| end.drags.as_ref());
        let after = |number: usize| part.entries.get(number)?.deciding();
        let mark = |drags: &Drags| {
            let change = drags.change(|number| self.told.reading(slot, number), after)?;
            Some(drags.mark(&change))
        };
        drags.map(|drags| mark(drags).unwrap_or(u32::MAX)).collect()
    }
}
