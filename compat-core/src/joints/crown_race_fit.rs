//! A crown race on the fork's seat: driven on where it is in one piece, pushed on where it is split.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        race { bore: Bore, made_for: Length, piece: Name }
        fork { seat: Shaft, material: Name }
    }
    limits {
        tightest: Length,
        loosest: Length,
        split_tightest: Length,
        split_loosest: Length,
    }
    names { one_piece = "crown_race.one_piece", carbon = "steerer_material.carbon" }
    codes {
        WHICH = "which-race",
        LOOSE = "race-loose",
        TIGHT = "race-too-tight",
        SPLIT_LOOSE = "split-race-loose",
        SPLIT_TIGHT = "split-race-too-tight",
        CARBON = "carbon-seat",
    }
}

/// A race in one piece must be smaller than its seat, by so much and no more; a split one only has
/// to go over it.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { race, fork } = ends;
    if fork.material.is(rule.carbon) == Some(true) {
        why.mend(CARBON, &[fork.material.field]);
    }
    match race.piece.is(rule.one_piece) {
        Some(true) => {
            why.grant(WHICH, &[race.piece.field]);
            let gap = race.bore - fork.seat;
            why.at_least(TIGHT, &gap, rule.tightest);
            why.at_most(LOOSE, &gap, rule.loosest);
        }
        Some(false) => {
            why.grant(WHICH, &[race.piece.field]);
            let gap = race.bore - fork.seat;
            why.at_least(SPLIT_TIGHT, &gap, rule.split_tightest);
            why.at_most(SPLIT_LOOSE, &gap, rule.split_loosest);
        }
        None => why.ask(WHICH, &[race.piece.field]),
    }
}
