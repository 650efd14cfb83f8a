//! The chain line: how far from the middle the rings stand, against what the frame is made for and
//! where the cogs are.
//!
//! Two rings and more on bolts sit on both sides of the arms, where the crank's line says. A single
//! ring may sit on either, and direct-mount rings have an offset of their own: their own line counts.

use super::compare::{Trace, Why};
use super::family::{Dim, family};
use crate::dim::{Length, Quantity};
use crate::formula::chain_line::{apart, behind};
use crate::verdict::Side;

family! {
    ends {
        crank { line: Length, count: Count, largest_ring: Count, smallest_ring: Count }
        rings (optional) { line: Length, largest_ring: Count, smallest_ring: Count, mount: Name, circle: Length }
        frame { line: Length, spacing: Length, class: Name }
        hub (optional) { spacing: Length, gap: Length }
        cassette (optional) { stack: Length, speeds: Count }
    }
    limits { inwards: Length, outwards: Length, one_cog: Length }
    names {
        three_bolt = "ring_mount.three_bolt",
        eight_bolt = "ring_mount.eight_bolt",
        cinch = "ring_mount.cinch",
        j_direct = "ring_mount.j_direct",
    }
    codes {
        WHOSE = "whose-line",
        INWARDS = "line-too-far-in",
        OUTWARDS = "line-too-far-out",
        HOW_MANY = "how-many-cogs",
        ONE_COG = "one-cog-off-line",
        BEHIND = "line-behind",
        APART = "lines-apart",
    }
}

/// Finds the line that counts, and compares it.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { crank, rings, .. } = ends;
    if !rings.present {
        return lines(crank.line, ends, rule, why);
    }
    let over = [rings.largest_ring.field, rings.smallest_ring.field, rings.mount.field];
    let direct = [rule.three_bolt, rule.eight_bolt, rule.cinch, rule.j_direct];
    let own = rings.mount.label().map(|mount| direct.contains(&Some(mount)));
    match (rings.largest_ring - rings.smallest_ring).span() {
        Some(step) if step.low > 0 => match own {
            Some(own) => {
                why.grant(WHOSE, &over);
                lines(if own { rings.line } else { crank.line }, ends, rule, why);
            }
            None => why.ask(WHOSE, &over),
        },
        Some(step) if step.low == 0 && step.high == 0 => {
            why.grant(WHOSE, &over);
            lines(rings.line, ends, rule, why);
        }
        _ => why.ask(WHOSE, &over),
    }
}

/// Compares the line in front with the frame's, and with the cog where there is only one.
fn lines<T: Trace>(line: Dim<'_, Length>, ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { frame, hub, cassette, .. } = ends;
    let off = line - frame.line;
    why.at_least(INWARDS, &off, rule.inwards);
    why.at_most(OUTWARDS, &off, rule.outwards);
    if !(hub.present && cassette.present) {
        return;
    }
    let at_the_cogs = [hub.spacing.field, hub.gap.field, cassette.stack.field];
    let [spacing, gap, stack] = at_the_cogs;
    let over = [spacing, gap, stack, line.field];
    let known = (hub.spacing.span(), hub.gap.span(), cassette.stack.span());
    let rear = match known {
        (Some(spacing), Some(gap), Some(stack)) => behind(spacing, gap, stack),
        _ => None,
    };
    let off = line.span().zip(rear).and_then(|(front, rear)| apart(front, rear));
    let cogs = [cassette.speeds.field];
    match cassette.speeds.span() {
        Some(speeds) if speeds.high <= 1 => {
            why.grant(HOW_MANY, &cogs);
            why.computed(ONE_COG, &over, off, Side::AtMost, rule.one_cog);
        }
        Some(speeds) if speeds.low > 1 => why.grant(HOW_MANY, &cogs),
        _ => why.ask(HOW_MANY, &cogs),
    }
    why.tell(BEHIND, &at_the_cogs, Quantity::Length, rear);
    why.tell(APART, &over, Quantity::Length, off);
}
