//! A saddle's rails in the clamp of a seatpost: shapes from a closed list, and how far apart the
//! rails stand. Nearly all stand at one spacing, which the page gives where nobody stated another.

use super::compare::{Trace, Why};
use super::family::family;
use crate::dim::Quantity;

family! {
    ends {
        saddle { rails: Name, spacing: Length }
        head { clamp: Name, spacing: Length, setback: Length }
    }
    limits { narrower: Length, wider: Length }
    tables { on }
    codes {
        SHAPE = "rail-shape",
        TOO_NARROW = "rails-too-close",
        TOO_WIDE = "rails-too-far-apart",
        SETBACK = "set-back",
    }
}

/// Looks the shapes up, and compares the spacing.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { saddle, head } = ends;
    why.pair(SHAPE, rule.on, saddle.rails, head.clamp);
    let off = saddle.spacing - head.spacing;
    why.at_least(TOO_NARROW, &off, rule.narrower);
    why.at_most(TOO_WIDE, &off, rule.wider);
    why.tell(SETBACK, &[head.setback.field], Quantity::Length, head.setback.span());
}
