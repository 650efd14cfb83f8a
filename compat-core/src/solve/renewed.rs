//! New parts that are of the same make, model and size as those that were fitted: what is written of the
//! one holds for the other, and what the one proved by standing. What is cut, set or worn does not.

use super::check::Before;
use super::known::Known;
use crate::bike::{Bike, JointAt};
use crate::catalog::Catalog;
use crate::dim::{Cases, Entry, Span};

/// The new parts that were said to be the same as those that were fitted.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Renewed {
    /// The slots where nothing speaks against it.
    pub same: Vec<usize>,
    /// The slots where it cannot be so, and the dimension in which the two differ; none where the bike
    /// has no such part.
    pub other: Vec<(usize, Option<usize>)>,
}

impl Renewed {
    /// True where what was told of the part that was fitted holds for the new one.
    pub fn holds(&self, catalog: &Catalog, after: &Bike, slot: usize, dimension: usize) -> bool {
        self.same.contains(&slot) && !of_the_piece(catalog, after, slot, dimension)
    }
}

/// True for a dimension that differs between two parts of one model.
pub(super) fn of_the_piece(catalog: &Catalog, bike: &Bike, slot: usize, dimension: usize) -> bool {
    let kind = bike.part(slot).map(|part| catalog.body(part.kind));
    kind.and_then(|kind| kind.dimensions.get(dimension))
        .is_none_or(|dimension| dimension.piece)
}

/// Gives the new parts that are the same as those that were fitted what is marked on those. What was
/// measured of a part that has been ridden is not handed on.
pub(super) fn renew(catalog: &Catalog, before: &Bike, after: &mut Bike) -> Renewed {
    let mut renewed = Renewed::default();
    for (slot, part) in after.parts.iter_mut().enumerate() {
        let Some(part) = part.as_mut().filter(|part| part.same_as_fitted) else {
            continue;
        };
        part.same_as_fitted = false;
        let Some(old) = before.part(slot) else {
            renewed.other.push((slot, None));
            continue;
        };
        let dimensions = &catalog.body(part.kind).dimensions;
        let both = part.entries.iter().zip(&old.entries).zip(dimensions);
        let differs = |((new, old), dimension): ((&Entry, &Entry), &_)| {
            let dimension: &crate::catalog::Dimension = dimension;
            !dimension.piece && !agree(new, old, dimension.slack())
        };
        if let Some(at) = both.clone().position(differs) {
            renewed.other.push((slot, Some(at)));
            continue;
        }
        let both = part.entries.iter_mut().zip(&old.entries).zip(dimensions);
        for ((new, old), _) in both.filter(|(_, dimension)| !dimension.piece) {
            if new.stated.is_none() {
                new.stated.clone_from(&old.stated);
                new.disagrees = false;
            }
        }
        part.name = part.name.take().or_else(|| old.name.clone());
        renewed.same.push(slot);
    }
    renewed
}

/// True where what is known of the one may be true of the other: its marking, or what was measured.
fn agree(new: &Entry, old: &Entry, slack: i64) -> bool {
    let near = |a: &Cases| match a {
        Cases::Numbers(spans) => {
            let wide = spans
                .iter()
                .map(|span| span.plus(Span::between(-slack, slack)));
            Cases::Numbers(wide.collect())
        }
        names => names.clone(),
    };
    let old = [&old.stated, &old.measured];
    let mut old = old.into_iter().flatten().peekable();
    let Some(new) = new.deciding() else {
        return true;
    };
    let wide = near(&new.cases);
    old.peek().is_none() || old.any(|old| wide.meet(&old.cases).is_some())
}

/// True where nothing but parts of the same make, model and size came into a joint, none of them at an
/// end that wears.
pub(super) fn stands_again(known: &Known<'_>, at: JointAt, before: Before<'_>) -> bool {
    let Some(joint) = known.joint(at) else {
        return false;
    };
    joint.ends.iter().flatten().all(|end| {
        let Some(part) = known.bike.part(end.slot) else {
            return !before.touched.contains(&end.slot);
        };
        let wears = || {
            let mut ends = known.catalog.body(part.kind).ends.iter();
            ends.any(|own| own.name == end.end && own.wears)
        };
        !before.touched.contains(&end.slot) || before.same.contains(&end.slot) && !wears()
    })
}

/// The dimensions, each with its slot, of which a new part says what the one that was fitted said.
pub(super) fn alike(before: &Bike, after: &Bike, touched: &[usize]) -> Vec<(usize, usize)> {
    let both = |slot: &usize| Some((*slot, before.part(*slot)?, after.part(*slot)?));
    let mut found = Vec::new();
    for (slot, old, new) in touched.iter().filter_map(both) {
        let pairs = old.entries.iter().zip(&new.entries).enumerate();
        let same = pairs.filter(|(_, (old, new))| {
            let said = [old, new].map(|entry| entry.deciding().map(|reading| &reading.cases));
            matches!(&said, [Some(old), Some(new)] if old == new && is_one(new))
        });
        found.extend(same.map(|(dimension, _)| (slot, dimension)));
    }
    found
}

/// True for one name or one figure: nothing more can be learnt of it.
pub(super) fn is_one(cases: &Cases) -> bool {
    match cases {
        Cases::Names(names) => names.len() == 1,
        Cases::Numbers(spans) => matches!(spans.as_slice(), [span] if span.is_exact()),
    }
}

/// True where a slot's end in a joint wears.
pub(super) fn wears(known: &Known<'_>, at: JointAt, slot: usize) -> bool {
    let ends = known.joint(at).map_or(&[][..], |joint| &joint.ends);
    let mut mine = ends.iter().flatten().filter(|end| end.slot == slot);
    mine.any(|end| {
        let kind = known
            .bike
            .part(slot)
            .map(|part| known.catalog.body(part.kind));
        let mut own = kind.iter().flat_map(|kind| &kind.ends);
        own.any(|own| own.name == end.end && own.wears)
    })
}
