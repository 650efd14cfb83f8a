//! Of several joints that do not fit: which one change would settle most of them? Each change is
//! made on a copy of the bike, and everything is judged again.

use super::check::{Check, Finding, Options, judged};
use super::remedy::Change;
use crate::bike::{Bike, Swap};
use crate::catalog::{Catalog, Part};
use crate::dim::{Cases, Entry, Origin, Reading};
use crate::verdict::Verdict;

/// What is done to one slot.
#[derive(Clone, Debug)]
pub enum Step {
    /// Another part goes there.
    Another(Change),
    /// What was there stays there.
    AsBefore(usize),
}

/// One change, and how many of the joints that do not fit then fit.
#[derive(Clone, Debug)]
pub struct Single {
    /// What is changed.
    pub step: Step,
    /// How many joints that did not fit then fit.
    pub settles: usize,
    /// Of how many.
    pub of: usize,
}

/// The change that settles most: another part for a slot, and a slot left as it was, each the best
/// of its sort. Nothing where fewer than two joints do not fit, and nothing that makes another
/// joint worse.
pub(super) fn singles(
    catalog: &Catalog,
    bike: &Bike,
    swap: &Swap,
    options: Options,
    check: &Check,
) -> Vec<Single> {
    let fails = |finding: &&Finding| finding.outcome == Verdict::DoesNotFit && !finding.standing;
    let failing: Vec<&Finding> = check.findings.iter().filter(fails).collect();
    if failing.len() < 2 {
        return Vec::new();
    }
    let settles = |swap: &Swap| {
        let after = judged(catalog, bike, Some(swap), options);
        let same = |a: &Finding, b: &Finding| title(catalog, a) == title(catalog, b);
        let all = || after.findings.iter().chain(&after.quiet);
        let worse = all().any(|found| {
            found.outcome == Verdict::DoesNotFit && !failing.iter().any(|was| same(was, found))
        });
        let settled = failing.iter().filter(|was| {
            let mut now = all().filter(|found| same(was, found));
            now.all(|found| found.outcome <= Verdict::FitsWith)
        });
        if worse { 0 } else { settled.count() }
    };
    let mut others: Vec<Single> = Vec::new();
    let mut kept: Vec<Single> = Vec::new();
    let mut slots: Vec<usize> = failing
        .iter()
        .flat_map(|finding| finding.remedies.changes.iter().map(|change| change.slot))
        .filter(|slot| !swap.keep.contains(slot))
        .collect();
    slots.sort_unstable();
    slots.dedup();
    for slot in slots {
        let Some((change, part)) = another(check, &failing, slot) else {
            continue;
        };
        let mut swap = swap.clone();
        swap.remove.retain(|removed| *removed != slot);
        swap.parts.retain(|(there, _)| *there != slot);
        swap.parts.push((slot, part));
        others.push(Single {
            step: Step::Another(change),
            settles: settles(&swap),
            of: failing.len(),
        });
    }
    let touched: Vec<usize> = swap.parts.iter().map(|(slot, _)| *slot).collect();
    for slot in touched.iter().filter(|_| touched.len() > 1) {
        if bike.part(*slot).is_none() {
            continue;
        }
        let mut swap = swap.clone();
        swap.parts.retain(|(there, _)| there != slot);
        kept.push(Single {
            step: Step::AsBefore(*slot),
            settles: settles(&swap),
            of: failing.len(),
        });
    }
    let best = |singles: Vec<Single>| -> Option<Single> {
        let most = singles.iter().map(|single| single.settles).max()?;
        let mut best = singles.into_iter().filter(|single| single.settles == most);
        best.next().filter(|_| most > 0)
    };
    best(others).into_iter().chain(best(kept)).collect()
}

/// Which joint it is, whichever part plays its ends.
fn title<'c>(catalog: &'c Catalog, finding: &Finding) -> Option<(usize, &'c str)> {
    let joint = catalog.joints(finding.at.family).get(finding.at.joint)?;
    Some((finding.at.family, &joint.title))
}

/// The part of a slot with everything changed that the failing joints ask of it, as far as they
/// agree.
fn another(check: &Check, failing: &[&Finding], slot: usize) -> Option<(Change, Part)> {
    let mut part = check.bike.part(slot)?.clone();
    let mut to: Vec<(usize, Cases)> = Vec::new();
    let changes = failing
        .iter()
        .flat_map(|finding| &finding.remedies.changes)
        .filter(|change| change.slot == slot);
    for (dimension, cases) in changes.flat_map(|change| &change.to) {
        match to.iter_mut().find(|(known, _)| known == dimension) {
            Some((_, known)) => {
                if let Some(both) = known.meet(cases) {
                    *known = both;
                }
            }
            None => to.push((*dimension, cases.clone())),
        }
    }
    for (dimension, cases) in &to {
        *part.entries.get_mut(*dimension)? = Entry {
            stated: Some(Reading {
                cases: cases.clone(),
                origin: Origin::Catalogue(u32::MAX),
            }),
            ..Entry::default()
        };
    }
    part.stock = None;
    let (title, ends) = (None, Vec::new());
    Some((
        Change {
            slot,
            title,
            to,
            ends,
        },
        part,
    ))
}
