//! Many choices for one place judged at once.
//!
//! Worn and cut parts that were each measured differ in a few numbers and nothing else. A joint that is
//! judged with a reading from the least of such a number to the most says of every part between them
//! what it says of the whole, where that is "fits" or "does not fit": knowing more turns neither into
//! anything else. So the parts are sorted into boxes, each cut in two until its halves agree, and only
//! those at the border are judged by themselves.

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

use smallvec::SmallVec;

use super::boxes::{Boxes, Member};
use super::build::{Built, Choice, Demand};
use super::shelf::{Class, Shelf};
use crate::bike::JointAt;
use crate::dim::{Cases, Reading, Span};
use crate::solve::judge::{Setting, quick, quick_or_never};
use crate::solve::known::Known;
use crate::verdict::{Field, Verdict};

/// What a rule leaves open with each sort of choice for one of its places, the others being what they
/// are: nothing where it was not judged yet.
#[derive(Debug)]
pub(super) struct Row {
    /// By sort.
    open: Vec<i64>,
    /// How many were judged by themselves and are forbidden.
    pub(super) missed: usize,
    /// True where they were judged together.
    pub(super) swept: bool,
    /// The least that one of them left open which was more than is wanted.
    pub(super) turned: i64,
}

impl Default for Row {
    fn default() -> Self {
        Row {
            open: Vec::new(),
            missed: 0,
            swept: false,
            turned: i64::MAX,
        }
    }
}

impl Row {
    /// How many a rule may turn down one by one before it is asked about all.
    pub(super) const PATIENCE: usize = 2;

    /// Stands where nothing was judged yet.
    const UNKNOWN: i64 = -1;
    /// Stands where the rule forbids it.
    const FORBIDDEN: i64 = i64::MAX;

    /// What is left open with a sort; nothing inside where the rule forbids it.
    pub(super) fn of(&self, sort: usize) -> Option<Option<i64>> {
        match self.open.get(sort).copied() {
            None | Some(Row::UNKNOWN) => None,
            Some(Row::FORBIDDEN) => Some(None),
            Some(open) => Some(Some(open)),
        }
    }

    pub(super) fn put(&mut self, sort: usize, open: Option<i64>) {
        if self.open.len() <= sort {
            self.open.resize(sort + 1, Row::UNKNOWN);
        }
        if let Some(known) = self.open.get_mut(sort) {
            *known = open.unwrap_or(Row::FORBIDDEN);
        }
    }
}

/// The sorts of one place that differ in numbers alone.
#[derive(Debug)]
struct Alike {
    /// A choice for one of them.
    choice: usize,
    /// The dimensions in which they differ, or could.
    numbers: Vec<usize>,
    boxes: RefCell<Boxes>,
}

/// What is known of the sorts of one place.
#[derive(Debug, Default)]
pub(super) struct Swept {
    alike: Option<Rc<[Alike]>>,
    /// The sorts somebody complains of.
    against: Option<Rc<[u32]>>,
    /// How many boxes were judged, and how many sorts they settled.
    judged: usize,
    settled: usize,
}

/// How far a sweep came.
pub(super) enum Reached {
    /// The first choice that the rule allows.
    Allowed(usize),
    /// A choice that must be judged by itself.
    Unsettled(usize),
    /// The end: none is allowed.
    End,
}

