//! Parts that differ in numbers alone, cut into boxes: each spans from the least to the most of every
//! number, and is cut in two when somebody asks for its halves.

use smallvec::SmallVec;

use crate::dim::{Cases, Origin, Reading, Span};
use crate::text::Place;

/// A sort, a choice for it, and its numbers.
pub(super) type Member = (u32, usize, SmallVec<[Span; 4]>);

/// The sorts, and the boxes they were cut into as far as somebody asked.
#[derive(Debug)]
pub(super) struct Boxes {
    /// All of them, in an order in which every box is a stretch.
    members: Vec<Member>,
    /// The whole first.
    boxes: Vec<Stretch>,
}

/// A stretch of sorts, and what their numbers span.
#[derive(Debug)]
struct Stretch {
    from: usize,
    to: usize,
    whole: SmallVec<[Reading; 4]>,
    /// The two halves, once it was cut.
    halves: Option<[usize; 2]>,
}

impl Boxes {
    pub(super) fn of(members: Vec<Member>) -> Boxes {
        let whole = Stretch::of(&members, 0);
        Boxes {
            members,
            boxes: vec![whole],
        }
    }

    /// What the numbers of a box span, each as one reading.
    pub(super) fn whole(&self, number: usize) -> &[Reading] {
        self.boxes.get(number).map_or(&[], |own| &own.whole)
    }

    /// The sorts in a box.
    pub(super) fn sorts(&self, number: usize) -> impl Iterator<Item = u32> {
        let own = self.boxes.get(number);
        let members = own.and_then(|own| self.members.get(own.from..own.to));
        members.unwrap_or(&[]).iter().map(|(sort, ..)| *sort)
    }

    /// The halves of a box, cut the first time along the number in which its sorts differ most, or
    /// between two numbers of which there are few; none where it holds too few.
    pub(super) fn halves(&mut self, number: usize) -> Option<[usize; 2]> {
        let own = self.boxes.get(number)?;
        if own.halves.is_some() {
            return own.halves;
        }
        let (from, to) = (own.from, own.to);
        let members = self.members.get_mut(from..to)?;
        if members.len() <= 2 {
            return None;
        }
        let along = along(members);
        let key = |(sort, _, spans): &Member| (spans.get(along).copied(), *sort);
        members.sort_unstable_by_key(key);
        let half = members.len() / 2;
        let value = |at: usize| members.get(at).map(|member| key(member).0);
        // Sorts of one number stay together where that leaves something on both sides.
        let before = (1..=half).rev().find(|at| value(at - 1) != value(*at));
        let behind = (half..members.len()).find(|at| value(at - 1) != value(*at));
        let middle = match (before, behind) {
            (Some(before), Some(behind)) if half - before <= behind - half => before,
            (before, behind) => behind.or(before).unwrap_or(half),
        };
        let (low, high) = members.split_at(middle);
        let next = self.boxes.len();
        let cut = [Stretch::of(low, from), Stretch::of(high, from + middle)];
        self.boxes.extend(cut);
        let halves = Some([next, next + 1]);
        self.boxes.get_mut(number)?.halves = halves;
        halves
    }
}

impl Stretch {
    fn of(members: &[Member], from: usize) -> Stretch {
        let mut spans: SmallVec<[Span; 4]> = SmallVec::new();
        for (_, _, own) in members {
            if spans.is_empty() {
                spans.clone_from(own);
            }
            for (all, one) in spans.iter_mut().zip(own) {
                all.low = all.low.min(one.low);
                all.high = all.high.max(one.high);
            }
        }
        let whole = spans.into_iter().map(|span| Reading {
            cases: Cases::Numbers(vec![span]),
            origin: Origin::Stated(Place::default()),
        });
        Stretch {
            from,
            to: from + members.len(),
            whole: whole.collect(),
            halves: None,
        }
    }
}

/// How many different numbers are few.
const FEW: usize = 12;

/// How many sorts are looked at to choose the number to cut along.
const LOOKED_AT: usize = 64;

/// The number to cut along: one that has few values, then the one that has most.
fn along(members: &[Member]) -> usize {
    let count = members.first().map_or(0, |(_, _, spans)| spans.len());
    let step = members.len().div_ceil(LOOKED_AT).max(1);
    let different = |along: usize| {
        let looked = members.iter().step_by(step);
        let mut all: SmallVec<[Option<Span>; LOOKED_AT]> = looked
            .map(|(_, _, spans)| spans.get(along).copied())
            .collect();
        all.sort_unstable();
        all.dedup();
        all.len()
    };
    let rank = |along: &usize| match different(*along) {
        1 => 0,
        few @ 2..=FEW => usize::MAX - few,
        many => many,
    };
    (0..count).max_by_key(rank).unwrap_or(0)
}
