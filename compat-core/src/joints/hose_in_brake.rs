//! A brake hose at one of its ends: the fitting, the outside of the hose, and the makers' word.
//!
//! Fittings of one kind differ from maker to maker and from hose to hose: no figure says that a hose
//! seals in a brake, so its maker's list is looked at for every pair anew.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        hose { fitting: Name, outside: Shaft }
        brake { pull: Name, fitting: Name, outside: Bore }
    }
    limits { tightest: Length, loosest: Length }
    tables { fittings }
    names { hydraulic = "brake_pull.hydraulic" }
    codes {
        NO_HOSE = "no-hose",
        FITTING = "fitting",
        THICK = "hose-too-thick",
        THIN = "hose-too-thin",
        LISTED = "listed",
    }
}

/// Looks the fittings up, compares the outside, and asks for the list.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { hose, brake } = ends;
    why.named(NO_HOSE, brake.pull, &[rule.hydraulic]);
    why.pair(FITTING, rule.fittings, hose.fitting, brake.fitting);
    let gap = brake.outside - hose.outside;
    why.at_least(THICK, &gap, rule.tightest);
    why.at_most(THIN, &gap, rule.loosest);
    why.ask(LISTED, &[hose.fitting.field, brake.fitting.field]);
}
