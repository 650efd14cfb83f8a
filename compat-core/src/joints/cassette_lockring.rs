//! The ring that holds the cogs: its thread against the body, and its rim under the smallest cog.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        ring { thread: Name, from_cog: Count }
        cassette { fitting: Name, smallest_cog: Count }
        body { spline: Name }
    }
    limits { large_from: Count }
    tables { threads, cogs }
    names { track_iso = "lockring_thread.track_iso", track_italian = "lockring_thread.track_italian" }
    codes { THREAD = "thread", COGS = "cogs", RIM_LARGE = "rim-too-large", RIM_SMALL = "rim-small" }
}

/// Looks the thread up and compares the rim with the smallest cog.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { ring, cassette, body } = ends;
    why.pair(THREAD, rule.threads, ring.thread, body.spline);
    why.pair(COGS, rule.cogs, ring.thread, cassette.fitting);
    // A track ring bears on the boss of the cog, whatever its teeth; one nobody named may be one.
    let track = [rule.track_iso, rule.track_italian];
    if ring.thread.label().is_none() || track.contains(&ring.thread.label()) {
        return;
    }
    why.not_above(RIM_LARGE, &ring.from_cog.sum(), cassette.smallest_cog);
    let (Some(rim), Some(cog), Some(large)) =
        (ring.from_cog.span(), cassette.smallest_cog.span(), rule.large_from.span(why.strict))
    else {
        return;
    };
    // From a size on one ring does for every cog; below it each cog has its own.
    if rim.low < large.high && cog.high > rim.low {
        why.ask(RIM_SMALL, &[ring.from_cog.field, cassette.smallest_cog.field]);
    }
}
