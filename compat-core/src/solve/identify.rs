//! Which sizes a part could be of that was only measured, and which reading would tell them apart.
//!
//! The sizes are those of the catalogue: the rows of the pages, what names imply, and what the kinds'
//! files add for the bench. A size stays in the running as long as no reading of it is too far off; the
//! law of errors gives the rest their shares. Nothing here knows one family.

use std::collections::BTreeSet;

use super::sizes::{Size, sizes};
use crate::bike::Taken;
use crate::catalog::{Catalog, Dimension};
use crate::dim::{Cases, Quantity, Span};
use crate::formula::likelihood::{APART, FAR, likelihood, off, overlap, sigmas, unknown};

/// How one reading lies to a size.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Off {
    /// The size says nothing of it.
    Silent,
    /// By so much, in the small unit of the quantity, and in standard errors; nothing for a name that is
    /// the same, and endlessly many for one that is not.
    By(i64, f64),
}

/// A size the readings could be of.
#[derive(Clone, Debug)]
pub struct Candidate {
    /// The size.
    pub size: Size,
    /// How each reading lies to it, in the order of the readings.
    pub off: Vec<Off>,
    /// Its share among those that could be.
    pub share: f64,
    weight: f64,
}

impl Candidate {
    /// The furthest that one of its readings is off, in standard errors.
    pub fn furthest(&self) -> f64 {
        let off = self.off.iter().map(|off| match off {
            Off::Silent => 0.0,
            Off::By(_, sigmas) => *sigmas,
        });
        off.fold(0.0, f64::max)
    }
}

/// The reading that would tell most.
#[derive(Clone, Debug)]
pub struct Next {
    /// The number of the dimension.
    pub number: usize,
    /// True where it was read, with a coarser tool.
    pub again: bool,
    /// What may be read, and the candidates that show it, by their place in the list.
    pub shows: Vec<(Cases, Vec<usize>)>,
    /// True where it tells the first two apart, alone.
    pub settles: bool,
}

/// What could be done where no other dimension helps: the same reading, finer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Finer {
    /// The number of the dimension.
    pub number: usize,
    /// How far the first two sizes are apart in it.
    pub gap: i64,
    /// The largest standard error that tells them apart.
    pub error: i64,
    /// True where it was read with a larger one.
    pub coarse: bool,
}

/// What the readings of one thing come to.
#[derive(Clone, Debug)]
pub struct Identified {
    /// The number of the kind of part.
    pub kind: usize,
    /// The readings.
    pub taken: Vec<Taken>,
    /// How many sizes were looked through.
    pub sizes: usize,
    /// What it could be, the likeliest first.
    pub candidates: Vec<Candidate>,
    /// Where it could be none: the nearest.
    pub nearest: Option<Candidate>,
    /// The reading that would tell most, where one would.
    pub next: Option<Next>,
    /// Where none would: the same reading with a finer tool.
    pub finer: Option<Finer>,
}

/// What was found, and the readings of which no size says anything.
#[derive(Clone, Debug, Default)]
pub struct Found {
    /// One for each thing that was measured.
    pub things: Vec<Identified>,
    /// Readings that tell no size.
    pub idle: Vec<Taken>,
}

/// Finds the sizes that readings could be of.
pub fn identify(catalog: &Catalog, taken: &[Taken], calliper: Option<i64>) -> Found {
    let mut found = Found::default();
    let kinds: BTreeSet<usize> = taken.iter().map(|taken| taken.kind).collect();
    for kind in kinds {
        let mut left: Vec<Taken> = taken
            .iter()
            .filter(|one| one.kind == kind)
            .cloned()
            .collect();
        // The order in which readings are written makes no difference.
        left.sort_by_key(|taken| taken.number);
        for things in things(sizes(catalog, kind)) {
            let numbers: BTreeSet<usize> = things.iter().flat_map(Size::numbers).collect();
            let (own, rest) = left
                .into_iter()
                .partition(|taken: &Taken| numbers.contains(&taken.number));
            left = rest;
            if !own.is_empty() {
                let ranking = Ranking {
                    catalog,
                    kind,
                    calliper,
                };
                found.things.push(ranking.rank(own, things));
            }
        }
        found.idle.extend(left);
    }
    found
}

/// The sizes of one thing belong together: those that a chain of shared dimensions joins.
fn things(sizes: Vec<Size>) -> Vec<Vec<Size>> {
    let mut things: Vec<(BTreeSet<usize>, Vec<Size>)> = Vec::new();
    for size in sizes {
        let mut numbers: BTreeSet<usize> = size.numbers().collect();
        let mut together = vec![size];
        let (joined, apart): (Vec<_>, Vec<_>) = things
            .into_iter()
            .partition(|(known, _)| !known.is_disjoint(&numbers));
        things = apart;
        let mut before = Vec::new();
        for (known, sizes) in joined {
            numbers.extend(known);
            before.extend(sizes);
        }
        before.append(&mut together);
        things.push((numbers, before));
    }
    things.into_iter().map(|(_, sizes)| sizes).collect()
}

