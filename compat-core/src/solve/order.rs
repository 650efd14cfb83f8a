//! What has to be ordered, equal parts counted: the new parts of a swap set, or, of a bike as it stands,
//! the parts that belong in the seats it lists.
//!
//! What a new part leaves unsaid, its seat says; each line is judged on the bike before it is told.

use super::check::{Check, Options, judged};
use super::known::Known;
use crate::bike::{Bike, Swap};
use crate::catalog::{Catalog, Part, PartReader, Slot};
use crate::dim::{Cases, Entry, Origin, Quantity, Reading};
use crate::joints::FAMILIES;
use crate::text::Place;
use crate::verdict::Verdict;

/// A line of an order: equal parts for several slots.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Order {
    /// The slots they are for.
    pub slots: Vec<usize>,
    /// What keeps them apart from others: dimension and reading, the one they are asked for by first.
    pub says: Vec<(usize, Cases)>,
    /// The names nobody knows that would keep them apart.
    pub missing: Vec<usize>,
    /// How such a part would sit in its slots.
    pub verdict: Verdict,
}

/// What is to be ordered for a swap set; without one, what the seats of the bike are made for.
pub fn orders(
    catalog: &Catalog,
    bike: &Bike,
    swap: Option<&Swap>,
    options: Options,
    check: &Check,
) -> Vec<Order> {
    let known = Known {
        catalog,
        bike: &check.bike,
        inferred: check.inferred.clone(),
    };
    let wanted: Vec<Wanted> = match swap {
        Some(swap) => {
            let bought = swap.parts.iter().filter(|(_, part)| part.stock.is_none());
            bought
                .filter_map(|(slot, part)| Wanted::of(&known, *slot, Some(part)))
                .collect()
        }
        None => {
            let slots = 0..catalog.slots().len();
            slots
                .filter_map(|slot| Wanted::of(&known, slot, None))
                .collect()
        }
    };
    if wanted.is_empty() {
        return Vec::new();
    }
    let mut set = swap.cloned().unwrap_or_default();
    for wanted in &wanted {
        set.parts.retain(|(slot, _)| *slot != wanted.slot);
        set.parts.push((wanted.slot, wanted.part.clone()));
    }
    let judged = judged(catalog, bike, Some(&set), options);
    let mut found: Vec<(usize, Order)> = Vec::new();
    for wanted in wanted {
        let kind = wanted.part.kind;
        let order = Order {
            verdict: wanted.verdict(&known, &judged),
            slots: vec![wanted.slot],
            says: wanted.says,
            missing: wanted.missing,
        };
        let same = |known: &&mut (usize, Order)| {
            (known.0, &known.1.says, known.1.verdict) == (kind, &order.says, order.verdict)
        };
        match found.iter_mut().find(same) {
            Some((_, known)) => known.slots.extend(order.slots),
            None => found.push((kind, order)),
        }
    }
    found.into_iter().map(|(_, order)| order).collect()
}

/// What belongs in one slot.
struct Wanted {
    slot: usize,
    part: Part,
    says: Vec<(usize, Cases)>,
    missing: Vec<usize>,
    asked: bool,
}

