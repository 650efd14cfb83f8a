//! The chain line: how far from the middle the rings stand, against what the frame is made for and
//! where the cogs are.

use super::compare::{Trace, Why};
use super::family::family;
use crate::dim::Quantity;
use crate::formula::chain_line::{apart, behind};
use crate::verdict::Side;

family! {
    ends {
        rings { line: Length }
        frame { line: Length, spacing: Length }
        hub (optional) { spacing: Length, gap: Length }
        cassette (optional) { stack: Length, speeds: Count }
    }
    limits { inwards: Length, outwards: Length, one_cog: Length }
    codes {
        INWARDS = "line-too-far-in",
        OUTWARDS = "line-too-far-out",
        HOW_MANY = "how-many-cogs",
        ONE_COG = "one-cog-off-line",
        BEHIND = "line-behind",
        APART = "lines-apart",
    }
}

/// Compares the line in front with the frame's, and with the cog where there is only one.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { rings, frame, hub, cassette } = ends;
    let off = rings.line - frame.line;
    why.at_least(INWARDS, &off, rule.inwards);
    why.at_most(OUTWARDS, &off, rule.outwards);
    if !(hub.present && cassette.present) {
        return;
    }
    let over = [hub.spacing.field, hub.gap.field, cassette.stack.field, rings.line.field];
    let known = (hub.spacing.span(), hub.gap.span(), cassette.stack.span());
    let rear = match known {
        (Some(spacing), Some(gap), Some(stack)) => behind(spacing, gap, stack),
        _ => None,
    };
    let off = rings.line.span().zip(rear).and_then(|(front, rear)| apart(front, rear));
    let cogs = [cassette.speeds.field];
    match cassette.speeds.span() {
        Some(speeds) if speeds.high == 1 => {
            why.grant(HOW_MANY, &cogs);
            why.computed(ONE_COG, &over, off, Side::AtMost, rule.one_cog);
        }
        Some(speeds) if speeds.low > 1 => why.grant(HOW_MANY, &cogs),
        _ => why.ask(HOW_MANY, &cogs),
    }
    why.tell(BEHIND, &[hub.spacing.field, hub.gap.field, cassette.stack.field], Quantity::Length, rear);
    why.tell(APART, &over, Quantity::Length, off);
}