impl<'a> Built<'a> {
    /// Goes through the choices of a place from one on, the others being what they are, until the rule
    /// allows one or one must be judged by itself. What does not change from one to the next is
    /// prepared once.
    pub(super) fn sweep(
        &mut self,
        rule: usize,
        position: usize,
        choices: &mut [usize],
        (from, count): (usize, usize),
        row: &mut Row,
    ) -> Reached {
        let ready = self.ready(rule, position, choices, (from, count));
        let Some((at, slot, touched)) = ready else {
            return Reached::Unsettled(from);
        };
        let fields = Known::stated(self.catalog, &self.trial).fields_of(at, slot);
        let together = match row.swept || self.in_vain(rule, position) {
            true => None,
            false => Some(self.alike(rule, position, &fields)),
        };
        let against = match row.swept {
            true => Rc::new([]),
            false => self.against(rule, position),
        };
        row.swept = true;
        let inferred = self.inferred(&touched);
        let stood = self.stood(at);
        let known = Known {
            catalog: self.catalog,
            bike: &self.trial,
            inferred,
        };
        if known.complained(at) {
            return Reached::Unsettled(from);
        }
        let setting = Setting {
            strict: self.request.strict,
            brief: true,
        };
        let plainly = self.plainly(&known, at, &stood, (&touched, Some(slot)));
        let mut cells = known.cells(at);
        let open = |verdict: Verdict| {
            plainly
                .says(verdict)
                .map(|said| said.map(|weight| weight.open))
        };
        let (mut judged, mut settled) = (0_usize, 0_usize);
        // True where it is the same whether a joint is open or does not fit.
        let out = |verdict: Verdict| open(verdict) == Some(None);
        let never = out(Verdict::MeasureFirst) && out(Verdict::DoesNotFit);
        if plainly.bars_complaints() {
            for sort in against.iter() {
                row.put(*sort as usize, None);
            }
        }
        for alike in together.iter().flat_map(|alike| alike.iter()) {
            let Some(part) = self.taken(rule, position, alike.choice) else {
                continue;
            };
            let mut boxes = alike.boxes.borrow_mut();
            let mut stack: SmallVec<[usize; 16]> = SmallVec::new();
            stack.push(0);
            while let Some(number) = stack.pop() {
                judged += 1;
                let known = {
                    let whole = boxes.whole(number);
                    let mut cells = cells.shorter();
                    for (field, number) in &fields {
                        let free = alike.numbers.iter().position(|free| free == number);
                        let reading = match free {
                            Some(free) => whole.get(free),
                            None => self.reading(part, *number),
                        };
                        cells.set(*field, reading);
                    }
                    match quick_or_never(self.catalog, at.family, &cells, setting) {
                        (_, true) if never => Some(None),
                        // Where many are open some may be open for want of an exact number.
                        (Verdict::MeasureFirst, _) => None,
                        (verdict, _) => open(verdict),
                    }
                };
                match known {
                    None => stack.extend(boxes.halves(number).into_iter().flatten()),
                    Some(open) => {
                        for sort in boxes.sorts(number) {
                            if row.of(sort as usize).is_none() {
                                settled += 1;
                                row.put(sort as usize, open);
                            }
                        }
                    }
                }
            }
        }
        let seen = self
            .rules
            .get(rule)
            .and_then(|rule| rule.seen.get(position));
        let sorts = seen.map_or(&[][..], |seen| seen.of_choice.as_slice());
        let mut singles = 0;
        let mut reached = Reached::End;
        for choice in from..count {
            let Some(sort) = sorts.get(choice).copied().flatten() else {
                reached = Reached::Unsettled(choice);
                break;
            };
            let known = row.of(sort as usize).or_else(|| {
                let part = self.taken(rule, position, choice)?;
                for (field, number) in &fields {
                    cells.set(*field, self.reading(part, *number));
                }
                singles += 1;
                let verdict = quick(self.catalog, at.family, &cells, setting);
                let says = |number: usize, said: &Cases| {
                    let reading = self.reading(part, number);
                    reading.is_some_and(|reading| reading.cases == *said)
                };
                let said = plainly.says_of(verdict, says);
                let open = said.map(|said| said.map(|weight| weight.open));
                if let Some(open) = open {
                    row.put(sort as usize, open);
                }
                open
            });
            reached = match known {
                None => Reached::Unsettled(choice),
                Some(None) => continue,
                Some(Some(open)) if open > self.most_open => {
                    row.turned = row.turned.min(open);
                    continue;
                }
                Some(Some(_)) => Reached::Allowed(choice),
            };
            break;
        }
        self.judged += u64::try_from(judged + singles).unwrap_or(0);
        self.turned = self.turned.min(row.turned);
        let seen = self.rules.get_mut(rule).map(|rule| &mut rule.seen);
        if let Some(seen) = seen.and_then(|seen| seen.get_mut(position)) {
            seen.swept.judged += judged;
            seen.swept.settled += settled;
        }
        reached
    }