impl Wanted {
    /// What belongs in a slot: what the new part says, then its seat; without a new part the seat
    /// speaks first, then what sits there now. `None` where there is nothing to be ordered.
    fn of(known: &Known<'_>, slot: usize, new: Option<&Part>) -> Option<Wanted> {
        let definition = known.catalog.slots().get(slot)?;
        let seat = seat(known, definition);
        let own = new.is_some();
        if !own && seat.is_none() && known.bike.part(slot).is_none() {
            return None;
        }
        let body = known.catalog.body(definition.kind);
        let (first, _) = body.ordered.first()?;
        let here = |number: usize| match new {
            Some(part) => part.entries.get(number).and_then(Entry::deciding),
            None => known.reading(slot, number),
        };
        let there = |field: &str| {
            let (seat, _) = seat?;
            mate(known, slot, seat, field)
        };
        let mut says: Vec<(usize, Cases)> = Vec::new();
        let mut special = Vec::new();
        // A new part that gives its name has said what the name says, whatever its seat would like.
        let mut meant = Vec::new();
        if let Some(reading) = here(*first).filter(|_| own) {
            meant = implied(known.catalog, slot, &[(*first, reading.cases.clone())]);
        }
        for (number, field) in &body.ordered {
            let stated = match own {
                true => here(*number).or_else(|| there(field)),
                false => there(field).or_else(|| here(*number)),
            };
            let stands = meant.iter().find(|(known, _)| known == number);
            if let Some((_, cases)) = stands.filter(|_| here(*number).is_none()) {
                says.push((*number, cases.clone()));
            } else if let Some(reading) = stated {
                says.push((*number, reading.cases.clone()));
                if matches!(reading.origin, Origin::Stated(_)) {
                    special.push(*number);
                }
            }
        }
        let alone = seat.is_some_and(|(_, alone)| alone);
        if says.is_empty() && !own && !alone {
            return None;
        }
        let asked = says
            .first()
            .is_some_and(|(number, cases)| number == first && cases.len() == 1);
        if asked {
            // The name says the sizes: only one that is written down and differs is worth a word.
            let implied = implied(known.catalog, slot, &says);
            says.retain(|(number, cases)| {
                let usual = implied.iter().find(|(known, _)| known == number);
                let named = matches!(cases, Cases::Names(_));
                let other = usual.is_some_and(|(_, usual)| cases.meet(usual).is_none());
                named || (special.contains(number) && other)
            });
            // A seat that could say it and does not leaves open what belongs there, whatever a part
            // of that name usually is.
            let seat = seat.filter(|_| !own).map(|(seat, _)| seat);
            for (number, cases) in implied {
                let named = matches!(cases, Cases::Names(_));
                let said = says.iter().any(|(known, _)| *known == number);
                if named && !said && !seat.is_some_and(|seat| open(known, slot, seat, number)) {
                    says.push((number, cases));
                }
            }
        }
        let place = |number: &usize| body.ordered.iter().position(|(known, _)| known == number);
        says.sort_by_key(|(number, _)| place(number));
        let name = |number: &usize| {
            let dimension = body.dimensions.get(*number);
            dimension.is_some_and(|dimension| dimension.quantity == Quantity::Name)
        };
        let missing = body.ordered.iter().map(|(number, _)| *number);
        let missing =
            missing.filter(|number| name(number) && !says.iter().any(|(known, _)| known == number));
        let missing = missing.collect();
        let mut part = new.cloned().unwrap_or_else(|| {
            PartReader::new(known.catalog, definition.kind, Place::default()).part
        });
        for (number, cases) in &says {
            if let Some(entry) = part
                .entries
                .get_mut(*number)
                .filter(|entry| entry.is_unknown())
            {
                entry.stated = Some(Reading {
                    cases: cases.clone(),
                    origin: Origin::Stated(Place::default()),
                });
            }
        }
        Some(Wanted {
            slot,
            part,
            says,
            missing,
            asked,
        })
    }

    /// How it would sit there. One that nobody can ask for by its name is not known to fit.
    fn verdict(&self, known: &Known<'_>, judged: &Check) -> Verdict {
        let all = judged.findings.iter().chain(&judged.quiet);
        let here = all.filter(|finding| {
            let joint = known.joint(finding.at);
            joint.is_some_and(|joint| joint.ends.iter().flatten().any(|end| end.slot == self.slot))
        });
        let open = if self.asked {
            Verdict::Fits
        } else {
            Verdict::MeasureFirst
        };
        here.map(|finding| finding.outcome)
            .reduce(Verdict::and)
            .map_or(Verdict::MeasureFirst, |verdict| verdict.and(open))
    }
}

/// The slot a part sits in, where the bike has one, and whether it is there for nothing else.
fn seat(known: &Known<'_>, slot: &Slot) -> Option<(usize, bool)> {
    let name = slot.seat.as_deref().or(slot.goes_with.as_deref())?;
    let seat = known.catalog.slot_named(name)?;
    known.bike.part(seat)?;
    Some((seat, slot.seat.is_some()))
}

