//! Pads in their brake: how they are held, and for a disc brake or an insert whether they are made
//! for this very one.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        pads { fixing: Name, model: Count, maker: Name, compound: Name }
        brake { mount: Name, fixing: Name, model: Count }
        rotor (optional) { allows: Name }
        rim (optional) { track: Name }
    }
    tables { held }
    names {
        named = "allowed.yes",
        disc = "pad_fixing.disc",
        insert_road = "pad_fixing.insert_road",
        insert_post = "pad_fixing.insert_post",
        resin = "pad_compound.resin",
    }
    codes {
        HELD = "held",
        SHAPE = "shape",
        MAKER = "other-maker",
        SURFACE = "what-they-touch",
        NOT_LISTED = "nobody-wrote-what-they-touch",
    }
}

/// Looks the fixing up; a shape is right where the package names the brake.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { pads, brake, .. } = ends;
    why.pair(HELD, rule.held, pads.fixing, brake.fixing);
    touched(ends, rule, why);
    let shaped = [rule.disc, rule.insert_road, rule.insert_post];
    let shape = pads.fixing.label();
    if shape.is_some() && !shaped.contains(&shape) {
        return;
    }
    let over = [pads.model.field, brake.model.field];
    match pads.model.span().zip(brake.model.span()) {
        // Two makers may use one number: the brake's own must be named beside it.
        Some((pads, brake)) if pads == brake && pads.is_exact() => {
            why.grant(SHAPE, &over);
            // Of pads that are held by a post the shape says nothing.
            match shape.is_some() || ends.pads.maker.is(rule.named) == Some(true) {
                true => why.named(MAKER, ends.pads.maker, &[rule.named]),
                false => why.ask(MAKER, &[ends.pads.maker.field, ends.pads.fixing.field]),
            }
        }
        _ => why.ask(SHAPE, &over),
    }
}

/// What the pads are pressed against, where it is not written down: resin goes on every rotor, any other
/// compound is forbidden on some, and what goes on one rim ruins another.
fn touched<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { pads, rotor, rim, .. } = ends;
    let over = [pads.compound.field, pads.fixing.field];
    let resin = pads.compound.is(rule.resin) == Some(true);
    let listed = match pads.fixing.is(rule.disc) {
        Some(true) => rotor.present || resin,
        Some(false) => rim.present,
        None => rotor.present && rim.present,
    };
    match listed {
        true => why.grant(SURFACE, &over),
        false => why.ask(NOT_LISTED, &over),
    }
}