    /// Puts a joint on the trial bike with one of the parts that may go to a place. Says the joint,
    /// the slot of the place, and which slots of the joint are touched.
    fn ready(
        &mut self,
        rule: usize,
        position: usize,
        choices: &mut [usize],
        (from, count): (usize, usize),
    ) -> Option<(JointAt, usize, Vec<usize>)> {
        let known = self.rules.get(rule)?;
        let Demand::Joint(at) = known.demand else {
            return None;
        };
        let place = *known.places.get(position)?;
        let slot = self.places.get(place)?.slot;
        // What the trade calls a name here may be another in this slot: nothing is read off the shelf.
        if !self.catalog.slots().get(slot)?.means.is_empty() {
            return None;
        }
        let met = |built: &Self| Some(built.rules.get(rule)?.seen.get(position)?.met);
        if met(self) != Some(true) {
            for choice in 0..self.places.get(place)?.choices.len() {
                self.sight(rule, position, choice);
            }
            let seen = self.rules.get_mut(rule).map(|rule| &mut rule.seen);
            seen?.get_mut(position)?.met = true;
        }
        let sound = (from..count).find(|choice| self.taken(rule, position, *choice).is_some())?;
        *choices.get_mut(position)? = sound;
        let touched = self.on_trial(rule, at, choices)?;
        touched.contains(&slot).then_some((at, slot, touched))
    }

    /// The part that a choice takes off the shelf, where nobody complains of what a rule sees of it.
    pub(super) fn taken(
        &self,
        rule: usize,
        position: usize,
        choice: usize,
    ) -> Option<&'a Class<'a>> {
        let known = self.rules.get(rule)?;
        let (Demand::Joint(at), place) = (&known.demand, *known.places.get(position)?) else {
            return None;
        };
        let Choice::Take(class) = self.choice(place, choice) else {
            return None;
        };
        let slot = self.places.get(place)?.slot;
        let kind = self.catalog.slots().get(slot)?.kind;
        let shelf: &'a Shelf<'a> = self.shelf;
        let class = shelf.class(kind, class)?;
        if class.complaints.is_empty() {
            return Some(class);
        }
        let complaints = &self.catalog.body(kind).complaints;
        let mine = self.joint(*at)?.ends.iter().flatten();
        let mut mine = mine.filter(|end| end.slot == slot);
        let speaks = mine.any(|end| {
            let mut all = class.complaints.iter();
            all.any(|number| {
                let complaint = complaints.get(*number);
                complaint.is_none_or(|complaint| complaint.ends.contains(&end.end))
            })
        });
        (!speaks).then_some(class)
    }

