//! A brake lever and the brake it works: the pull of a cable, or the fluid and the makers' word.
//!
//! No arithmetic says that a hydraulic lever works a brake: the maker's table does, so it is asked
//! for.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        brake { pull: Name, fluid: Name, model: Count, hose: Length }
        lever { pull: Name, fluid: Name, model: Count, maker: Name, hose: Length }
    }
    limits { one_hose: Length }
    tables { pulls, fluids }
    names { hydraulic = "brake_pull.hydraulic", named = "allowed.yes" }
    codes { PULL = "pull", FLUID = "fluid", LISTED = "listed", MAKER = "other-maker", HOSE = "another-hose" }
}

/// Looks the pull up; with hoses at both ends, fluid and listing.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { brake, lever } = ends;
    why.pair(PULL, rule.pulls, lever.pull, brake.pull);
    let hose = [lever.pull, brake.pull].map(|pull| pull.is(rule.hydraulic) == Some(true));
    if hose != [true, true] {
        return;
    }
    why.pair(FLUID, rule.fluids, lever.fluid, brake.fluid);
    let differ = (lever.hose.sum() - brake.hose.sum()).span();
    let differ = differ.zip(rule.one_hose.span(why.strict));
    let differ = differ.is_some_and(|(by, one)| by.low > one.high || by.high < -one.high);
    if differ {
        why.mend(HOSE, &[lever.hose.field, brake.hose.field]);
    }
    let over = [lever.model.field, brake.model.field];
    match lever.model.span().zip(brake.model.span()) {
        // Two makers may use one number: the brake's own must be named beside it.
        Some((lever, brake)) if lever == brake && lever.is_exact() => {
            why.grant(LISTED, &over);
            why.named(MAKER, ends.lever.maker, &[rule.named]);
        }
        _ => why.ask(LISTED, &over),
    }
}
