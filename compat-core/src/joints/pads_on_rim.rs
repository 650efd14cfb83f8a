//! The compound of rim brake pads on the track they are pressed against. Disc pads touch no rim, and
//! a shoe for a rim holds none.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        pads { compound: Name, fixing: Name }
        rim { track: Name }
    }
    tables { on }
    names {
        disc = "pad_fixing.disc",
        resin = "pad_compound.resin",
        semi = "pad_compound.semi",
        metal = "pad_compound.metal",
    }
    codes { COMPOUND = "compound", DISC = "disc-pads", SHOE = "disc-compound" }
}

/// Looks the pair up, for what is no disc pad.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { pads, rim } = ends;
    let compound = pads.compound.label();
    // Pads nobody has looked at may be for discs, and those touch no rim.
    if compound.is_none() {
        return why.ask(COMPOUND, &[pads.compound.field, pads.fixing.field, rim.track.field]);
    }
    let for_discs = compound.is_some() && [rule.resin, rule.semi, rule.metal].contains(&compound);
    if !for_discs {
        return why.pair(COMPOUND, rule.on, pads.compound, rim.track);
    }
    let over = [pads.compound.field, pads.fixing.field];
    match pads.fixing.is(rule.disc) {
        Some(true) => why.grant(DISC, &over),
        Some(false) => why.refuse(SHOE, &over),
        None => why.ask(SHOE, &over),
    }
}
