//! Shifter, rear derailleur and cassette as an indexed set.
//!
//! A click must carry the cage by one cog pitch: pull x ratio against pitch. That alone makes no
//! set: what nobody publishes as working together is to be tried on the stand, however well the
//! numbers agree; and where the numbers disagree no list of names helps.

use super::compare::{Trace, Why};
use super::family::{Dim, PairTable, Says, family};
use crate::dim::{Label, Count, Name, Quantity};
use crate::formula::indexing::Known;
use crate::verdict::{Grade, Side};

family! {
    ends {
        shifter { speeds: Count, system: Name, pull: Length }
        derailleur { system: Name, ratio: Ratio }
        cassette { speeds: Count, cogs_of: Name, pitch: Length }
    }
    limits { least_step: Ratio, most_step: Ratio }
    tables { together, sets }
    names {
        friction = "shift_system.friction",
        wired_10 = "shift_system.j_electronic_10",
        wired_11 = "shift_system.j_electronic_11",
        wireless_12 = "shift_system.u_wireless_12",
    }
    codes {
        TOGETHER = "together",
        COGS = "cogs",
        CLICKS = "clicks",
        STEP = "step",
        STEP_SHORT = "step-short",
        STEP_LONG = "step-long",
        NO_CLICKS = "no-clicks",
        SPARE_CLICKS = "spare-clicks",
        LAST_COG = "last-cog",
        COUNTED = "friction-contradicted",
    }
}

/// Looks the systems up, counts the clicks and compares the step with the pitch.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { shifter, derailleur, cassette } = ends;
    why.pair(TOGETHER, rule.together, shifter.system, derailleur.system);
    let electronic = [rule.wired_10, rule.wired_11, rule.wireless_12];
    let is_electronic = |name: Option<Label>| name.is_some() && electronic.contains(&name);
    let derails = derailleur.system.label();
    if shifter.system.label().is_none() {
        // A lever nobody named has clicks if somebody counted them, and a derailleur worked by a
        // cable makes them the ones that count.
        if shifter.speeds.span().is_some() && derails.is_some() && !is_electronic(derails) {
            clicks(ends, why);
        }
        return why.pair(COGS, rule.sets, shifter.system, cassette.cogs_of);
    }
    if shifter.system.is(rule.friction) == Some(true) {
        // A lever without clicks has no number of them; one that was counted is another lever.
        if shifter.speeds.span().is_some() {
            why.not_below(COUNTED, &shifter.speeds.sum(), cassette.speeds);
        }
        return why.grant(NO_CLICKS, &[shifter.system.field]);
    }
    // An electronic derailleur steps by itself: it is the derailleur that wants its own cogs, and
    // the lever has no clicks to count.
    if is_electronic(shifter.system.label()) {
        return why.pair(COGS, rule.sets, derailleur.system, cassette.cogs_of);
    }
    why.pair(COGS, rule.sets, shifter.system, cassette.cogs_of);
    clicks(ends, why);
    steps(ends, rule, why);
}

/// The clicks of the shifter against the cogs.
fn clicks<T: Trace>(ends: &Ends<'_>, why: &mut Why<T>) {
    let (has, wants) = (ends.shifter.speeds, ends.cassette.speeds);
    why.not_below(CLICKS, &has.sum(), wants);
    let spare = (has - wants).span().filter(|spare| spare.low > 0);
    why.tell(SPARE_CLICKS, &[has.field, wants.field], Quantity::Count, spare);
}

/// The step of a click against the pitch of the cogs.
fn steps<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { shifter, derailleur, cassette } = ends;
    let known = numbers(ends);
    // The makers of some sets publish no pull. Such a set, whole, with its own cogs and a click for
    // each, needs none.
    let whole = fits(rule.together, shifter.system, derailleur.system, why.strict)
        && fits(rule.sets, shifter.system, cassette.cogs_of, why.strict)
        && counted(shifter.speeds).is_some_and(|clicks| counted(cassette.speeds) == Some(clicks));
    // With a name that is missing the catalogue may know the numbers. Two parts that work together
    // prove nothing of a third: the step rests on all of them.
    let names = [shifter.system, derailleur.system, cassette.cogs_of];
    let named = names.iter().all(|name| name.label().is_some()) && shifter.speeds.span().is_some();
    if known.is_none() && !named {
        let all = [shifter.system.field, shifter.speeds.field, derailleur.system.field, cassette.cogs_of.field];
        return why.ask(STEP, &all);
    }
    if known.is_none() && whole {
        return;
    }
    let over = [shifter.pull.field, derailleur.ratio.field, cassette.pitch.field];
    let share = known.and_then(|known| known.share());
    why.computed(STEP_SHORT, &over, share, Side::AtLeast, rule.least_step);
    why.computed(STEP_LONG, &over, share, Side::AtMost, rule.most_step);
    let off = known.zip(counted(cassette.speeds)).and_then(|(known, cogs)| known.drift(cogs));
    why.tell(LAST_COG, &over, Quantity::Length, off);
}

/// A count, where it is one number.
fn counted(speeds: Dim<'_, Count>) -> Option<i64> {
    speeds.span().filter(|span| span.is_exact()).map(|span| span.low)
}

fn numbers(ends: &Ends<'_>) -> Option<Known> {
    Some(Known {
        pull: ends.shifter.pull.span()?,
        shift: ends.derailleur.ratio.span()?,
        pitch: ends.cassette.pitch.span()?,
    })
}

/// Whether a table lists a pair as fitting.
fn fits(table: Option<&PairTable>, a: Dim<'_, Name>, b: Dim<'_, Name>, strict: bool) -> bool {
    let (Some(table), Some(a), Some(b)) = (table, a.label(), b.label()) else {
        return false;
    };
    let (says, _, grade) = table.says(a, b);
    matches!(says, Says::Fits | Says::With(_)) && !(strict && grade == Grade::Memory)
}
