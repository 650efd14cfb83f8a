//! The angle between seat tube and chainstay, against the angles a front derailleur is made for: the
//! cage follows the seat tube, the chain follows the chainstay.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        derailleur { least: Angle, most: Angle, system: Name, pull: Name }
        frame { angle: Angle, class: Name }
    }
    codes { TOO_SMALL = "angle-too-small", TOO_LARGE = "angle-too-large" }
}

/// Compares the frame's angle with the rating.
pub fn check<T: Trace>(ends: &Ends<'_>, _: &Rule<'_>, why: &mut Why<T>) {
    let Ends { derailleur, frame } = ends;
    why.not_below(TOO_SMALL, &frame.angle.sum(), derailleur.least);
    why.not_above(TOO_LARGE, &frame.angle.sum(), derailleur.most);
}
