//! What nothing judges: the ends of changed parts that no joint is there for.

use crate::bike::{Bike, Graph, JointAt};
use crate::catalog::{Catalog, End, Part};
use crate::joints::FAMILIES;
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
}

/// The ends of changed parts that no joint judges.
pub(super) fn unjudged(
    catalog: &Catalog,
    graph: &Graph,
    bike: &Bike,
    touched: &[usize],
) -> Vec<Unjudged> {
    let mut found = Vec::new();
    for slot in touched {
        let stands: Vec<JointAt> = graph.joints_of(*slot);
        found.extend(unjudged_ends(catalog, &stands, bike, *slot, touched));
    }
    // What decides nothing, its mate not being written down, comes last.
    found.sort_by_key(Unjudged::aside);
    found
}

/// The ends of one changed part that none of the joints that stand judges.
pub(super) fn unjudged_ends(
    catalog: &Catalog,
    stands: &[JointAt],
    bike: &Bike,
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
        }));
        for end in &catalog.body(part.kind).ends {
            let plays = |at: &JointAt| {
                let joint = catalog.joints(at.family).get(at.joint);
                joint.is_some_and(|joint| {
                    joint
                        .ends
                        .iter()
                        .flatten()
                        .any(|e| e.slot == *slot && e.end == end.name)
                })
            };
            if stands.iter().any(plays) || played_by_another(catalog, bike, *slot, &end.name) {
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
    let mut all = (0..FAMILIES.len()).flat_map(|family| catalog.joints(family));
    all.any(|joint| {
        let mut ends = joint.ends.iter().flatten();
        ends.any(|e| e.slot == slot && e.end == end)
            && joint.empty.iter().any(|slot| bike.part(*slot).is_some())
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
    for (family, definition) in FAMILIES.iter().enumerate() {
        for joint in catalog.joints(family) {
            if !joint
                .ends
                .iter()
                .flatten()
                .any(|e| e.slot == slot && e.end == end)
            {
                continue;
            }
            let missing = joint
                .ends
                .iter()
                .zip(definition.ends)
                .find_map(|(e, wanted)| {
                    let e = e.as_ref()?;
                    (!wanted.optional && bike.part(e.slot).is_none()).then_some(e.slot)
                });
            // What would only play in the place of another is not missed.
            let missing = missing.filter(|missing| !joint.filled.contains(missing));
            if missing.is_some() {
                return missing;
            }
        }
    }
    None
}