    /// What decides a dimension of a part on the shelf.
    fn reading(&self, class: &Class<'a>, dimension: usize) -> Option<&'a Reading> {
        let shelf: &'a Shelf<'a> = self.shelf;
        shelf.value(class.value(dimension)?)
    }

    /// True where judging many at once has not paid.
    fn in_vain(&self, rule: usize, position: usize) -> bool {
        let known = self
            .rules
            .get(rule)
            .and_then(|rule| rule.seen.get(position));
        known
            .is_none_or(|seen| seen.swept.judged > 64 && seen.swept.settled < 2 * seen.swept.judged)
    }

    /// The sorts of parts for a place that somebody complains of.
    fn against(&mut self, rule: usize, position: usize) -> Rc<[u32]> {
        let seen = |built: &Self| {
            Some(
                built
                    .rules
                    .get(rule)?
                    .seen
                    .get(position)?
                    .swept
                    .against
                    .clone(),
            )
        };
        if let Some(Some(known)) = seen(self) {
            return known;
        }
        let place = self
            .rules
            .get(rule)
            .and_then(|rule| rule.places.get(position));
        let place = place.and_then(|place| Some((*place, self.places.get(*place)?.choices.len())));
        let (place, count) = place.unwrap_or_default();
        let mut against = BTreeSet::new();
        for choice in 0..count {
            if matches!(self.choice(place, choice), Choice::Take(_))
                && self.taken(rule, position, choice).is_none()
            {
                against.insert(self.sight(rule, position, choice));
            }
        }
        let against: Rc<[u32]> = against.into_iter().collect();
        let seen = self.rules.get_mut(rule).map(|rule| &mut rule.seen);
        if let Some(seen) = seen.and_then(|seen| seen.get_mut(position)) {
            seen.swept.against = Some(Rc::clone(&against));
        }
        against
    }

    /// The sorts of a place that differ in numbers alone, cut into boxes.
    fn alike(&mut self, rule: usize, position: usize, fields: &[(Field, usize)]) -> Rc<[Alike]> {
        let seen = |built: &Self| {
            let rule = built.rules.get(rule)?;
            Some((
                *rule.places.get(position)?,
                rule.seen.get(position)?.swept.alike.clone(),
            ))
        };
        let place = match seen(self) {
            Some((_, Some(alike))) => return alike,
            Some((place, None)) => place,
            None => return Rc::new([]),
        };
        let mut groups: BTreeMap<Shape, Vec<Member>> = BTreeMap::new();
        let mut numbers: Vec<usize> = fields.iter().map(|(_, number)| *number).collect();
        numbers.sort_unstable();
        numbers.dedup();
        let count = self
            .places
            .get(place)
            .map_or(0, |place| place.choices.len());
        let mut met: Vec<bool> = Vec::new();
        for choice in 0..count {
            let sort = self.sight(rule, position, choice);
            let index = sort as usize;
            if met.len() <= index {
                met.resize(index + 1, false);
            }
            let met = met.get_mut(index).map(|met| std::mem::replace(met, true));
            if let Some(part) = self
                .taken(rule, position, choice)
                .filter(|_| met == Some(false))
            {
                let (shape, spans) = self.shape(part, &numbers);
                groups.entry(shape).or_default().push((sort, choice, spans));
            }
        }
        let groups = groups.into_iter().filter(|(_, sorts)| sorts.len() > 2);
        let alike: Rc<[Alike]> = groups
            .map(|(shape, members)| {
                let choice = members.first().map_or(0, |(_, choice, _)| *choice);
                let free = numbers
                    .iter()
                    .zip(&shape)
                    .filter(|(_, cell)| cell.is_free());
                Alike {
                    choice,
                    numbers: free.map(|(number, _)| *number).collect(),
                    boxes: RefCell::new(Boxes::of(members)),
                }
            })
            .collect();
        let seen = self.rules.get_mut(rule).map(|rule| &mut rule.seen);
        if let Some(seen) = seen.and_then(|seen| seen.get_mut(position)) {
            seen.swept.alike = Some(Rc::clone(&alike));
        }
        alike
    }
}

impl<'a> Built<'a> {
    /// What a part says of some dimensions: what must be the same, and the numbers that may differ.
    fn shape(&self, class: &Class<'a>, numbers: &[usize]) -> (Shape, SmallVec<[Span; 4]>) {
        let mut spans = SmallVec::new();
        let cell = |number: &usize| match class.value(*number) {
            None => Cell::Unknown,
            Some(value) => match self.shelf.value(value).and_then(|there| there.cases.span()) {
                Some(span) => {
                    spans.push(span);
                    Cell::Free
                }
                None => Cell::Same(value),
            },
        };
        (numbers.iter().map(cell).collect(), spans)
    }
}

/// What a part says of a dimension, as far as it must be the same for all of a box.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Cell {
    Unknown,
    /// One number, which may be any.
    Free,
    /// Names, or several numbers, by the number of the value.
    Same(u32),
}

impl Cell {
    fn is_free(&self) -> bool {
        *self == Cell::Free
    }
}

type Shape = SmallVec<[Cell; 12]>;
