//! Whether the rim has what the brake works on: a track, for a rim brake, and for a calliper one that it
//! opens wide enough for.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        brake { mount: Name, widest: Length }
        rim { track: Name, inner: Length, outer: Length }
    }
    tables { tracks }
    names { centre_bolt = "brake_mount.centre_bolt", direct_bosses = "brake_mount.direct_bosses" }
    codes { TRACK = "no-brake-track", WIDE = "wider-than-brake-opens" }
}

/// Looks the pair up; under a disc brake the track is not asked for.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { brake, rim } = ends;
    why.pair(TRACK, rule.tracks, brake.mount, rim.track);
    // Arms on bosses open as far as their cable lets them.
    let known = rim.outer.span().zip(brake.widest.span());
    let opens = known.is_some_and(|(rim, brake)| rim.high <= brake.low);
    match brake.mount.label() {
        None if opens => why.grant(WIDE, &[rim.outer.field, brake.widest.field]),
        None => why.ask(WIDE, &[brake.mount.field, rim.outer.field, brake.widest.field]),
        mount if [rule.centre_bolt, rule.direct_bosses].contains(&mount) => {
            why.not_above(WIDE, &rim.outer.sum(), brake.widest);
        }
        Some(_) => {}
    }
}
