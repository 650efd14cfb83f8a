//! Readings taken on the bench of parts that nobody has named yet: `bearing.bore=15.02`.

use super::Setting;
use crate::catalog::{Catalog, PartReader};
use crate::dim::{Cases, Origin};
use crate::text::{Fault, FaultKind, Faults, Place, it_has, nearest};

/// A reading of a part.
#[derive(Clone, Debug)]
pub struct Taken {
    /// The number of the part's kind.
    pub kind: usize,
    /// The number of the dimension, as the bench counts them.
    pub number: usize,
    /// What was read.
    pub cases: Cases,
    /// The standard error it was read with.
    pub error: i64,
    /// The tool, where one was named.
    pub tool: Option<String>,
    /// Where it is written.
    pub place: Place,
}

/// What stands before the tool a reading was taken with.
const BY: &str = " by ";
/// The tool whose error is stated for a whole call.
const CALLIPER: &str = "calliper";

/// Reads what was taken: `kind.dimension` and its value, or the dimension alone where the kind is said
/// once for all. `calliper` is the standard error of the calliper, where one is stated.
///
/// # Errors
///
/// Every fault of what was written, with its place.
pub fn taken(
    catalog: &Catalog,
    kind: Option<usize>,
    settings: &[Setting],
    calliper: Option<i64>,
    faults: &mut Faults,
) -> Vec<Taken> {
    let mut found = Vec::new();
    for setting in settings {
        let (named, name) = match setting.path.split_once('.') {
            Some((part, name)) => (kind_called(catalog, part, setting.at, faults), name),
            None if kind.is_some() => (kind, setting.path.as_str()),
            None => {
                let message = format!(
                    "`{}`: of which part? `bearing.bore=15.02`, or the kind of part first",
                    setting.path
                );
                let fault = Fault::new(setting.at, FaultKind::Missing, &setting.path, message);
                let near = part_with(catalog, &setting.path);
                faults.push(fault.near(near.as_deref()));
                continue;
            }
        };
        let Some(kind) = named else { continue };
        read(catalog, kind, name, setting, calliper, faults, &mut found);
    }
    found
}

/// A part with a dimension of that name.
fn part_with(catalog: &Catalog, name: &str) -> Option<String> {
    let mut kinds = (0..catalog.kinds().len()).filter_map(|kind| {
        catalog.bench_number(kind, name)?;
        Some(format!("{}.{name}", catalog.kind(kind)?.name))
    });
    kinds.next()
}

/// The kind a name or title means.
pub(super) fn kind_number(
    catalog: &Catalog,
    written: &str,
    place: Place,
    faults: &mut Faults,
) -> Option<usize> {
    let wanted = written.to_lowercase().replace([' ', '-'], "_");
    let found = catalog.kind_named(&wanted);
    if found.is_none() {
        let near = nearest(
            &wanted,
            catalog.kinds().iter().map(|kind| kind.name.as_str()),
        );
        let message = format!("`{written}` is no kind of part");
        faults.push(Fault::new(place, FaultKind::UnknownName, written, message).near(near));
    }
    found
}

/// The kind of part a name stands for: the kind's own, or that of a slot, with its number or without.
pub fn kind_called(
    catalog: &Catalog,
    name: &str,
    place: Place,
    faults: &mut Faults,
) -> Option<usize> {
    let bare = |slot: &str| {
        let end = slot.trim_end_matches(|c: char| c.is_ascii_digit());
        end.trim_end_matches('_') == name
    };
    let slot = || {
        let mut slots = catalog.slots().iter();
        let found = slots.find(|slot| slot.name == name || bare(&slot.name));
        found.map(|slot| slot.kind)
    };
    let found = catalog.kind_named(name).or_else(slot);
    if found.is_none() {
        let kinds = catalog.kinds().iter().map(|kind| kind.name.as_str());
        let slots = catalog.slots().iter().map(|slot| slot.name.as_str());
        let near = nearest(name, kinds.chain(slots));
        let message = format!("`{name}` is no kind of part");
        faults.push(Fault::new(place, FaultKind::UnknownName, name, message).near(near));
    }
    found
}

fn read(
    catalog: &Catalog,
    kind: usize,
    name: &str,
    setting: &Setting,
    calliper: Option<i64>,
    faults: &mut Faults,
    found: &mut Vec<Taken>,
) {
    let (text, tool) = match setting.value.rsplit_once(BY) {
        Some((text, tool)) => (text.trim(), Some(tool.trim())),
        None => (setting.value.as_str(), None),
    };
    if let Some(tool) = tool.filter(|tool| catalog.tool(tool).is_none()) {
        let names = catalog.tools().iter().map(|tool| tool.name.as_str());
        let known: Vec<&str> = names.clone().collect();
        let message = format!("`{tool}` is no tool known; known are: {}", known.join(", "));
        let fault = Fault::new(setting.value_at, FaultKind::UnknownName, tool, message);
        faults.push(fault.near(nearest(tool, names)));
        return;
    }
    let place = setting.value_at;
    let body = catalog.body(kind);
    let extra = body.dimension(name).is_none();
    let at = catalog.bench_number(kind, name).filter(|_| extra);
    let mut read = Vec::new();
    if let Some((at, dimension)) = at.and_then(|at| Some((at, catalog.bench_dimension(kind, at)?)))
    {
        let reader = PartReader::new(catalog, kind, place);
        let (stated, measured) = reader.said(dimension, text, place, faults);
        read.extend(measured.or(stated).map(|cases| (at, cases)));
    } else {
        if !body.shorthands.iter().any(|short| short.name == name) && body.dimension(name).is_none()
        {
            return unknown(catalog, kind, name, setting, faults);
        }
        let mut reader = PartReader::new(catalog, kind, place);
        reader.set(name, text, place, faults);
        let entries = reader.part.entries.into_iter().enumerate();
        read.extend(entries.filter_map(|(at, entry)| {
            let measured = entry.measured.or(entry.stated)?;
            matches!(measured.origin, Origin::Stated(_) | Origin::Measured(_))
                .then_some((at, measured.cases))
        }));
    }
    for (number, cases) in read {
        let Some(dimension) = catalog.bench_dimension(kind, number) else {
            continue;
        };
        if found
            .iter()
            .any(|taken| (taken.kind, taken.number) == (kind, number))
        {
            let message = format!("`{}` is said twice", dimension.name);
            faults.push(Fault::new(setting.at, FaultKind::Duplicate, text, message));
            continue;
        }
        let error = match tool {
            Some(tool) => {
                let stated = calliper.filter(|_| tool == CALLIPER);
                let known = catalog.tool(tool);
                let known = known.map(|tool| tool.error(dimension.quantity));
                stated.or(known).unwrap_or(0)
            }
            None => catalog.tool_error(dimension, calliper),
        };
        found.push(Taken {
            kind,
            number,
            cases,
            error,
            tool: tool.map(str::to_owned),
            place: setting.at,
        });
    }
}

fn unknown(catalog: &Catalog, kind: usize, name: &str, setting: &Setting, faults: &mut Faults) {
    let body = catalog.body(kind);
    let own = body.dimensions.iter().map(|one| one.name.as_str());
    let bench = &catalog.bench(kind).readings;
    let bench = bench.iter().map(|one| one.name.as_str());
    let short = body.shorthands.iter().map(|one| one.name.as_str());
    let near = nearest(name, own.chain(bench).chain(short));
    let message = format!("{} no `{name}`", it_has(&body.title));
    let fault = Fault::new(setting.at, FaultKind::UnknownName, name, message);
    faults.push(fault.near(near));
}
