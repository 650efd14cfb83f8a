//! A chain guide on the frame: tabs round the shell, a plate under the cup, a tab or a band; and the
//! rings it is made for.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        guide { mount: Name, least_ring: Count, most_ring: Count }
        frame { tabs: Name, place: Name, shell: Name }
        rings { largest_ring: Count, smallest_ring: Count }
    }
    tables { on_tabs, on_place, under_cup }
    names { under = "guide_mount.bottom_bracket" }
    codes {
        TABS = "tabs",
        PLACE = "place",
        CUP = "cup",
        RING_TOO_LARGE = "ring-too-large",
        RING_TOO_SMALL = "ring-too-small",
    }
}

/// Looks the mount up and compares the rings with the guide's range.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { guide, frame, rings } = ends;
    why.pair(TABS, rule.on_tabs, guide.mount, frame.tabs);
    why.pair(PLACE, rule.on_place, guide.mount, frame.place);
    if guide.mount.is(rule.under) == Some(true) {
        why.pair(CUP, rule.under_cup, guide.mount, frame.shell);
    }
    why.not_above(RING_TOO_LARGE, &rings.largest_ring.sum(), guide.most_ring);
    why.not_below(RING_TOO_SMALL, &rings.smallest_ring.sum(), guide.least_ring);
}