struct Ranking<'c> {
    catalog: &'c Catalog,
    kind: usize,
    calliper: Option<i64>,
}

impl<'c> Ranking<'c> {
    fn dimension(&self, number: usize) -> Option<&'c Dimension> {
        self.catalog.bench_dimension(self.kind, number)
    }

    fn allowed(&self, number: usize) -> Span {
        let mut allowances = self.catalog.bench(self.kind).allowances.iter();
        let known = allowances.find(|allowance| allowance.number == number);
        known.map_or(Span::exactly(0), |allowance| allowance.span)
    }

    fn rank(&self, taken: Vec<Taken>, sizes: Vec<Size>) -> Identified {
        let looked = sizes.len();
        let all = sizes
            .into_iter()
            .filter_map(|size| self.candidate(size, &taken));
        let mut all: Vec<Candidate> = all.collect();
        all.sort_by(|a, b| {
            let weight = b.weight.total_cmp(&a.weight);
            let far = a.furthest().total_cmp(&b.furthest());
            weight
                .then(far)
                .then_with(|| a.size.titles.cmp(&b.size.titles))
        });
        let (mut candidates, rest): (Vec<Candidate>, Vec<Candidate>) =
            all.into_iter().partition(|one| one.furthest() <= FAR);
        let total: f64 = candidates.iter().map(|one| one.weight).sum();
        for one in &mut candidates {
            one.share = one.weight / total.max(f64::MIN_POSITIVE);
        }
        let nearest = || {
            let mut rest = rest;
            rest.sort_by(|a, b| a.furthest().total_cmp(&b.furthest()));
            rest.into_iter().next()
        };
        let nearest = if candidates.is_empty() {
            nearest()
        } else {
            None
        };
        let next = self.next(&taken, &candidates);
        let settled = next.as_ref().is_some_and(|next| next.settles);
        let finer = (!settled)
            .then(|| self.finer(&taken, &candidates))
            .flatten();
        Identified {
            kind: self.kind,
            taken,
            sizes: looked,
            candidates,
            nearest,
            next,
            finer,
        }
    }

    /// A size with its readings; `None` where it says nothing of any.
    fn candidate(&self, size: Size, taken: &[Taken]) -> Option<Candidate> {
        let off: Vec<Off> = taken.iter().map(|taken| self.off(&size, taken)).collect();
        if off.iter().all(|off| *off == Off::Silent) {
            return None;
        }
        let weights = taken.iter().zip(&off).map(|(taken, off)| match off {
            Off::By(_, sigmas) => likelihood(*sigmas),
            Off::Silent => self.silence(taken),
        });
        let weight = weights.product();
        Some(Candidate {
            size,
            off,
            share: 0.0,
            weight,
        })
    }

    fn silence(&self, taken: &Taken) -> f64 {
        let Some(dimension) = self.dimension(taken.number) else {
            return 1.0;
        };
        match dimension
            .list
            .and_then(|list| self.catalog.lists().get(list))
        {
            Some(list) => {
                let names = u32::try_from(list.names.len()).unwrap_or(u32::MAX);
                1.0 / f64::from(names.max(1))
            }
            None => unknown(taken.error, dimension.range),
        }
    }

    fn off(&self, size: &Size, taken: &Taken) -> Off {
        match (size.cases(taken.number), &taken.cases) {
            (None, _) => Off::Silent,
            (Some(Cases::Numbers(sizes)), Cases::Numbers(read)) => {
                let allowed = self.allowed(taken.number);
                let pairs = read
                    .iter()
                    .flat_map(|read| sizes.iter().map(|size| off(*read, *size)));
                let far = pairs.map(|off| (off, sigmas(off, taken.error, allowed)));
                let least = far.min_by(|a, b| a.1.total_cmp(&b.1).then(a.0.abs().cmp(&b.0.abs())));
                least.map_or(Off::Silent, |(off, sigmas)| Off::By(off, sigmas))
            }
            (Some(known), read) => match known.meet(read) {
                Some(_) => Off::By(0, 0.0),
                None => Off::By(0, f64::INFINITY),
            },
        }
    }

    /// How far two sizes are apart in a dimension, in standard errors of its reading.
    fn apart(&self, a: &Size, b: &Size, number: usize, error: i64) -> f64 {
        match (a.cases(number), b.cases(number)) {
            (Some(Cases::Numbers(a)), Some(Cases::Numbers(b))) => {
                let pairs = a.iter().flat_map(|a| b.iter().map(|b| off(*a, *b).abs()));
                let allowed = self.allowed(number);
                // A part of the one size may lie as far to the other's side as is allowed it.
                let wide = Span::exactly(allowed.low.abs().max(allowed.high));
                let far = pairs.map(|gap| sigmas(gap, error, wide));
                far.fold(f64::INFINITY, f64::min)
            }
            (Some(a), Some(b)) if a.meet(b).is_none() => f64::INFINITY,
            _ => 0.0,
        }
    }

    /// The reading that separates the candidates best: each pair counts as much as both are likely.
    fn next(&self, taken: &[Taken], candidates: &[Candidate]) -> Option<Next> {
        if candidates.get(1).is_none_or(|second| second.share < SMALL) {
            return None;
        }
        let numbers: BTreeSet<usize> = candidates
            .iter()
            .flat_map(|one| one.size.numbers())
            .collect();
        let mut best: Option<(f64, Next)> = None;
        for number in numbers {
            let Some(dimension) = self.dimension(number) else {
                continue;
            };
            let error = self.catalog.tool_error(dimension, self.calliper);
            let before = taken.iter().find(|taken| taken.number == number);
            let exact = |taken: &Taken| match &taken.cases {
                Cases::Numbers(_) => taken.cases.span().is_some_and(Span::is_exact),
                Cases::Names(names) => names.len() == 1,
            };
            if before.is_some_and(|taken| taken.error <= error && exact(taken)) {
                continue;
            }
            let (gain, some) = self.gain(candidates, number, error);
            if !some {
                continue;
            }
            let gain = if self.named(number) {
                gain * LOOKED
            } else {
                gain
            };
            let better = match &best {
                None => true,
                Some((most, known)) => {
                    let easier = self.ease(number) < self.ease(known.number);
                    gain > most + NEARLY || (gain > most - NEARLY && easier)
                }
            };
            if better {
                let next = Next {
                    number,
                    again: before.is_some(),
                    shows: shows(candidates, number),
                    settles: self.settles(candidates, number, error),
                };
                best = Some((gain, next));
            }
        }
        best.map(|(_, next)| next)
    }

    /// How much a reading separates, and whether it tells any two apart for good.
    fn gain(&self, candidates: &[Candidate], number: usize, error: i64) -> (f64, bool) {
        let (mut gain, mut some) = (0.0, false);
        for (index, a) in candidates.iter().enumerate() {
            for b in candidates.iter().skip(index + 1) {
                let apart = self.apart(&a.size, &b.size, number, error);
                some |= apart >= APART;
                gain += a.share * b.share * (1.0 - overlap(apart));
            }
        }
        (gain, some)
    }

    fn settles(&self, candidates: &[Candidate], number: usize, error: i64) -> bool {
        match candidates {
            [a, b, ..] => self.apart(&a.size, &b.size, number, error) >= APART,
            _ => false,
        }
    }

    /// True for what a size goes by: a name, or a number that names it.
    fn named(&self, number: usize) -> bool {
        let dimension = self.dimension(number);
        let told = &self.catalog.bench(self.kind).told;
        dimension.is_none_or(|one| one.quantity == Quantity::Name)
            || told.iter().any(|told| told.number == number)
    }

    /// What is easier to take comes first: what a tool reads before what must be known by its name, and
    /// then by where one must get to.
    fn ease(&self, number: usize) -> (bool, crate::catalog::Access, usize) {
        let dimension = self.dimension(number);
        let name = self.named(number);
        let access = dimension.map_or(crate::catalog::Access::Stripped, |one| one.access);
        (name, access, number)
    }

    /// The dimension that was read in which the first two differ most, and the error that would tell.
    fn finer(&self, taken: &[Taken], candidates: &[Candidate]) -> Option<Finer> {
        let [first, second, ..] = candidates else {
            return None;
        };
        if second.share < SMALL {
            return None;
        }
        let gaps = taken.iter().filter_map(|taken| {
            let (Some(Cases::Numbers(a)), Some(Cases::Numbers(b))) = (
                first.size.cases(taken.number),
                second.size.cases(taken.number),
            ) else {
                return None;
            };
            let pairs = a.iter().flat_map(|a| b.iter().map(|b| off(*a, *b).abs()));
            let gap = pairs.min().filter(|gap| *gap > 0 && taken.error > 0)?;
            let dimension = self.dimension(taken.number)?;
            let parts: i64 = 4;
            (dimension.quantity != Quantity::Count).then_some(Finer {
                number: taken.number,
                gap,
                error: gap / parts,
                coarse: taken.error > gap / parts,
            })
        });
        gaps.max_by_key(|finer| finer.gap)
    }
}

/// A share so small is not worth another reading.
const SMALL: f64 = 0.01;
/// What a look is worth beside a reading: it must tell a good deal more, for the name one looks for is
/// often the one that is not known.
const LOOKED: f64 = 0.5;
/// Gains that differ less are as good as each other.
const NEARLY: f64 = 1e-3;

/// What each candidate would show in a dimension: the same reading once, those that say nothing left out.
fn shows(candidates: &[Candidate], number: usize) -> Vec<(Cases, Vec<usize>)> {
    let mut shows: Vec<(Cases, Vec<usize>)> = Vec::new();
    for (index, one) in candidates.iter().enumerate() {
        let Some(cases) = one.size.cases(number) else {
            continue;
        };
        match shows.iter_mut().find(|(known, _)| known == cases) {
            Some((_, who)) => who.push(index),
            None => shows.push((cases.clone(), vec![index])),
        }
    }
    shows
}
