//! Another freehub body on a hub. Nothing but the list of the hub's maker says which bodies a hub
//! takes; the way a body is fixed can only rule it out.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        body { for_hub: Name, fixing: Name, spline: Name }
        hub { fixing: Name, spline: Name }
    }
    names { this_hub = "body_for.this_hub", hg_s = "freehub.hg_s" }
    codes {
        LISTED = "listed",
        FIXING = "fixing",
        DOUBTED = "list-contradicted",
        SAME_KIND = "same-kind",
        END_CAP = "end-cap",
        WIDTH = "width-changes",
    }
}

/// Asks for the maker's list, and says what changes with another kind of body.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { body, hub } = ends;
    why.named(LISTED, body.for_hub, &[rule.this_hub]);
    let fixed = body.fixing.label().zip(hub.fixing.label());
    let listed = body.for_hub.is(rule.this_hub) == Some(true);
    match fixed {
        // Without the list a fixing alone proves nothing, so it is not asked for.
        Some(_) if !listed => why.same(FIXING, body.fixing, hub.fixing),
        // The list names the body, and somebody looked and found it otherwise.
        Some((on_body, on_hub)) if on_body != on_hub => {
            why.ask(DOUBTED, &[body.fixing.field, hub.fixing.field]);
        }
        _ => {}
    }
    let kinds = [body.spline.field, hub.spline.field];
    match body.spline.label().zip(hub.spline.label()) {
        Some((new, old)) if new == old => why.grant(SAME_KIND, &kinds),
        // Beside the 7-speed body the others are so much longer that the hub comes out wider.
        Some((new, old)) if ![Some(new), Some(old)].contains(&rule.hg_s) => why.mend(END_CAP, &kinds),
        _ => why.ask(WIDTH, &kinds),
    }
}
