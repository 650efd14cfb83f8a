//! The problem a plan solves, made of a bike, its wishes and the parts that can be put on; and the
//! judge of its rules, who asks the very same families as a check does.
//!
//! A place is a slot that may change: it keeps what it has, takes a part of a class, or is emptied
//! where a bike can do without. A rule is a joint, an end nothing judges, a wish, or what was said
//! of a slot. A joint is judged on the dimensions it reads and nothing else, so parts that are alike
//! in those are judged once.

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

use foldhash::{HashMap, HashMapExt};
use smallvec::SmallVec;

use super::lack::Lack;
use super::problem::Problem;
use super::shelf::{Shelf, Unit};
use super::sweep::{Row, Swept};
use super::weight::Weight;
use crate::bike::{Bike, Graph, JointAt, Swap, Wish, Wishes};
use crate::catalog::{Catalog, Joint, Labour, Part};
use crate::dim::Reading;
use crate::joints::FAMILIES;
use crate::solve::infer::infer;
use crate::solve::judge::About;
use crate::solve::known::Known;
use crate::solve::remedy::Insert;

/// What can be done with a slot.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Choice {
    /// It stays as it is.
    AsItIs,
    /// A part of a class of its kind goes there.
    Take(usize),
    /// It is emptied.
    Empty,
}

/// A slot that may change.
#[derive(Clone, Debug)]
pub struct Place {
    /// The slot.
    pub slot: usize,
    /// What can be done, the lightest first.
    pub choices: Vec<Choice>,
}

/// What must hold.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Demand {
    /// A joint must fit, with or without something.
    Joint(JointAt),
    /// No end of a new part may be left unjudged that decides.
    Ends(usize),
    /// The part in a slot is what was wished.
    Wish(Wish),
    /// A slot stays as it is.
    Keep(usize),
    /// A slot gets another part.
    Change(usize),
    /// A slot is emptied.
    Remove(usize),
    /// What hangs on a part leaves the bike with it: the slot, and the part it hangs on.
    Carried(usize, usize),
    /// There are only so many of a part: the kind.
    Enough(usize),
    /// There are only so many of an adaptor: the family whose joints share them.
    Shared(usize),
    /// This very combination is not wanted: places and choices.
    Not(Vec<(usize, usize)>),
}

/// A demand, and what was made of it so far.
#[derive(Debug)]
pub(super) struct Rule {
    pub(super) demand: Demand,
    pub(super) places: Vec<usize>,
    /// For each of its places, the number of each choice as the demand sees it.
    pub(super) seen: Vec<Seen>,
    pub(super) memo: HashMap<SmallVec<[u32; 6]>, Option<Weight>>,
    /// For each sort of choices for every place but one, how much each sort for that one leaves open;
    /// nothing where it is forbidden.
    pub(super) rows: Vec<Row>,
    pub(super) numbers: HashMap<SmallVec<[u32; 6]>, usize>,
}

impl Rule {
    /// The number of a row.
    pub(super) fn row(&mut self, key: SmallVec<[u32; 6]>) -> usize {
        let next = self.rows.len();
        let number = *self.numbers.entry(key).or_insert(next);
        if number == next {
            self.rows.push(Row::default());
        }
        number
    }
}

/// The choices of a place as a demand sees them: those it cannot tell apart have one number.
#[derive(Debug, Default)]
pub(super) struct Seen {
    /// By choice; nothing before one was looked at.
    pub(super) of_choice: Vec<Option<u32>>,
    pub(super) alike: HashMap<Sight, u32>,
    /// True where every choice has its number.
    pub(super) met: bool,
    /// Those that differ in numbers alone, to be judged together.
    pub(super) swept: Swept,
}

/// What a demand sees of a choice.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub(super) enum Sight {
    AsItIs,
    Empty,
    /// The numbers of the values that count, `u32::MAX` where nothing is known, and those of what else
    /// does.
    Part(SmallVec<[u32; 8]>, SmallVec<[usize; 4]>),
    Class(usize),
}

