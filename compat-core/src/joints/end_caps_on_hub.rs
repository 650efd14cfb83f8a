//! End caps or spacers that give a hub another width: whether they are its own, whether their
//! figures agree, and what moves with them.

use super::compare::{Trace, Why};
use super::family::family;
use crate::dim::{Quantity, Span};

family! {
    ends {
        caps { spacing: Length, adds_left: Length, adds_right: Length, for_hub: Name }
        hub { spacing: Length }
    }
    limits { less: Length, more: Length, even: Length }
    names { yes = "allowed.yes" }
    codes {
        FOR_HUB = "made-for-the-hub",
        NARROWER = "width-less",
        WIDER = "width-more",
        DISH = "dish",
        CASSETTE = "cassette-moves",
    }
}

/// Compares the widths and works out what moves.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { caps, hub } = ends;
    why.named(FOR_HUB, caps.for_hub, &[rule.yes]);
    let made = hub.spacing.sum() + caps.adds_left.sum() + caps.adds_right.sum();
    let off = made - caps.spacing.sum();
    why.at_least(NARROWER, &off, rule.less);
    why.at_most(WIDER, &off, rule.more);
    let over = [caps.adds_left.field, caps.adds_right.field];
    let uneven = caps.adds_left - caps.adds_right;
    let apart = uneven.span().map(|span| if span.high < 0 { span.negated() } else { span });
    let even = rule.even.span(why.strict);
    match apart.zip(even) {
        Some((apart, even)) if apart.low > even.high => {
            let half = Span { low: apart.low / 2, high: apart.high / 2 };
            why.mend_with(DISH, &over, Quantity::Length, Some(half));
        }
        Some((apart, even)) if apart.high <= even.low && apart.low >= -even.low => why.grant(DISH, &over),
        _ => why.ask(DISH, &over),
    }
    let moved = caps.adds_right.span().filter(|span| span.low > 0 || span.high < 0);
    why.tell(CASSETTE, &[caps.adds_right.field], Quantity::Length, moved);
}
