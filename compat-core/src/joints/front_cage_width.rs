//! The cage of a front derailleur against the chain that runs through it: more cogs, a narrower
//! chain, a narrower cage.
//!
//! Chains for up to eight cogs are about as wide as each other, so among those nothing is compared.

use super::compare::{Trace, Why};
use super::family::family;
use crate::dim::Quantity;

family! {
    ends {
        derailleur { speeds: Count }
        chain { speeds: Count }
    }
    limits { alike: Count, wider: Count, narrower: Count }
    codes {
        TIGHT = "cage-too-narrow",
        LOOSE = "cage-too-wide",
        BESIDE = "not-the-same-speeds",
    }
}

/// Compares the speeds both are made for.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let (cage, chain) = (ends.derailleur.speeds, ends.chain.speeds);
    let both = [cage.field, chain.field];
    let Some(((cages, chains), alike)) = cage.span().zip(chain.span()).zip(rule.alike.span(why.strict)) else {
        return why.ask(TIGHT, &both);
    };
    if cages.high <= alike.low && chains.high <= alike.low {
        return why.grant(TIGHT, &both);
    }
    // A wider chain for fewer speeds than those is not told apart from them.
    if chains.low < alike.high {
        return why.ask(TIGHT, &both);
    }
    let more = chain - cage;
    why.at_least(TIGHT, &more, rule.wider);
    why.at_most(LOOSE, &more, rule.narrower);
    let apart = more.span().filter(|more| more.is_exact() && more.low != 0);
    why.tell(BESIDE, &both, Quantity::Count, apart);
}