/// What a plan is asked for.
#[derive(Clone, Copy, Debug)]
pub struct Request<'a> {
    /// The bike.
    pub bike: &'a Bike,
    /// What is wished.
    pub wishes: &'a Wishes,
    /// What the work costs.
    pub labour: &'a Labour,
    /// Figures from memory count as unknown.
    pub strict: bool,
    /// Joints that must be measured first are let through, and counted.
    pub unmeasured: bool,
    /// Wishes, and what was said of the slots, may give way, and are counted.
    pub soft: bool,
}

/// What the bike told of the parts that stay.
pub(super) type Inferred = Rc<BTreeMap<(usize, usize), Reading>>;

/// The problem, and its judge.
pub struct Built<'a> {
    /// The catalogue.
    pub catalog: &'a Catalog,
    /// What is asked.
    pub request: Request<'a>,
    /// What can be put on.
    pub shelf: &'a Shelf<'a>,
    /// The slots that may change.
    pub places: Vec<Place>,
    /// As the search sees it.
    pub problem: Problem,
    pub(super) rules: Vec<Rule>,
    pub(super) place_of: Vec<Option<usize>>,
    pub(super) told: Known<'a>,
    pub(super) stood: RefCell<BTreeMap<JointAt, Rc<[About]>>>,
    pub(super) open: RefCell<BTreeMap<JointAt, Rc<[About]>>>,
    pub(super) inferred: HashMap<Vec<usize>, Inferred>,
    pub(super) joints_of: Vec<Vec<JointAt>>,
    /// For each family that knows adaptors, the rules of its joints.
    pub(super) adapted: BTreeMap<usize, Vec<usize>>,
    /// The adaptors that a joint needs, by its rule and what that sees of its places.
    pub(super) needed: HashMap<(usize, SmallVec<[u32; 6]>), Vec<Insert>>,
    /// The parts that a joint lacks, by the same.
    pub(super) lacking: HashMap<(usize, SmallVec<[u32; 6]>), Vec<Lack>>,
    /// The bike with the choices of the joint that is judged.
    pub(super) trial: Bike,
    pub(super) there: Vec<Option<Choice>>,
    /// Parts that were on the trial bike, by slot and class, to be put on again.
    pub(super) parked: HashMap<(usize, usize), Part>,
    /// How often a joint was judged.
    pub judged: u64,
    /// The most that one rule may leave open.
    pub most_open: i64,
    /// The least that a rule left open which was more than that.
    pub turned: i64,
}

impl std::fmt::Debug for Built<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Built")
            .field("places", &self.places)
            .finish_non_exhaustive()
    }
}

