//! A shifter, a lever or a grip on the bar: 22.2 mm on flat bars, 23.8 on drop bars.

use super::compare::{Trace, Why};
use super::family::family;
use super::plain::wall;
use crate::dim::Quantity;

family! {
    ends {
        control { clamp: Bore, made_for: Name }
        bar { grip_diameter: Shaft, shape: Name, stem_diameter: Length }
    }
    limits { tightest: Length, loosest: Length }
    tables { shapes }
    codes { SHAPE = "shape", TOO_SMALL = "clamp-too-small", TOO_LARGE = "clamp-too-large", WALL = "wall" }
}

/// Compares the clamp with the bar.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    why.pair(SHAPE, rule.shapes, ends.control.made_for, ends.bar.shape);
    let gap = ends.control.clamp - ends.bar.grip_diameter;
    why.at_least(TOO_SMALL, &gap, rule.tightest);
    why.at_most(TOO_LARGE, &gap, rule.loosest);
    let over = [ends.control.clamp.field, ends.bar.grip_diameter.field];
    why.tell(WALL, &over, Quantity::Length, wall(gap.span(), rule.loosest.span(why.strict)));
}
