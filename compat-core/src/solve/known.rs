//! What is known of a bike: what its files say, and what the bike as it stood tells.

use std::collections::BTreeMap;
use std::rc::Rc;

use super::judge::About;
use crate::bike::{Bike, JointAt, Look};
use crate::catalog::{Catalog, Joint};
use crate::dim::{Quantity, Reading};
use crate::joints::{Cells, FAMILIES};
use crate::verdict::{Claim, Field, Ground, Holds};

/// What is known of a bike: what the files say, and what the bike as it stood tells.
#[derive(Clone, Debug)]
pub struct Known<'a> {
    /// The catalogue.
    pub catalog: &'a Catalog,
    /// The bike.
    pub bike: &'a Bike,
    /// What is inferred, by slot and dimension.
    pub inferred: Rc<BTreeMap<(usize, usize), Reading>>,
}

impl<'a> Known<'a> {
    /// What the files say, and nothing else.
    pub fn stated(catalog: &'a Catalog, bike: &'a Bike) -> Self {
        Known {
            catalog,
            bike,
            inferred: Rc::default(),
        }
    }

    /// The dimension behind a field of a joint: slot, and dimension of its kind.
    pub fn dimension(&self, at: JointAt, field: Field) -> Option<(usize, usize)> {
        let joint = self.joint(at)?;
        let slot = joint.ends.get(usize::from(field.end))?.as_ref()?.slot;
        let dimensions = joint.dimensions(self.catalog, FAMILIES.get(at.family)?);
        let number = dimensions
            .get(usize::from(field.end))?
            .get(usize::from(field.field))?;
        number.map(|number| (slot, number))
    }

    /// The fields of a joint whose parts are there.
    pub(super) fn fields(&self, at: JointAt) -> Vec<(Field, Quantity)> {
        let ends = FAMILIES
            .get(at.family)
            .map_or(&[] as &[_], |family| family.ends);
        let mut found = Vec::new();
        for (end, definition) in (0_u8..).zip(ends) {
            if self.slot_of(at, usize::from(end)).is_none() {
                continue;
            }
            let fields = (0_u8..).zip(definition.fields);
            found.extend(fields.map(|(field, own)| (Field { end, field }, own.quantity)));
        }
        found
    }

    /// The fields of a joint that a slot fills, each with the dimension of its kind.
    pub(super) fn fields_of(&self, at: JointAt, slot: usize) -> Vec<(Field, usize)> {
        let ends = self.joint(at).map_or(&[][..], |joint| &joint.ends);
        let mine = (0_u8..).zip(ends).filter(|(_, end)| {
            let end = end.as_ref();
            end.is_some_and(|end| end.slot == slot)
        });
        let mine: Vec<u8> = mine.map(|(end, _)| end).collect();
        let fields = self.fields(at).into_iter().map(|(field, _)| field);
        fields
            .filter(|field| mine.contains(&field.end))
            .filter_map(|field| Some((field, self.dimension(at, field)?.1)))
            .collect()
    }

    /// True where a claim is about one of these slots.
    pub(super) fn touches(&self, at: JointAt, (_, fields): &About, slots: &[usize]) -> bool {
        let mut all = fields.iter().filter_map(|field| self.dimension(at, *field));
        all.any(|(slot, _)| slots.contains(&slot))
    }

    /// A joint of the catalogue.
    pub fn joint(&self, at: JointAt) -> Option<&'a Joint> {
        self.catalog.joints(at.family).get(at.joint)
    }

    /// The slot that plays an end of a joint, where it is there.
    pub fn slot_of(&self, at: JointAt, end: usize) -> Option<usize> {
        let slot = self.joint(at)?.ends.get(end)?.as_ref()?.slot;
        self.bike.part(slot).map(|_| slot)
    }

    /// True where every part the joint needs is there.
    pub fn stands(&self, at: JointAt) -> bool {
        let Some((joint, family)) = self.joint(at).zip(FAMILIES.get(at.family)) else {
            return false;
        };
        joint.stands(family, |slot| self.bike.part(slot).is_some())
    }

    /// The reading of a dimension: what decides in the file, else what is inferred.
    pub fn reading(&self, slot: usize, dimension: usize) -> Option<&Reading> {
        let entry = self.bike.part(slot)?.entries.get(dimension);
        entry
            .and_then(|entry| entry.deciding())
            .or_else(|| self.inferred.get(&(slot, dimension)))
    }

    /// The readings of a joint.
    pub fn cells(&self, at: JointAt) -> Cells<'_> {
        let Some(family) = FAMILIES.get(at.family) else {
            return Cells::default();
        };
        let mut cells = Cells::of(family);
        let Some(joint) = self.joint(at) else {
            return cells;
        };
        let dimensions = joint.dimensions(self.catalog, family);
        for (number, (end, fields)) in joint.ends.iter().zip(dimensions).enumerate() {
            let there = end.as_ref().and_then(|end| {
                let part = self.bike.part(end.slot)?;
                Some((end, part))
            });
            let Some((end, part)) = there else { continue };
            cells.put(number);
            let cleared = || self.look(at, None).is_some_and(|look| look.holds);
            if part.doubted.contains(&end.end) && !cleared() {
                cells.doubt(number);
            }
            for (index, dimension) in fields.iter().enumerate() {
                let field = Field {
                    end: u8::try_from(number).unwrap_or(u8::MAX),
                    field: u8::try_from(index).unwrap_or(u8::MAX),
                };
                cells.set(
                    field,
                    dimension.and_then(|dimension| self.reading(end.slot, dimension)),
                );
            }
        }
        cells
    }

    /// What somebody saw who looked at a joint for the sake of a code.
    pub fn look(&self, at: JointAt, code: Option<u8>) -> Option<&Look> {
        self.bike.look(self.catalog, at, code)
    }

    /// True where a claim says that the parts of a joint cannot be joined.
    pub(super) fn fails(&self, at: JointAt, claim: &Claim) -> bool {
        let code = usize::from(claim.code);
        let code = self.catalog.book(at.family).codes.get(code);
        let ground = claim.ground.or_else(|| code.and_then(|code| code.ground));
        claim.holds == Holds::No && ground == Some(Ground::CannotJoin)
    }

    /// True where a claim that fails would be unsafe.
    pub(super) fn unsafe_where(&self, at: JointAt, claim: &Claim) -> bool {
        let code = self
            .catalog
            .book(at.family)
            .codes
            .get(usize::from(claim.code));
        let grounds = [claim.ground, code.and_then(|code| code.ground)];
        grounds.contains(&Some(Ground::Unsafe))
    }

    /// True where a part of the joint has a complaint against the end it presents there.
    pub fn complained(&self, at: JointAt) -> bool {
        !self.complaints(at).is_empty()
    }

    /// The complaints against a joint: slot, and number of the complaint of its kind.
    pub fn complaints(&self, at: JointAt) -> Vec<(usize, usize)> {
        self.bike.complaints(self.catalog, at)
    }
}
