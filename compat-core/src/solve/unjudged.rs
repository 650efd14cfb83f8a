//! What nothing judges: the ends of changed parts that no joint is there for.

use super::known::Known;
use crate::bike::{Bike, Graph, JointAt};
use crate::catalog::{Catalog, End, Joint, Part};
use crate::dim::Cases;
use crate::joints::{FAMILIES, Family};
use crate::text::Phrase;

/// An end of a part that was changed, and that nothing judges; or a complaint about it that no joint
/// hears of.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unjudged {
    /// The slot.
    pub slot: usize,
    /// The end, in words.
    pub end: String,
    /// The number of the complaint.
    pub complaint: Option<usize>,
    /// The slot its mate would be in, where the bike lists none; `None` where no rule exists.
    pub missing: Option<usize>,
    /// True where the part is not known to fit before this end was looked at.
    pub vital: bool,
    /// The dimension that changes what sits there, and whether the mate is the one that does: else it is
    /// any of several.
    pub changes: Option<(usize, bool)>,
}

/// The ends of changed parts that no joint judges. `same` are the slots whose new part is the same as
/// the one that was fitted.
pub(super) fn unjudged(
    before: &Known<'_>,
    graph: &Graph,
    bike: &Bike,
    touched: &[usize],
    same: &[usize],
) -> Vec<Unjudged> {
    let catalog = before.catalog;
    let mut found = Vec::new();
    for slot in touched {
        let stands: Vec<JointAt> = graph.joints_of(*slot);
        let before = Some(before).filter(|_| !same.contains(slot));
        found.extend(unjudged_ends(
            catalog,
            (before, bike),
            &stands,
            *slot,
            touched,
        ));
    }
    // What decides nothing, its mate not being written down, comes last.
    found.sort_by_key(Unjudged::aside);
    found
}