impl<'a> Built<'a> {
    /// Makes the problem.
    pub fn new(catalog: &'a Catalog, request: Request<'a>, shelf: &'a Shelf<'a>) -> Built<'a> {
        let graph = Graph::of(catalog, request.bike);
        let told = infer(catalog, request.bike, &graph, request.strict).known;
        let slots = catalog.slots().len();
        let mut built = Built {
            catalog,
            request,
            shelf,
            places: Vec::new(),
            problem: Problem {
                budget: request.wishes.budget,
                ..Problem::default()
            },
            rules: Vec::new(),
            place_of: vec![None; slots],
            told,
            stood: RefCell::default(),
            open: RefCell::default(),
            inferred: HashMap::new(),
            joints_of: vec![Vec::new(); slots],
            adapted: BTreeMap::new(),
            needed: HashMap::new(),
            lacking: HashMap::new(),
            trial: request.bike.clone(),
            there: vec![None; slots],
            parked: HashMap::new(),
            judged: 0,
            most_open: i64::MAX,
            turned: i64::MAX,
        };
        built.make_places();
        built.make_rules();
        built
    }

    fn make_places(&mut self) {
        for (slot, definition) in self.catalog.slots().iter().enumerate() {
            if definition.fixed || definition.no_part {
                continue;
            }
            let labour = self.request.labour.cost(slot);
            let there = self.request.bike.part(slot).is_some();
            let classes = self.shelf.classes.get(definition.kind);
            let mut choices: Vec<(Weight, Choice)> = vec![(Weight::NOTHING, Choice::AsItIs)];
            for (class, of_kind) in classes.into_iter().flatten().enumerate() {
                let price = of_kind.units.first().map_or(0, |unit| unit.price);
                let weight = Weight {
                    money: price.saturating_add(labour),
                    changes: 1,
                    ..Weight::NOTHING
                };
                choices.push((weight, Choice::Take(class)));
            }
            let wishes = self.request.wishes;
            let told = wishes.remove.contains(&slot) || wishes.may_go.contains(&slot);
            if there && definition.goes_with.is_some() {
                choices.push((Weight::NOTHING, Choice::Empty));
            } else if there && (definition.optional || told) {
                let weight = Weight {
                    money: labour,
                    changes: 1,
                    ..Weight::NOTHING
                };
                choices.push((weight, Choice::Empty));
            }
            if choices.len() < 2 {
                continue;
            }
            let id = |choice: &Choice| match choice {
                Choice::Take(class) => self
                    .shelf
                    .class(definition.kind, *class)
                    .and_then(|class| class.units.first())
                    .map(|unit| self.shelf.id(unit)),
                _ => None,
            };
            let rank = |choice: &Choice| match choice {
                Choice::AsItIs => 0,
                Choice::Take(_) => 1,
                Choice::Empty => 2,
            };
            // What they leave open is not known yet.
            choices.sort_by(|(weight, a), (other, b)| {
                let money = weight.money.cmp(&other.money);
                let changes = || weight.changes.cmp(&other.changes);
                let by_rank = || rank(a).cmp(&rank(b));
                let apart = money.then_with(changes).then_with(by_rank);
                apart.then_with(|| id(a).cmp(&id(b)))
            });
            for (order, (weight, _)) in choices.iter_mut().enumerate() {
                weight.order = i64::try_from(order).unwrap_or(i64::MAX);
            }
            if let Some(place) = self.place_of.get_mut(slot) {
                *place = Some(self.places.len());
            }
            let (weights, choices) = choices.into_iter().unzip();
            Rc::make_mut(&mut self.problem.places).push(weights);
            self.places.push(Place { slot, choices });
        }
    }

    pub(super) fn place_of(&self, slot: usize) -> Option<usize> {
        self.place_of.get(slot).copied().flatten()
    }

    fn make_rules(&mut self) {
        for (family, definition) in FAMILIES.iter().enumerate() {
            for (number, joint) in self.catalog.joints(family).iter().enumerate() {
                let can = |slot: usize| self.place_of(slot).is_some();
                let bike = self.request.bike;
                let may = |slot: usize| bike.part(slot).is_some() || can(slot);
                let mut needed = joint
                    .ends
                    .iter()
                    .zip(definition.ends)
                    .filter(|(_, wanted)| !wanted.optional);
                let filled = needed.all(|(end, _)| end.as_ref().is_some_and(|end| may(end.slot)))
                    && joint.filled.iter().all(|slot| may(*slot));
                let taken = |slot: &usize| bike.part(*slot).is_some() && !can(*slot);
                if !filled || joint.empty.iter().any(taken) {
                    continue;
                }
                let at = JointAt {
                    family,
                    joint: number,
                };
                for end in joint.ends.iter().flatten() {
                    if let Some(joints) = self.joints_of.get_mut(end.slot)
                        && !joints.contains(&at)
                    {
                        joints.push(at);
                    }
                }
                let slots: Vec<usize> = joint.hangs_on().collect();
                let rule = self.demand(Demand::Joint(at), &slots);
                if self.counted(family) {
                    self.adapted.entry(family).or_default().push(rule);
                }
            }
        }
        let shared = self.adapted.clone();
        for (family, rules) in shared {
            let own = self.places_of_adaptors(family);
            if rules.len() < 2 && own.is_empty() {
                continue;
            }
            let of = rules.iter().filter_map(|rule| self.rules.get(*rule));
            let mut places: Vec<usize> = of.flat_map(|rule| rule.places.clone()).collect();
            places.extend(own);
            places.sort_unstable();
            places.dedup();
            self.add(Demand::Shared(family), places);
        }
        for place in 0..self.places.len() {
            let Some(slot) = self.places.get(place).map(|place| place.slot) else {
                continue;
            };
            let joints = self.joints_of.get(slot).cloned().unwrap_or_default();
            // Whether its ends are judged hangs on which mates are there, not on what they are.
            let mut slots: Vec<usize> = joints
                .iter()
                .flat_map(|at| self.joint(*at).into_iter().flat_map(Joint::hangs_on))
                .filter(|mate| self.comes_and_goes(*mate))
                .collect();
            slots.push(slot);
            slots.extend(self.laced_with(slot));
            slots.extend(self.asked_beside(slot));
            self.demand(Demand::Ends(slot), &slots);
            let carrier = self
                .catalog
                .slots()
                .get(slot)
                .and_then(|slot| slot.goes_with.as_deref());
            if let Some(carrier) = carrier.and_then(|name| self.catalog.slot_named(name))
                && self.request.bike.part(slot).is_some()
            {
                self.demand(Demand::Carried(slot, carrier), &[slot, carrier]);
            }
        }
        let wishes = self.request.wishes;
        for wish in &wishes.wishes {
            self.demand(Demand::Wish(wish.clone()), &[wish.slot]);
        }
        for slot in &wishes.keep {
            self.demand(Demand::Keep(*slot), &[*slot]);
        }
        for slot in &wishes.change {
            self.demand(Demand::Change(*slot), &[*slot]);
        }
        for slot in &wishes.remove {
            self.demand(Demand::Remove(*slot), &[*slot]);
        }
        for kind in 0..self.catalog.kinds().len() {
            let places = self.places.iter();
            let slots = places.map(|place| place.slot).filter(|slot| {
                let slot = self.catalog.slots().get(*slot);
                slot.is_some_and(|slot| slot.kind == kind)
            });
            let slots: Vec<usize> = slots.collect();
            if slots.len() > 1
                && self
                    .shelf
                    .classes
                    .get(kind)
                    .is_some_and(|all| !all.is_empty())
            {
                self.demand(Demand::Enough(kind), &slots);
            }
        }
    }

    /// True where there are adaptors for a family, and only so many.
    fn counted(&self, family: usize) -> bool {
        let adaptors = &self.catalog.book(family).adaptors;
        let few = |kind: usize| {
            let classes = self.shelf.classes.get(kind).into_iter().flatten();
            let mut units = classes.flat_map(|class| &class.units);
            units.any(|unit| unit.count.is_some())
        };
        adaptors.iter().any(|adaptor| few(adaptor.part.kind))
    }

    /// The places that take from the same lines as the adaptors of a family.
    pub(super) fn places_of_adaptors(&self, family: usize) -> Vec<usize> {
        let adaptors = &self.catalog.book(family).adaptors;
        let places = self.places.iter().enumerate();
        let own = places.filter(|(_, place)| {
            let slot = self.catalog.slots().get(place.slot);
            slot.is_some_and(|slot| adaptors.iter().any(|one| one.part.kind == slot.kind))
        });
        own.map(|(number, _)| number).collect()
    }

    /// True where a slot has a part in some plans and none in others.
    fn comes_and_goes(&self, slot: usize) -> bool {
        let place = self.place_of(slot).and_then(|place| self.places.get(place));
        let bare = self.request.bike.part(slot).is_none();
        place.is_some_and(|place| bare || place.choices.contains(&Choice::Empty))
    }

    /// Adds a demand over some slots; those that cannot change are the same in every plan.
    pub fn demand(&mut self, demand: Demand, slots: &[usize]) -> usize {
        let mut places: Vec<usize> = slots
            .iter()
            .filter_map(|slot| self.place_of(*slot))
            .collect();
        places.sort_unstable();
        places.dedup();
        self.add(demand, places)
    }

    /// Adds a demand over some places.
    pub fn add(&mut self, demand: Demand, places: Vec<usize>) -> usize {
        let seen = places.iter().map(|_| Seen::default()).collect();
        self.problem.rules.push(places.clone());
        self.rules.push(Rule {
            demand,
            places,
            seen,
            memo: HashMap::new(),
            rows: Vec::new(),
            numbers: HashMap::new(),
        });
        self.rules.len() - 1
    }

    /// Takes away the demands that were added last.
    pub fn drop_to(&mut self, count: usize) {
        self.rules.truncate(count);
        self.problem.rules.truncate(count);
    }

    /// How many demands there are.
    pub fn count(&self) -> usize {
        self.rules.len()
    }

    /// A demand by number.
    pub fn demand_at(&self, rule: usize) -> Option<&Demand> {
        self.rules.get(rule).map(|rule| &rule.demand)
    }

    /// A joint of the catalogue.
    pub fn joint(&self, at: JointAt) -> Option<&'a Joint> {
        self.catalog.joints(at.family).get(at.joint)
    }

    /// What can be done with a place.
    pub fn choice(&self, place: usize, choice: usize) -> Choice {
        let of = self
            .places
            .get(place)
            .and_then(|place| place.choices.get(choice));
        of.copied().unwrap_or(Choice::AsItIs)
    }

    /// The swap set that a plan comes to.
    pub fn swap(&self, plan: &[usize]) -> Swap {
        let mut swap = Swap {
            title: self.request.wishes.title.clone(),
            keep: self.request.wishes.keep.clone(),
            looks: self.request.wishes.looks.clone(),
            ..Swap::default()
        };
        for (place, unit) in self.units(plan) {
            let Some(slot) = self.places.get(place).map(|place| place.slot) else {
                continue;
            };
            if let Some(mut part) = self.shelf.part(&unit) {
                self.catalog.meant_in(slot, &mut part);
                swap.parts.push((slot, part));
            }
        }
        swap.hang(self.catalog);
        for (place, choice) in plan.iter().enumerate() {
            if self.choice(place, *choice) == Choice::Empty
                && let Some(place) = self.places.get(place)
            {
                swap.remove.push(place.slot);
            }
        }
        swap
    }

    /// The line each new part is taken from, by place.
    pub fn units(&self, plan: &[usize]) -> Vec<(usize, Unit)> {
        self.units_of(plan.iter().copied().enumerate())
    }

    /// The same for some places and their choices.
    pub(super) fn units_of(
        &self,
        chosen: impl Iterator<Item = (usize, usize)>,
    ) -> Vec<(usize, Unit)> {
        let mut found = Vec::new();
        let mut used: BTreeMap<(usize, usize), usize> = BTreeMap::new();
        for (place, choice) in chosen {
            let Choice::Take(class) = self.choice(place, choice) else {
                continue;
            };
            let slot = self
                .places
                .get(place)
                .map_or(usize::MAX, |place| place.slot);
            let kind = self
                .catalog
                .slots()
                .get(slot)
                .map_or(usize::MAX, |slot| slot.kind);
            let used = used.entry((kind, class)).or_default();
            *used += 1;
            let taken = self
                .shelf
                .class(kind, class)
                .and_then(|class| class.taken(*used));
            if let Some(unit) = taken.and_then(|taken| taken.last().copied()) {
                found.push((place, unit));
            }
        }
        found
    }

    /// The wishes on dimensions that no joint may read.
    pub fn wanted(catalog: &Catalog, wishes: &Wishes) -> BTreeSet<(usize, usize)> {
        let kind = |wish: &Wish| catalog.slots().get(wish.slot).map(|slot| slot.kind);
        let all = wishes.wishes.iter();
        all.filter_map(|wish| Some((kind(wish)?, wish.dimension)))
            .collect()
    }
}
