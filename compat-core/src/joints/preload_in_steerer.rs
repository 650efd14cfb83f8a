//! What the top cap pulls on, in the steerer it sits in, under the stack it presses.
//!
//! Depths are counted from the steerer's end downwards. The stem's clamp begins below the spacers
//! above it, less what the stack stands proud of the steerer, and ends a clamp's height further
//! down. In a carbon steerer all of it must have the expanding part of the plug behind it.

use super::compare::{Trace, Why};
use super::family::family;
use crate::dim::{Quantity, Span};

family! {
    ends {
        device {
            device: Name,
            least_bore: Bore,
            most_bore: Bore,
            begins: Length,
            reaches: Length,
            above: Length,
            below: Length,
            gap: Length,
        }
        fork { material: Name, top: Name, bore: Bore, most_above: Length, most_below: Length }
        stem { height: Length }
    }
    limits {
        usual_gap: Length,
        clamp_end: Length,
        carbon_clamp_end: Length,
    }
    tables { devices }
    names {
        threadless = "steerer_top.threadless",
        carbon = "steerer_material.carbon",
        sleeved = "steerer_material.carbon_sleeved",
    }
    codes {
        WHICH = "which-steerer",
        DEVICE = "device",
        TOP = "threaded-top",
        NARROW = "steerer-too-narrow",
        WIDE = "steerer-too-wide",
        GAP = "gap-under-cap",
        SPACER = "spacer-needed",
        CLAMP_END = "clamp-past-the-end",
        ABOVE_PLUG = "clamp-above-plug",
        BELOW_PLUG = "clamp-below-plug",
        ABOVE = "spacers-above",
        BELOW = "spacers-below",
    }
}

/// The device in its steerer, then the gap, then what carbon asks for.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { device, fork, .. } = ends;
    why.pair(DEVICE, rule.devices, device.device, fork.material);
    // A threaded fork has no such device, and where none was seen it is not the fork that is wrong.
    match device.device.label() {
        None if fork.top.is(rule.threadless) == Some(false) => {
            why.ask(TOP, &[fork.top.field, device.device.field]);
        }
        _ => why.named(TOP, fork.top, &[rule.threadless]),
    }
    why.not_below(NARROW, &fork.bore.sum(), device.least_bore);
    why.not_above(WIDE, &fork.bore.sum(), device.most_bore);
    match fork.material.label() {
        Some(label) if [rule.carbon, rule.sleeved].contains(&Some(label)) => {
            why.grant(WHICH, &[fork.material.field]);
            carbon(ends, rule, why);
        }
        Some(_) => {
            why.grant(WHICH, &[fork.material.field]);
            gap(ends, rule, why);
            let end = device.above - device.gap;
            why.at_least(CLAMP_END, &end, rule.clamp_end);
        }
        None => why.ask(WHICH, &[fork.material.field]),
    }
}

/// The cap must press the stack and not the steerer. On a metal steerer what is missing is made up
/// with spacers; on a carbon one those count against what the fork's maker allows.
fn gap<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let over = [ends.device.gap.field];
    let known = ends.device.gap.span().zip(rule.usual_gap.span(why.strict));
    let Some((gap, usual)) = known else {
        return why.ask(GAP, &over);
    };
    if gap.low >= usual.high {
        return why.grant(GAP, &over);
    }
    let missing = Span {
        low: usual.low.saturating_sub(gap.high).max(i64::default()),
        high: usual.high.saturating_sub(gap.low),
    };
    why.mend_with(SPACER, &over, Quantity::Length, Some(missing));
}

fn carbon<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { device, fork, stem } = ends;
    why.at_least(GAP, &device.gap.sum(), rule.usual_gap);
    let upper = device.above - device.gap;
    why.at_least(CLAMP_END, &upper, rule.carbon_clamp_end);
    why.not_below(ABOVE_PLUG, &upper, device.begins);
    let lower = upper + stem.height.sum();
    why.not_above(BELOW_PLUG, &lower, device.reaches);
    why.not_above(ABOVE, &device.above.sum(), fork.most_above);
    why.not_above(BELOW, &device.below.sum(), fork.most_below);
}
