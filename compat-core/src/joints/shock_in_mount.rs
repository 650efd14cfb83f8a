//! One end of a rear shock in its mount: the make of mount, and for an eye the hardware in it.
//!
//! The hardware of a plain eye is a part of its own and cheap: where only that is wrong, the shock
//! fits with another set. A set that is on the bike as a part stands in the place of what came in the
//! eye. Trunnions have none, so nothing is asked of them.

use super::compare::{Trace, Why};
use super::family::{Limit, family};
use crate::dim::Span;

family! {
    ends {
        shock { mount: Name, width: Shaft, bolt: Bore }
        place { mount: Name, gap: Bore, bolt: Shaft }
        set (optional) { width: Shaft, bolt: Bore }
    }
    limits {
        tightest: Length,
        loosest: Length,
        bolt_tightest: Length,
        bolt_loosest: Length,
        narrowest: Bore,
        widest: Bore,
        thinnest: Shaft,
        thickest: Shaft,
    }
    tables { kind }
    names { eyelet = "shock_mount.eyelet", bearing = "shock_mount.bearing_eyelet" }
    codes {
        KIND = "mount",
        TOO_WIDE = "hardware-too-wide",
        TOO_NARROW = "hardware-too-narrow",
        HOLE_SMALL = "hole-too-small",
        HOLE_LARGE = "hole-too-large",
        HARDWARE = "other-hardware",
    }
}

/// Looks the mounts up, then compares the hardware where there is any.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { shock, place, set } = ends;
    why.pair(KIND, rule.kind, shock.mount, place.mount);
    let eye = |mount: &crate::joints::Dim<'_, crate::dim::Name>| {
        (mount.is(rule.eyelet), mount.is(rule.bearing))
    };
    let (plain, bearing) = eye(&shock.mount);
    if plain != Some(true) && bearing != Some(true) {
        return;
    }
    // Which hardware there is depends on both mounts, so it waits for both.
    if place.mount.label().is_none() || eye(&place.mount) == (Some(false), Some(false)) {
        return;
    }
    let (width, hole) = if set.present { (set.width, set.bolt) } else { (shock.width, shock.bolt) };
    let room = place.gap - width;
    let play = hole - place.bolt;
    let strict = why.strict;
    let right = inside(room.span(), (rule.tightest, rule.loosest), strict)
        && inside(play.span(), (rule.bolt_tightest, rule.bolt_loosest), strict);
    // A plain eye takes whatever hardware the frame asks for: what is in it now, or whether there
    // is any, only tells whether it must be changed.
    let both = plain == Some(true) && place.mount.is(rule.eyelet) == Some(true);
    if both && !right && !set.present {
        let made = inside(place.gap.span(), (rule.narrowest, rule.widest), strict)
            && inside(place.bolt.span(), (rule.thinnest, rule.thickest), strict);
        let over = [place.gap.field, place.bolt.field, width.field, hole.field];
        return match made {
            true => why.mend(HARDWARE, &over),
            false => why.ask(HARDWARE, &over),
        };
    }
    why.at_least(TOO_WIDE, &room, rule.tightest);
    why.at_most(TOO_NARROW, &room, rule.loosest);
    why.at_least(HOLE_SMALL, &play, rule.bolt_tightest);
    why.at_most(HOLE_LARGE, &play, rule.bolt_loosest);
}

/// True where a reading is inside both limits, whatever it is.
fn inside<K>(reading: Option<Span>, (least, most): (Limit<K>, Limit<K>), strict: bool) -> bool {
    let limits = least.span(strict).zip(most.span(strict));
    let known = reading.zip(limits);
    known.is_some_and(|(reading, (least, most))| reading.low >= least.high && reading.high <= most.low)
}
