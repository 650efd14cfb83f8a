//! Wear: whether the chain still has the pitch the cogs are cut for, and whether the cogs still have
//! the pitch of the chain.
//!
//! A worn chain wears new cogs to its own pitch. A new chain on cogs that a worn one has shaped may
//! skip under load, and only a trial tells.

use super::compare::{Trace, Why};
use super::family::{Dim, Limit, family};
use crate::dim::{Count, Percent};
use crate::verdict::Side;

family! {
    ends {
        chain { speeds: Count, rollers: Name, elongation: Percent }
        cogs { speeds: Count, worn_by: Percent }
    }
    limits {
        few_cogs: Count,
        middle_cogs: Count,
        few: Percent,
        middle: Percent,
        many: Percent,
        large_rollers: Percent,
    }
    names { large = "rollers.large" }
    codes {
        WORN = "worn-chain",
        BOTH_WORN = "both-worn",
        SKIPS = "may-skip",
    }
}

/// Compares the chain's elongation with its limit, then what the cogs have run with.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { chain, cogs } = ends;
    let over = [chain.elongation.field, cogs.worn_by.field, chain.speeds.field, chain.rollers.field];
    let (limit, certain) = limit(ends, rule, why.strict);
    let strict = why.strict;
    let sure = |dim: Dim<'_, Percent>| {
        let worn = beyond(dim, limit, strict)?;
        (certain || !worn).then_some(worn)
    };
    // Above where the limit begins neither is surely within it, however exactly it is measured.
    let within = |dim: Dim<'_, Percent>| {
        let (reading, limit) = (dim.span()?, limit.span(strict)?);
        Some(!certain || reading.low <= limit.low)
    };
    if within(chain.elongation).zip(within(cogs.worn_by)) != Some((true, true)) {
        why.leave_open();
    }
    match (sure(chain.elongation), sure(cogs.worn_by)) {
        (Some(_), Some(false)) => {
            why.computed(WORN, &over, chain.elongation.span(), Side::AtMost, limit);
        }
        (Some(true) | None, _) => why.ask(BOTH_WORN, &over),
        (Some(false), _) => why.ask(SKIPS, &over),
    }
}

/// The limit for the chain, by how many speeds it is made for and by its rollers, and whether that is
/// certain. Where it is not, the least of them.
fn limit(ends: &Ends<'_>, rule: &Rule<'_>, strict: bool) -> (Limit<Percent>, bool) {
    let Ends { chain, .. } = ends;
    let up_to = |limit: Limit<Count>| {
        let (speeds, limit) = (chain.speeds.span()?, limit.span(strict)?);
        match () {
            () if speeds.high <= limit.low => Some(true),
            () if speeds.low > limit.high => Some(false),
            () => None,
        }
    };
    match (up_to(rule.few_cogs), up_to(rule.middle_cogs)) {
        (Some(true), _) => (rule.few, true),
        (Some(false), Some(true)) => (rule.middle, true),
        (_, Some(false)) => match chain.rollers.is(rule.large) {
            Some(true) => (rule.large_rollers, true),
            large => (rule.many, large == Some(false)),
        },
        _ => (rule.many, false),
    }
}

/// Whether a reading lies surely beyond the limit, or surely within it.
fn beyond(dim: Dim<'_, Percent>, limit: Limit<Percent>, strict: bool) -> Option<bool> {
    let (reading, limit) = (dim.span()?, limit.span(strict)?);
    match () {
        () if reading.low > limit.high => Some(true),
        () if reading.high <= limit.low => Some(false),
        () => None,
    }
}
