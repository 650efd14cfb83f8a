//! A fork's length, travel and crowns against what the frame is drawn and allowed for.
//!
//! A fork of the length the frame is drawn for asks nothing of it. A longer one pulls harder at the
//! head tube: the frame maker's limit decides, and where there is none known, asking the maker. A
//! shorter one does the frame no harm and changes how the bike rides.

use super::compare::{Sum, Trace, Why};
use super::family::family;
use crate::dim::{Length, Quantity, Span};

family! {
    ends {
        fork { length: Length, travel: Length, crowns: Name, crown_room: Length }
        frame { drawn: Length, longest: Length, travel: Length, dual: Name, head_tube: Length }
        headset (optional) { stack: Length }
    }
    limits { same_length: Length }
    names { single = "crowns.single", dual = "crowns.dual", allowed = "dual_crown.allowed" }
    codes {
        LENGTH = "fork-length",
        LONGEST = "fork-too-long",
        CONTRADICTED = "fork-rating-contradicted",
        SHORTER = "fork-shorter",
        LONGER = "fork-longer",
        MORE = "fork-length-change",
        TRAVEL = "fork-travel",
        CROWNS = "crowns",
        DUAL = "two-crowns",
        CROWN_ROOM = "between-the-crowns",
    }
}

/// Compares the length with the drawing and the limit, then travel and crowns.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { fork, frame, headset } = ends;
    let more = fork.length - frame.drawn;
    let same = rule.same_length.span(why.strict);
    let over = [fork.length.field, frame.drawn.field];
    if surely_at_most(&more, same) {
        why.at_most(LENGTH, &more, rule.same_length);
        if frame.longest.span().is_some() {
            why.not_above(CONTRADICTED, &fork.length.sum(), frame.longest);
        }
    } else {
        // With neither known, either answers: the length the frame is drawn for, or its limit.
        let length = fork.length.sum();
        let length = match frame.longest.span().or(frame.drawn.span()) {
            None => length.resting_on(frame.drawn),
            Some(_) => length,
        };
        why.not_above(LONGEST, &length, frame.longest);
        let longer = more.span().zip(same).is_some_and(|(more, same)| more.high > same.low);
        if longer && frame.longest.span().is_some() {
            why.mend(LONGER, &over);
        }
    }
    if more.span().zip(same).is_some_and(|(more, same)| more.low < -same.high) {
        why.mend(SHORTER, &over);
    }
    why.tell(MORE, &over, Quantity::Length, more.span());
    why.not_above(TRAVEL, &fork.travel.sum(), frame.travel);
    match fork.crowns.is(rule.dual) {
        Some(true) => {
            why.grant(CROWNS, &[fork.crowns.field]);
            why.named(DUAL, frame.dual, &[rule.allowed]);
            let stack = headset.stack.sum() + frame.head_tube.sum();
            why.not_above(CROWN_ROOM, &stack, fork.crown_room);
        }
        _ => why.named(CROWNS, fork.crowns, &[rule.single]),
    }
}

/// True where the value keeps to the limit whatever the readings.
fn surely_at_most(value: &Sum<Length>, limit: Option<Span>) -> bool {
    let known = value.span().zip(limit);
    known.is_some_and(|(value, limit)| value.high <= limit.low)
}
