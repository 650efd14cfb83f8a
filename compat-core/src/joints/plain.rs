//! Two more things a rule can say: that a name must be one of a few, and that a joint holds with a
//! part or a step which the page names beside the code.

use super::compare::{Trace, Why, over_fields};
use super::family::Dim;
use crate::dim::{Cases, Label, Name, Quantity, Span};
use crate::verdict::{Claim, Field, Holds, Turn};

impl<T: Trace> Why<T> {
    /// The name must be one of those given.
    pub fn named(&mut self, code: u8, dim: Dim<'_, Name>, wanted: &[Option<Label>]) {
        let holds = match dim.label() {
            Some(label) if wanted.contains(&Some(label)) => Holds::Yes,
            Some(_) => Holds::No,
            None => Holds::Open,
        };
        self.settle(holds, false);
        if T::KEEPS {
            let labels: Vec<Label> = wanted.iter().copied().flatten().collect();
            let cases = (!labels.is_empty()).then_some(Cases::Names(labels));
            let turns = vec![Turn {
                field: dim.field,
                sure: cases.clone(),
                may: cases,
            }];
            self.trace.keep(Claim {
                turns,
                ..over_fields(code, holds, &[dim.field])
            });
        }
    }

    /// It holds with what the page names for the code under `with`.
    pub fn mend(&mut self, code: u8, over: &[Field]) {
        self.mended(code, over, None);
    }

    /// It holds with what the page names for the code under `with`, of which there is so much: the
    /// page says `{value}`. `None` where that is not known.
    pub fn mend_with(&mut self, code: u8, over: &[Field], quantity: Quantity, much: Option<Span>) {
        self.mended(code, over, Some((quantity, much.unwrap_or(Span::ALL))));
    }

    fn mended(&mut self, code: u8, over: &[Field], value: Option<(Quantity, Span)>) {
        self.settle(Holds::Yes, true);
        if T::KEEPS {
            self.trace.keep(Claim {
                value,
                mended: true,
                ..over_fields(code, Holds::Yes, over)
            });
        }
    }
}

/// The wall of a shim that fills a gap between two diameters: half the gap, where the gap is more
/// than is clamped anyhow.
pub(super) fn wall(gap: Option<Span>, clamped: Option<Span>) -> Option<Span> {
    let gap = gap
        .zip(clamped)
        .filter(|(gap, clamped)| gap.low > clamped.high);
    gap.map(|(gap, _)| halved(gap))
}

/// Half of everything in a span, rounded outward to whole units.
pub(super) fn halved(span: Span) -> Span {
    let low = match span.low {
        Span::LEAST => Span::LEAST,
        low => low.div_euclid(2),
    };
    let high = match span.high {
        Span::MOST => Span::MOST,
        high => high.saturating_add(1).div_euclid(2),
    };
    Span { low, high }
}

/// The pads between a brake and what it brakes on, where that may want its own: nothing is asked where
/// they are written down, where any will do, or where this brake does not touch it. The codes are of
/// these four in turn; each fact comes with the dimension that tells it.
pub fn own_pads<T: Trace>(
    why: &mut Why<T>,
    [listed, any, elsewhere, wanted]: [u8; 4],
    pads: Option<Field>,
    (wants, surface): (Option<bool>, Field),
    (touches, brake): (Option<bool>, Field),
) {
    match (pads, wants, touches) {
        (Some(pads), ..) => why.grant(listed, &[pads]),
        (None, Some(true), Some(false)) => why.grant(elsewhere, &[surface, brake]),
        (None, Some(true), _) => why.ask(wanted, &[surface, brake]),
        (None, ..) => why.grant(any, &[surface]),
    }
}
