//! What the verdict of a joint's rules is worth where nothing else has to be looked at: most joints of a
//! plan need no more, judged one by one or many at once.

use smallvec::SmallVec;

use super::build::Built;
use super::lack::may_lack;
use super::weight::Weight;
use crate::bike::{Bike, JointAt};
use crate::dim::Cases;
use crate::solve::judge::About;
use crate::solve::known::Known;
use crate::solve::renewed::is_one;
use crate::verdict::Verdict;

/// What a verdict of a joint's rules is worth, where nothing else has to be looked at.
pub(super) struct Plainly {
    /// The worst behind which nothing has to be looked for.
    enough: Verdict,
    /// True where an adaptor may mend what does not fit.
    mends: bool,
    /// True where somebody complains of the joint.
    complained: bool,
    /// True where somebody looked at something.
    looked: bool,
    /// What an open one weighs; nothing where it is forbidden.
    open: Option<Weight>,
    /// True where what is open stays open: nobody looked, and nothing stands as it stood.
    stays: bool,
    /// What stands again where the part that varies says what the one that was fitted said.
    again: Vec<Again>,
}

/// Dimensions of the part that varies, and what the one that was fitted said of each.
type Again = SmallVec<[(usize, Cases); 2]>;

impl Plainly {
    /// True where a part somebody complains of is forbidden, whatever the figures say of it.
    pub(super) fn bars_complaints(&self) -> bool {
        self.open.is_none() && !self.looked
    }

    /// The weight, nothing inside where it is forbidden; nothing at all where the joint has to be
    /// judged whole.
    pub(super) fn says(&self, verdict: Verdict) -> Option<Option<Weight>> {
        match verdict {
            // Nothing but an adaptor mends what does not fit.
            Verdict::DoesNotFit if !self.mends => Some(None),
            // Whatever the figures say of it, it is to be looked into first.
            _ if self.complained => self.bars_complaints().then_some(None),
            verdict if verdict <= self.enough => Some(Some(Weight::NOTHING)),
            Verdict::MeasureFirst if self.stays && self.again.is_empty() => Some(self.open),
            _ => None,
        }
    }

    /// The same of parts of which it is known whether a dimension may say what the fitted part said.
    pub(super) fn says_of(
        &self,
        verdict: Verdict,
        may: impl Fn(usize, &Cases) -> bool,
    ) -> Option<Option<Weight>> {
        let stays = verdict == Verdict::MeasureFirst && self.stays && !self.complained;
        let mut again = self.again.iter();
        match stays && !again.any(|all| all.iter().all(|(number, said)| may(*number, said))) {
            true => Some(self.open),
            false => self.says(verdict),
        }
    }
}

impl Built<'_> {
    /// What a verdict of a joint's rules is worth by itself.
    pub(super) fn plainly(
        &self,
        known: &Known<'_>,
        at: JointAt,
        stood: &[About],
        (touched, varies): (&[usize], Option<usize>),
    ) -> Plainly {
        let may_lack = may_lack(self.catalog, at.family);
        let stays = || {
            let mut stood = stood.iter();
            known.bike.looks.is_empty() && stood.all(|about| known.touches(at, about, touched))
        };
        Plainly {
            enough: match may_lack {
                true => Verdict::Fits,
                false => Verdict::FitsWith,
            },
            mends: !self.catalog.book(at.family).adaptors.is_empty(),
            complained: known.complained(at),
            looked: !known.bike.looks.is_empty(),
            open: self.weight_of(Verdict::MeasureFirst),
            stays: !may_lack && stays(),
            again: self.again(known, at, stood, (touched, varies)),
        }
    }

    /// What a joint left open as it stood, and that stands again where each new part says of it what the
    /// one that was fitted said: what the part that varies has to say for it.
    fn again(
        &self,
        known: &Known<'_>,
        at: JointAt,
        stood: &[About],
        (touched, varies): (&[usize], Option<usize>),
    ) -> Vec<Again> {
        let open = self.open(at);
        let open = open.iter().filter(|about| stood.contains(about));
        let again = open.filter_map(|(_, fields)| {
            let mut again = Again::new();
            let ours = fields
                .iter()
                .filter_map(|field| known.dimension(at, *field));
            for (slot, dimension) in ours.filter(|(slot, _)| touched.contains(slot)) {
                let said = |bike: &Bike| {
                    let entry = bike.part(slot)?.entries.get(dimension)?;
                    Some(entry.deciding()?.cases.clone())
                };
                let fitted = said(self.request.bike).filter(is_one)?;
                match varies == Some(slot) {
                    true => again.push((dimension, fitted)),
                    false if said(known.bike).as_ref() == Some(&fitted) => {}
                    false => return None,
                }
            }
            Some(again)
        });
        again.collect()
    }
}
