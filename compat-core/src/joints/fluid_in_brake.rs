//! The fluid out of a bottle and the brake it goes into.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        bottle { fluid: Name, model: Count, maker: Name }
        brake { pull: Name, fluid: Name, model: Count }
    }
    tables { into }
    names { hydraulic = "brake_pull.hydraulic", mineral = "brake_fluid.mineral", named = "allowed.yes" }
    codes { CABLE = "no-hose", FLUID = "fluid", LISTED = "listed", MAKER = "other-maker" }
}

/// Looks the fluid up; mineral oils differ, so there the brake's manual must name the bottle's.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { bottle, brake } = ends;
    why.named(CABLE, brake.pull, &[rule.hydraulic]);
    why.pair(FLUID, rule.into, bottle.fluid, brake.fluid);
    // Of an oil alone it matters which; what nobody read is asked above.
    if bottle.fluid.is(rule.mineral) != Some(true) {
        return;
    }
    let over = [bottle.model.field, brake.model.field];
    match bottle.model.span().zip(brake.model.span()) {
        // Two makers may use one number: the brake's own must be named beside it.
        Some((bottle, brake)) if bottle == brake && bottle.is_exact() => {
            why.grant(LISTED, &over);
            why.named(MAKER, ends.bottle.maker, &[rule.named]);
        }
        _ => why.ask(LISTED, &over),
    }
}
