//! An audit in words.

use std::borrow::Cow;
use std::rc::Rc;

use serde::Serialize;

use super::VERSION;
use super::words::Words;
use crate::bike::{Bike, Piece, Stock};
use crate::catalog::Catalog;
use crate::solve::{Audit, AuditPlace, Known};
use crate::text::{Files, clean_line, safe_line};
use crate::verdict::Verdict;

/// What every line of a stock comes to on a bike.
#[derive(Clone, Debug, Serialize)]
pub struct AuditReport<'s> {
    /// The version of this form.
    pub version: u32,
    /// The bike.
    pub bike: String,
    /// The lines, best first.
    pub lines: Vec<AuditLine<'s>>,
    /// What was passed over in the stock.
    pub warnings: Vec<String>,
}

/// A line of stock.
#[derive(Clone, Debug, Serialize)]
pub struct AuditLine<'s> {
    /// Its id.
    pub id: Cow<'s, str>,
    /// What it is called.
    pub name: Cow<'s, str>,
    /// Its kind.
    pub kind: &'s str,
    /// How many there are.
    pub quantity: u32,
    /// Where it lies.
    pub place: Cow<'s, str>,
    /// Its price, as written.
    pub price: Cow<'s, str>,
    /// The line of the file.
    pub line: u32,
    /// The number of its distinct part, for [`AuditReport`]'s readers to group by.
    pub same_as: u32,
    /// The slots it could go to, best first.
    pub slots: Rc<Vec<AuditSlot>>,
}

/// What a line comes to in a slot.
#[derive(Clone, Debug, Serialize)]
pub struct AuditSlot {
    /// The slot.
    pub slot: String,
    /// The verdict.
    pub verdict: &'static str,
    /// Why.
    pub reason: String,
    /// The code of the joint that decides.
    pub code: String,
    /// How many joints were judged.
    pub joints: usize,
}

impl<'s> AuditReport<'s> {
    /// Puts an audit into words.
    pub fn of(
        catalog: &'s Catalog,
        files: &Files,
        bike: &Bike,
        stock: &'s Stock,
        audit: &Audit,
    ) -> AuditReport<'s> {
        let mut with = bike.clone();
        let makes: Vec<_> = audit
            .makes
            .iter()
            .zip(stock.makes.parts())
            .map(|(places, part)| {
                let slots = places.iter().map(|place| {
                    let there = with.parts.get_mut(place.slot);
                    let before = there.and_then(|there| there.replace(part.clone()));
                    let said = slot(catalog, files, bike, &with, place);
                    if let Some(there) = with.parts.get_mut(place.slot) {
                        *there = before;
                    }
                    said
                });
                Rc::new(slots.collect::<Vec<_>>())
            })
            .collect();
        let plain = stock.is_plain();
        let safe = |piece: Piece| match stock.text(piece) {
            text if plain => Cow::Borrowed(text),
            text => safe_line(text),
        };
        let lines = audit.order.iter().filter_map(|index| {
            let line = stock.lines.get(*index)?;
            let kind = stock.makes.kind(line.make as usize)?;
            Some(AuditLine {
                id: safe(line.id),
                name: safe(line.name),
                kind: catalog.kind(kind).map_or("", |kind| kind.name.as_str()),
                quantity: line.quantity,
                place: safe(line.place),
                price: safe(line.price),
                line: line.line,
                same_as: line.make,
                slots: Rc::clone(makes.get(line.make as usize)?),
            })
        });
        AuditReport {
            version: VERSION,
            bike: clean_line(&bike.title),
            lines: lines.collect(),
            warnings: stock
                .warnings
                .iter()
                .map(|warning| warning.show(files))
                .collect(),
        }
    }
}

impl AuditReport<'_> {
    /// Keeps only what could go to a slot, and leaves out what does not fit where that is wanted.
    pub fn keep(&mut self, slot: Option<&str>, usable: bool) {
        let wanted = |place: &AuditSlot| {
            slot.is_none_or(|slot| place.slot == slot)
                && !(usable && place.verdict == Verdict::DoesNotFit.words())
        };
        for line in &mut self.lines {
            if !line.slots.iter().all(wanted) {
                let kept: Vec<AuditSlot> = line
                    .slots
                    .iter()
                    .filter(|place| wanted(place))
                    .cloned()
                    .collect();
                line.slots = Rc::new(kept);
            }
        }
        if slot.is_some() || usable {
            self.lines.retain(|line| !line.slots.is_empty());
        }
    }
}

fn slot(
    catalog: &Catalog,
    files: &Files,
    before: &Bike,
    with: &Bike,
    place: &AuditPlace,
) -> AuditSlot {
    let name = catalog
        .slots()
        .get(place.slot)
        .map(|slot| slot.name.to_string())
        .unwrap_or_default();
    let known = Known {
        catalog,
        bike: with,
        inferred: Rc::clone(&place.inferred),
    };
    let words = Words {
        catalog,
        files,
        known: &known,
        inferences: &[],
        before,
        touched: &[place.slot],
        keep: &[],
        brief: true,
    };
    let deciding = place.findings.first().map(|finding| words.head(finding));
    let joints = place.findings.len();
    let worst = place.findings.first().map(|finding| finding.outcome);
    let itself = place
        .complaint
        .filter(|_| worst != Some(Verdict::DoesNotFit));
    let itself = itself.map(|complaint| words.against_itself(place.slot, complaint));
    // What no joint judges is spoken of where all that are judged fit.
    let fits = worst.is_some_and(|worst| worst <= Verdict::FitsWith);
    let waits = place.waits.as_ref().filter(|_| fits);
    let waits = waits.map(|end| words.not_judged(end, with));
    let (reason, code) = match (&deciding, place.verdict) {
        _ if waits.is_some() && itself.is_none() => (waits.unwrap_or_default(), String::new()),
        _ if itself.is_some() => (itself.unwrap_or_default(), String::new()),
        (None, _) => (
            "no rule here judges it on this bike".to_owned(),
            String::new(),
        ),
        (Some(text), Verdict::Fits) if joints > 1 => (
            format!(
                "{} and {} more",
                text.headline,
                crate::explain::count(joints - 1, "joint", "joints")
            ),
            text.code.clone(),
        ),
        (Some(text), _) => (
            format!("{}: {}", text.joint, text.headline),
            text.code.clone(),
        ),
    };
    let mut with: Vec<String> = Vec::new();
    for finding in place
        .findings
        .iter()
        .skip(1)
        .filter(|finding| finding.outcome == Verdict::FitsWith)
    {
        let text = words.head(finding);
        with.extend(text.adaptors.into_iter().chain(text.needs));
    }
    let reason = match with.as_slice() {
        [] => reason,
        _ => format!("{reason}; also needs {}", crate::explain::list(&with)),
    };
    AuditSlot {
        slot: name,
        verdict: place.verdict.words(),
        reason,
        code,
        joints,
    }
}
