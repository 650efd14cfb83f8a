//! Whether the rim has what the brake works on: a track, for a rim brake.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        brake { mount: Name }
        rim { track: Name }
    }
    tables { tracks }
    codes { TRACK = "no-brake-track" }
}

/// Looks the pair up; under a disc brake the track is not asked for.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    why.pair(TRACK, rule.tracks, ends.brake.mount, ends.rim.track);
}
