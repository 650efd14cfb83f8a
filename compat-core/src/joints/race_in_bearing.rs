//! A crown race of its own in the lower bearing: the size of bearing it is made for, and its angle.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        cone { made_for: Length, angle: Angle }
        bearing { made_for: Length, angle: Angle }
    }
    limits { size_off: Length, angle_off: Angle }
    codes {
        LARGER = "race-for-larger-bearing",
        SMALLER = "race-for-smaller-bearing",
        STEEPER = "race-angle-too-large",
        FLATTER = "race-angle-too-small",
    }
}

/// Size and angle must both be the bearing's.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { cone, bearing } = ends;
    why.at_most(LARGER, &(cone.made_for - bearing.made_for), rule.size_off);
    why.at_most(SMALLER, &(bearing.made_for - cone.made_for), rule.size_off);
    why.at_most(STEEPER, &(cone.angle - bearing.angle), rule.angle_off);
    why.at_most(FLATTER, &(bearing.angle - cone.angle), rule.angle_off);
}