/// The ends of one changed part that none of the joints that stand judges.
/// What changes at them is told by the bike as it stood, where the part is another.
pub(super) fn unjudged_ends(
    catalog: &Catalog,
    (before, bike): (Option<&Known<'_>>, &Bike),
    stands: &[JointAt],
    slot: usize,
    touched: &[usize],
) -> Vec<Unjudged> {
    let mut found = Vec::new();
    let slot = &slot;
    if let Some(part) = bike.part(*slot) {
        // Where it would go in, it is not fit to be put there before that is mended.
        let against = part.complaints.iter().map(|(number, _)| *number);
        let against =
            against.filter(|number| unheard(catalog, (*slot, part.kind), *number, stands));
        found.extend(against.map(|number| Unjudged {
            slot: *slot,
            end: String::new(),
            complaint: Some(number),
            missing: None,
            vital: true,
            changes: None,
        }));
        for end in &catalog.body(part.kind).ends {
            let plays = |at: &JointAt| judges(catalog, bike, *at, (*slot, &end.name));
            let standing = stands.iter().any(plays);
            let dragged =
                before.map(|before| dragged((before, bike), *slot, end, standing, touched));
            let dragged = dragged.unwrap_or_default();
            if !dragged.is_empty() {
                found.extend(dragged);
                continue;
            }
            if standing || played_by_another(catalog, bike, *slot, &end.name) {
                continue;
            }
            let missing = missing_mate(catalog, bike, *slot, &end.name);
            // A front hub has no freehub body: what only matters elsewhere is not missed here.
            if missing.is_none() && judged_elsewhere(catalog, part.kind, *slot, &end.name) {
                continue;
            }
            // A mate that was taken off, or one of which neither part nor bike says a word, is not
            // missed where bikes do without it.
            // What also stands at an end that is always judged says nothing of this one.
            let firm = catalog
                .body(part.kind)
                .ends
                .iter()
                .filter(|other| !other.loose);
            let own: Vec<(Phrase, usize)> = (end.fields.iter())
                .filter(|(_, number)| !firm.clone().any(|other| has(other, *number)))
                .cloned()
                .collect();
            let said = |mate: usize| !touched.contains(&mate) && speaks(part, &own);
            let sure = missing.is_some() && laced(catalog, bike, *slot, &end.name, touched);
            if end.loose && !sure && missing.is_some_and(|mate| !said(mate)) {
                continue;
            }
            // Where the mate is not written down, the joint is there all the same.
            let vital = match missing {
                Some(_) => sure || !end.loose,
                None => end.vital,
            };
            found.push(Unjudged {
                slot: *slot,
                end: end.title.to_string(),
                complaint: None,
                missing,
                vital,
                changes: None,
            });
        }
    }
    found
}

/// True for a complaint about the part in a slot that no joint there hears of: it is against none of its
/// ends, but the part itself, or against ends whose mates are not written down.
pub(super) fn unheard(
    catalog: &Catalog,
    (slot, kind): (usize, usize),
    complaint: usize,
    stands: &[JointAt],
) -> bool {
    let Some(complaint) = catalog.body(kind).complaints.get(complaint) else {
        return false;
    };
    let mut joints = stands
        .iter()
        .filter_map(|at| catalog.joints(at.family).get(at.joint));
    !joints.any(|joint| {
        let mut mine = joint.ends.iter().flatten().filter(|end| end.slot == slot);
        mine.any(|end| complaint.ends.contains(&end.end))
    })
}

impl Unjudged {
    /// True where a mate is not written down that the bike may well do without.
    pub fn aside(&self) -> bool {
        self.missing.is_some() && !self.vital
    }
}

/// True where a dimension meets a mate at an end.
fn has(end: &End, dimension: usize) -> bool {
    end.fields.iter().any(|(_, number)| *number == dimension)
}

/// True where a joint at this end is there though a mate is not written down: the parts it joins are,
/// and one of them stays.
fn laced(catalog: &Catalog, bike: &Bike, slot: usize, end: &str, touched: &[usize]) -> bool {
    let mut all = (0..FAMILIES.len()).flat_map(|family| catalog.joints(family));
    all.any(|joint| {
        let joined = joint.together.iter();
        let joined: Vec<_> = joined
            .filter_map(|end| joint.ends.get(*end)?.as_ref())
            .collect();
        joined.iter().any(|e| e.slot == slot && e.end == end)
            && joined.iter().all(|e| bike.part(e.slot).is_some())
            && joined.iter().any(|e| !touched.contains(&e.slot))
    })
}

/// True where something is stated or measured of the dimensions that meet at an end.
fn speaks(part: &Part, fields: &[(Phrase, usize)]) -> bool {
    let entry = |(_, dimension): &(Phrase, usize)| part.entries.get(*dimension);
    let mut entries = fields.iter().filter_map(entry);
    entries.any(|entry| entry.stated.is_some() || entry.measured.is_some())
}

/// True where another part plays this end: rings of their own in the place of the crank's.
fn played_by_another(catalog: &Catalog, bike: &Bike, slot: usize, end: &str) -> bool {
    (0..FAMILIES.len()).any(|family| {
        let all = catalog.joints(family);
        all.iter().any(|joint| {
            let mut taken = joint
                .empty
                .iter()
                .filter(|slot| bike.part(**slot).is_some());
            let mut ends = joint.ends.iter();
            let own = ends.position(|own| {
                let own = own.as_ref();
                own.is_some_and(|own| own.slot == slot && own.end == end)
            });
            // What takes the place of another end of the joint takes none of this one.
            let plays = |other: &usize| {
                let mut ends = all
                    .iter()
                    .filter_map(|joint| joint.ends.get(own?)?.as_ref());
                ends.any(|end| end.slot == *other)
            };
            own.is_some() && taken.any(plays)
        })
    })
}

/// What sits at the ends of one changed part and is changed with them though nobody wrote it down.
pub(super) fn changed(
    (before, bike): (&Known<'_>, &Bike),
    stands: &[JointAt],
    slot: usize,
    touched: &[usize],
) -> Vec<Unjudged> {
    let catalog = before.catalog;
    let ends = bike
        .part(slot)
        .map_or(&[][..], |part| &catalog.body(part.kind).ends);
    let drags = ends.iter().filter(|end| end.drags.is_some());
    let found = drags.flat_map(|end| {
        let standing = stands
            .iter()
            .any(|at| judges(catalog, bike, *at, (slot, &end.name)));
        dragged((before, bike), slot, end, standing, touched)
    });
    found.collect()
}

/// True where a joint judges an end of the part in a slot.
fn judges(catalog: &Catalog, bike: &Bike, at: JointAt, (slot, end): (usize, &str)) -> bool {
    let joint = catalog.joints(at.family).get(at.joint);
    joint
        .zip(FAMILIES.get(at.family))
        .is_some_and(|(joint, family)| {
            let mut ends = joint.ends.iter().flatten();
            ends.any(|own| own.slot == slot && own.end == end)
                && !aside(catalog, bike, (joint, family), (slot, end))
        })
}

/// What sits at an end and is changed with it though nobody wrote it down: what another part of the bike
/// cannot do without, or what the old part, or a part that every bike has, was made to hold.
fn dragged(
    (before, bike): (&Known<'_>, &Bike),
    slot: usize,
    end: &End,
    standing: bool,
    touched: &[usize],
) -> Vec<Unjudged> {
    let catalog = before.catalog;
    let after = |number: usize| bike.part(slot)?.entries.get(number)?.deciding();
    let change = (end.drags.as_ref())
        .and_then(|drags| drags.change(|number| before.reading(slot, number), after));
    let Some(change) = change else {
        return Vec::new();
    };
    if played_by_another(catalog, bike, slot, &end.name) {
        return Vec::new();
    }
    // A joint is dragged along by what it reads.
    let reads = |joint: &Joint, family: &Family| {
        let own = joint.dimensions(catalog, family);
        let at = joint.ends.iter().zip(own).filter(|(at, _)| {
            let at = at.as_ref();
            at.is_some_and(|at| at.slot == slot && at.end == end.name)
        });
        let read: Vec<usize> = at
            .flat_map(|(_, own)| own.iter().flatten().copied())
            .collect();
        let mut changed = change.dimensions.iter();
        changed.find(|number| read.contains(number)).copied()
    };
    let mut mates: Vec<(usize, usize)> = joints_at(catalog, slot, &end.name)
        .filter_map(|(joint, family)| {
            let missing = missing_of(joint, family, bike)?;
            Some((missing, reads(joint, family)?))
        })
        .filter(|(mate, _)| !touched.contains(mate))
        .collect();
    mates.sort_unstable();
    mates.dedup_by_key(|(mate, _)| *mate);
    let always = (catalog.slots().get(slot)).is_some_and(|slot| slot.always);
    let mut one = true;
    let sure: Vec<(usize, usize)> = (mates.iter().copied())
        .filter(|(mate, _)| needed(before, *mate))
        .collect();
    if !sure.is_empty() || standing || !(change.sat || always) {
        mates = sure;
    } else {
        one = mates.len() == 1;
        mates.truncate(1);
    }
    let missed = mates.into_iter().map(|(mate, dimension)| Unjudged {
        slot,
        end: end.title.to_string(),
        complaint: None,
        missing: Some(mate),
        vital: true,
        changes: Some((dimension, one)),
    });
    missed.collect()
}

/// True where a part of the bike as it stood cannot do without a part in this slot: it has an end that is
/// always judged, and nothing else is there to meet it. A part that every bike has has ends for whatever
/// may be there.
fn needed(before: &Known<'_>, mate: usize) -> bool {
    let (catalog, bike) = (before.catalog, before.bike);
    let joints = (0..FAMILIES.len()).flat_map(|family| catalog.joints(family));
    let with = joints.filter(|joint| joint.ends.iter().flatten().any(|end| end.slot == mate));
    let mut ends = with.flat_map(|joint| joint.ends.iter().flatten());
    ends.any(|end| {
        let always = catalog.slots().get(end.slot).is_none_or(|slot| slot.always);
        let firm = bike.part(end.slot).is_some_and(|part| {
            let own = catalog.body(part.kind).end(&end.end);
            own.is_some_and(|own| !own.loose)
        });
        let met = || {
            let mut all = joints_at(catalog, end.slot, &end.end);
            all.any(|(joint, family)| joint.stands(family, |slot| bike.part(slot).is_some()))
        };
        end.slot != mate
            && firm
            && !always
            && missing_mate(catalog, bike, end.slot, &end.end) == Some(mate)
            && !met()
    })
}

/// True where some joint judges an end of this kind in another slot, and none in this.
fn judged_elsewhere(catalog: &Catalog, kind: usize, slot: usize, end: &str) -> bool {
    let same = |other: usize| {
        catalog
            .slots()
            .get(other)
            .is_some_and(|other| other.kind == kind)
    };
    (0..FAMILIES.len())
        .flat_map(|family| catalog.joints(family))
        .any(|joint| {
            let mut ends = joint.ends.iter().flatten();
            ends.any(|e| e.slot != slot && e.end == end && same(e.slot))
        })
}

/// The first slot without a part that keeps every joint of an end from standing.
fn missing_mate(catalog: &Catalog, bike: &Bike, slot: usize, end: &str) -> Option<usize> {
    let mut all = joints_at(catalog, slot, end);
    all.find_map(|(joint, family)| {
        let missing = missing_of(joint, family, bike);
        missing.filter(|_| !aside(catalog, bike, (joint, family), (slot, end)))
    })
}

/// True where a joint says too little of the part at an end for it to count as judged.
fn aside(
    catalog: &Catalog,
    bike: &Bike,
    (joint, family): (&Joint, &Family),
    end: (usize, &str),
) -> bool {
    joint.is_aside(catalog, family, end, |slot, number| {
        let entry = bike.part(slot).and_then(|part| part.entries.get(number));
        let Some(known) = entry.and_then(|entry| entry.deciding()) else {
            return false;
        };
        match &known.cases {
            Cases::Names(names) => !names.iter().any(|name| catalog.is_none(*name)),
            Cases::Numbers(_) => true,
        }
    })
}

/// The joints that an end of a slot plays in.
fn joints_at<'a>(
    catalog: &'a Catalog,
    slot: usize,
    end: &'a str,
) -> impl Iterator<Item = (&'a Joint, &'static Family)> + 'a {
    let all = FAMILIES.iter().enumerate().flat_map(|(number, family)| {
        let joints = catalog.joints(number).iter();
        joints.map(move |joint| (joint, family))
    });
    all.filter(move |(joint, _)| {
        let mut ends = joint.ends.iter().flatten();
        ends.any(|own| own.slot == slot && own.end == end)
    })
}

/// The first slot without a part that keeps a joint from standing.
fn missing_of(joint: &Joint, family: &Family, bike: &Bike) -> Option<usize> {
    let mut ends = joint.ends.iter().zip(family.ends);
    let missing = ends.find_map(|(end, wanted)| {
        let end = end.as_ref()?;
        (!wanted.optional && bike.part(end.slot).is_none()).then_some(end.slot)
    });
    // What would only play in the place of another is not missed.
    missing.filter(|missing| !joint.filled.contains(missing))
}
