//! The plug of a light at a dynamo hub. One end of the light's cable meets one kind of contact; a
//! contact in the dropout wants a fork made with it.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        hub { contact: Name }
        light { plug: Name }
        fork { plate: Name }
    }
    tables { plugs }
    names { dropout = "dynamo_contact.dropout", yes = "allowed.yes" }
    codes { PLUG = "plug", PLATE = "contact-plate" }
}

/// Looks the plug up, and the fork's contact where the hub has no other.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { hub, light, fork } = ends;
    why.pair(PLUG, rule.plugs, hub.contact, light.plug);
    if hub.contact.is(rule.dropout) == Some(true) {
        why.named(PLATE, fork.plate, &[rule.yes]);
    }
}