/// What the seat says under a field of its end, in whatever joint the two meet.
fn mate<'k>(known: &'k Known<'_>, slot: usize, seat: usize, field: &str) -> Option<&'k Reading> {
    let mut mates = mates(known, slot, seat, field).into_iter();
    mates.find_map(|number| known.reading(seat, number))
}

/// Whether the seat has a dimension for what a part is ordered by, and neither states it nor says it by
/// its names.
fn open(known: &Known<'_>, slot: usize, seat: usize, number: usize) -> bool {
    let Some(kind) = known.catalog.slots().get(slot).map(|slot| slot.kind) else {
        return false;
    };
    let ordered = &known.catalog.body(kind).ordered;
    let fields = ordered.iter().filter(|(known, _)| *known == number);
    let mates: Vec<usize> = fields
        .flat_map(|(_, field)| mates(known, slot, seat, field))
        .collect();
    if mates.is_empty() {
        return false;
    }
    let dimensions = known.catalog.slots().get(seat);
    let dimensions = dimensions.map_or(0, |seat| known.catalog.body(seat.kind).dimensions.len());
    let says: Vec<(usize, Cases)> = (0..dimensions)
        .filter_map(|number| Some((number, known.reading(seat, number)?.cases.clone())))
        .collect();
    let means = implied(known.catalog, seat, &says);
    let told = |number: &usize| {
        let mut means = means.iter().chain(&says);
        means.any(|(known, cases)| known == number && cases.len() == 1)
    };
    !mates.iter().any(told)
}

/// The dimensions of the seat that stand under a field of its end, in whatever joint the two meet.
fn mates(known: &Known<'_>, slot: usize, seat: usize, field: &str) -> Vec<usize> {
    let catalog = known.catalog;
    let mut found = Vec::new();
    for (family, definition) in FAMILIES.iter().enumerate() {
        for joint in catalog.joints(family) {
            if !joint.ends.iter().flatten().any(|end| end.slot == slot) {
                continue;
            }
            let dimensions = joint.dimensions(catalog, definition);
            let ends = joint.ends.iter().zip(dimensions).zip(definition.ends);
            for ((end, numbers), end_definition) in ends {
                if end.as_ref().is_none_or(|end| end.slot != seat) {
                    continue;
                }
                let fields = end_definition.fields.iter().zip(numbers);
                let wanted = fields.filter(|(definition, _)| definition.name == field);
                found.extend(wanted.filter_map(|(_, number)| *number));
            }
        }
    }
    found
}

/// What the pages say of a part in a slot by its names.
fn implied(catalog: &Catalog, slot: usize, says: &[(usize, Cases)]) -> Vec<(usize, Cases)> {
    let mut found: Vec<(usize, Cases)> = Vec::new();
    for (family, definition) in FAMILIES.iter().enumerate() {
        for joint in catalog.joints(family) {
            let ends = joint.ends.iter().enumerate();
            let mut mine = ends.filter(|(_, end)| end.as_ref().is_some_and(|end| end.slot == slot));
            let Some((number, _)) = mine.next() else {
                continue;
            };
            let dimensions = joint.dimensions(catalog, definition).get(number);
            let dimension = |field: u8| *dimensions?.get(usize::from(field))?;
            let rows = catalog.book(family).implied.iter();
            for row in rows.filter(|row| row.end == number) {
                let holds = row.when.iter().all(|(field, wanted)| {
                    let known = dimension(field.field)
                        .and_then(|number| says.iter().find(|(known, _)| *known == number));
                    known.is_some_and(|(_, cases)| cases.len() == 1 && wanted.meet(cases).is_some())
                });
                for (field, cases) in row.gives.iter().filter(|_| holds) {
                    let Some(number) = dimension(field.field) else {
                        continue;
                    };
                    match found.iter_mut().find(|(known, _)| *known == number) {
                        Some((_, known)) => known.join(cases),
                        None => found.push((number, cases.clone())),
                    }
                }
            }
        }
    }
    found
}
