//! What the verdict of a joint's rules is worth where nothing else has to be looked at: most joints of a
//! plan need no more, judged one by one or many at once.

use super::build::Built;
use super::lack::may_lack;
use super::weight::Weight;
use crate::bike::JointAt;
use crate::solve::judge::About;
use crate::solve::known::Known;
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
}

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
            Verdict::MeasureFirst if self.stays => Some(self.open),
            _ => None,
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
        touched: &[usize],
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
        }
    }
}
