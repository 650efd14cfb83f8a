//! A stem on a fork's steerer: clamped round it, or as a quill inside a threaded one.
//!
//! The inside of a steerer is seldom written down. Where it is not, the page gives it by the
//! trade's rule: an eighth of an inch less than the outside. Where its wall was stated, the inside is
//! the outside less two walls.

use super::compare::{Sum, Trace, Why};
use super::family::family;
use super::plain::wall;
use crate::dim::{Length, Quantity};

family! {
    ends {
        fork { steerer: Shaft, top: Name, bore: Bore, walls: Name, wall: Length, seat: Shaft, material: Name }
        stem { fixing: Name, clamp: Bore, quill: Shaft }
    }
    limits {
        tightest: Length,
        loosest: Length,
        quill_tightest: Length,
        quill_loosest: Length,
        same_bore_less: Length,
        same_bore_more: Length,
    }
    names {
        threadless = "steerer_top.threadless",
        threaded = "steerer_top.threaded",
        thick = "steerer_top.threaded_thick",
        clamped = "stem_fixing.clamp",
        usual = "steerer_walls.usual",
    }
    codes {
        WHICH = "which-stem",
        THREADED = "threaded-steerer",
        THREADLESS = "threadless-steerer",
        TOO_THICK = "steerer-too-thick",
        TOO_THIN = "steerer-too-thin",
        QUILL_THICK = "quill-too-thick",
        QUILL_THIN = "quill-too-thin",
        WALL = "wall",
        BORE = "bore",
        BORE_LESS = "wider-bore-contradicted",
        BORE_MORE = "narrower-bore-contradicted",
    }
}

/// Compares as the stem holds the steerer; where nobody looked, that is asked.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    match ends.stem.fixing.is(rule.clamped) {
        Some(true) => clamp(ends, rule, why),
        Some(false) => quill(ends, rule, why),
        None => why.ask(WHICH, &[ends.stem.fixing.field]),
    }
}

fn clamp<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    why.grant(WHICH, &[ends.stem.fixing.field]);
    why.named(THREADED, ends.fork.top, &[rule.threadless]);
    let gap = ends.stem.clamp - ends.fork.steerer;
    why.at_least(TOO_THICK, &gap, rule.tightest);
    why.at_most(TOO_THIN, &gap, rule.loosest);
    let over = [ends.stem.clamp.field, ends.fork.steerer.field];
    why.tell(WALL, &over, Quantity::Length, wall(gap.span(), rule.loosest.span(why.strict)));
}

fn quill<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { fork, stem } = ends;
    why.grant(WHICH, &[stem.fixing.field]);
    why.named(THREADLESS, fork.top, &[rule.threaded, rule.thick]);
    if fork.top.is(rule.threadless) == Some(true) {
        return;
    }
    let room = match fork.walls.is(rule.usual) {
        Some(true) => fork.bore - stem.quill,
        Some(false) => {
            let walls = fork.wall.sum() + fork.wall.sum();
            let bore: Sum<Length> = fork.steerer.sum().cast() - walls;
            let over = [fork.steerer.field, fork.wall.field];
            why.tell(BORE, &over, Quantity::Length, bore.span());
            if fork.bore.span().is_some() {
                // Outside and wall are one way to the bore and the calliper another; both must hold.
                let off = bore.clone() - fork.bore.sum().cast();
                why.at_least(BORE_LESS, &off, rule.same_bore_less);
                why.at_most(BORE_MORE, &off, rule.same_bore_more);
            }
            bore - stem.quill.sum().cast()
        }
        None => return why.ask(QUILL_THICK, &[fork.walls.field]),
    };
    why.at_least(QUILL_THICK, &room, rule.quill_tightest);
    why.at_most(QUILL_THIN, &room, rule.quill_loosest);
}
