//! Shifter, rear derailleur and cassette as an indexed set, with or without a converter in the cable.
//!
//! A click must carry the cage by one cog pitch, and what it is off adds up over the cassette. The
//! published numbers are rounded, so they can rule a set out and never prove one: what nobody
//! publishes as working together is to be tried on the stand, however well the numbers agree.

use super::compare::{Trace, Why};
use super::family::{Dim, PairTable, Says, family};
use crate::dim::{Count, Label, Name, Quantity, Span};
use crate::formula::indexing::{Known, Off, cable_wanted, chained};
use crate::verdict::{Field, Grade, Side};

family! {
    ends {
        shifter { speeds: Count, system: Name, pull: Length, uneven: Length, whole_pull: Length }
        derailleur { system: Name, ratio: Ratio, steps: Count }
        cassette { speeds: Count, cogs_of: Name, pitch: Length, fitting: Name, largest_cog: Count }
        converter (optional) { ratio: Ratio, shifter: Name, derailleur: Name, cogs: Name }
    }
    limits { most_off: Length, least_spare: Length }
    tables { together, sets, cabled }
    names {
        friction = "shift_system.friction",
        narrow = "cog_spacing.six_narrow",
        j_first = "shift_system.j_electronic_first",
        j_10 = "shift_system.j_electronic_10",
        j_11 = "shift_system.j_electronic_11",
        j_11_mtb = "shift_system.j_electronic_11_mtb",
        j_12 = "shift_system.j_electronic_12",
        u_11 = "shift_system.u_wireless_11",
        u_12 = "shift_system.u_wireless_12",
        u_12_mtb = "shift_system.u_wireless_12_mtb",
        u_12_t = "shift_system.u_wireless_12_t",
        it_11 = "shift_system.it_electronic_11",
        it_12 = "shift_system.it_electronic_12",
        it_12_wireless = "shift_system.it_wireless_12",
        it_13_wireless = "shift_system.it_wireless_13",
    }
    codes {
        TOGETHER = "together",
        COGS = "cogs",
        CABLED = "cabled",
        FOR_SHIFTER = "converter-shifter",
        FOR_DERAILLEUR = "converter-derailleur",
        FOR_COGS = "converter-cogs",
        CLICKS = "clicks",
        MOTOR_STEPS = "motor-steps",
        STEP = "step",
        STEP_SHORT = "step-short",
        STEP_LONG = "step-long",
        STATED = "step-contradicted",
        WORST = "worst-cog",
        WANTED = "converter-wanted",
        NO_CLICKS = "no-clicks",
        LEVER_SHORT = "lever-short",
        SPARE_CLICKS = "spare-clicks",
        COUNTED = "friction-contradicted",
    }
}

/// Looks the systems up, counts the clicks and compares the step with the pitch over the cassette.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { shifter, derailleur, cassette, converter } = ends;
    if converter.present {
        return converted(ends, rule, why);
    }
    why.pair(TOGETHER, rule.together, shifter.system, derailleur.system);
    let derails = derailleur.system.label();
    if shifter.system.label().is_none() {
        // A lever nobody named has clicks if somebody counted them, and a derailleur worked by a
        // cable makes them the ones that count.
        if shifter.speeds.span().is_some() && derails.is_some() && !electronic(rule, derails) {
            clicks(ends, why);
        }
        return why.pair(COGS, rule.sets, shifter.system, cassette.cogs_of);
    }
    if shifter.system.is(rule.friction) == Some(true) {
        return without_clicks(ends, rule, why);
    }
    // An electronic derailleur steps by itself: it is the derailleur that wants its own cogs, and
    // the lever has no clicks to count.
    if electronic(rule, shifter.system.label()) {
        if electronic(rule, derails) {
            why.not_below(MOTOR_STEPS, &derailleur.steps.sum(), cassette.speeds);
        }
        return why.pair(COGS, rule.sets, derailleur.system, cassette.cogs_of);
    }
    why.pair(COGS, rule.sets, shifter.system, cassette.cogs_of);
    clicks(ends, why);
    steps(ends, rule, why);
}

/// True for a system whose derailleur has a motor.
fn electronic(rule: &Rule<'_>, name: Option<Label>) -> bool {
    let wired = [rule.j_first, rule.j_10, rule.j_11, rule.j_11_mtb, rule.j_12, rule.it_11, rule.it_12];
    let wireless = [rule.u_11, rule.u_12, rule.u_12_mtb, rule.u_12_t, rule.it_12_wireless, rule.it_13_wireless];
    name.is_some() && (wired.contains(&name) || wireless.contains(&name))
}

/// With a converter in the cable no list of pairs holds: its maker names what it is for, and the
/// numbers may rule it out.
fn converted<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { shifter, derailleur, cassette, converter } = ends;
    why.pair(CABLED, rule.cabled, shifter.system, derailleur.system);
    if shifter.system.is(rule.friction) == Some(true) {
        return without_clicks(ends, rule, why);
    }
    why.same(FOR_SHIFTER, converter.shifter, shifter.system);
    if shifter.system.label().is_none() {
        // One without clicks would not mind what the converter is listed for.
        return;
    }
    why.same(FOR_DERAILLEUR, converter.derailleur, derailleur.system);
    why.same(FOR_COGS, converter.cogs, cassette.cogs_of);
    clicks(ends, why);
    measured(ends, rule, why);
}

/// A lever without clicks needs nothing but cable enough.
fn without_clicks<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { shifter, derailleur, cassette, .. } = ends;
    // A lever without clicks has no number of them; one that was counted is another lever.
    if shifter.speeds.span().is_some() {
        why.not_below(COUNTED, &shifter.speeds.sum(), cassette.speeds);
    }
    why.grant(NO_CLICKS, &[shifter.system.field]);
    if electronic(rule, derailleur.system.label()) {
        return;
    }
    let known = shift(ends).zip(cassette.pitch.span()).zip(cassette.speeds.span());
    let wanted = known.and_then(|((shift, pitch), cogs)| cable_wanted(shift, pitch, cogs));
    let spare = shifter.whole_pull.span().zip(wanted).map(|(has, wanted)| has.plus(wanted.negated()));
    let mut over = vec![shifter.whole_pull.field];
    over.extend(cage_over(ends));
    why.computed(LEVER_SHORT, &over, spare, Side::AtLeast, rule.least_spare);
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
    let Ends { shifter, derailleur, cassette, .. } = ends;
    // With a name that is missing the catalogue may know the numbers. Two parts that work together
    // prove nothing of a third: the step rests on all of them.
    let names = [shifter.system, derailleur.system, cassette.cogs_of];
    let named = names.iter().all(|name| name.label().is_some()) && shifter.speeds.span().is_some();
    if numbers(ends).is_none() && !named {
        let all = [shifter.system.field, shifter.speeds.field, derailleur.system.field, cassette.cogs_of.field];
        return why.ask(STEP, &all);
    }
    // Such a set, whole, with its own cogs and a click for each, is published to work, and rounded
    // numbers do not shake that; what was measured may. Six narrow cogs stand as seven do, and go with
    // a lever for seven.
    let whole = fits(rule.together, shifter.system, derailleur.system, why.strict)
        && fits(rule.sets, shifter.system, cassette.cogs_of, why.strict)
        && cassette.cogs_of.is(rule.narrow) == Some(false)
        && counted(shifter.speeds).is_some_and(|clicks| counted(cassette.speeds) == Some(clicks));
    if !whole {
        return measured(ends, rule, why);
    }
    let off = numbers(ends).and_then(|known| known.off()).zip(rule.most_off.span(why.strict));
    let Some((off, most)) = off else { return };
    for far in [off.short, off.long].into_iter().filter(|far| far.low > most.high) {
        why.computed(STATED, &numbers_over(ends), Some(far), Side::AtMost, rule.most_off);
    }
}

/// How far off the worst cog is, by the numbers.
fn measured<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let over = numbers_over(ends);
    let known = numbers(ends);
    let Some(off) = known.and_then(|known| known.off()) else {
        return why.computed(STEP_SHORT, &over, None, Side::AtMost, rule.most_off);
    };
    if off.short.high > 0 || off.long.high == 0 {
        why.computed(STEP_SHORT, &over, Some(off.short), Side::AtMost, rule.most_off);
    }
    if off.long.high > 0 {
        why.computed(STEP_LONG, &over, Some(off.long), Side::AtMost, rule.most_off);
    }
    let most = rule.most_off.span(why.strict);
    let fails = most.is_some_and(|most| off.short.low.max(off.long.low) > most.high);
    let worst = off_worst(off).filter(|_| !fails);
    why.tell(WORST, &over, Quantity::Length, worst);
    let wanted = known.filter(|_| fails && !ends.converter.present).and_then(|known| known.wanted());
    why.tell(WANTED, &over, Quantity::Ratio, wanted);
}

/// The worse of both sides.
fn off_worst(off: Off) -> Option<Span> {
    let (short, long) = (off.short, off.long);
    let worst = Span {
        low: short.low.max(long.low),
        high: short.high.max(long.high),
    };
    (worst.high > 0).then_some(worst)
}

/// A count, where it is one number.
fn counted(speeds: Dim<'_, Count>) -> Option<i64> {
    speeds.span().filter(|span| span.is_exact()).map(|span| span.low)
}

/// Cage travel for cable at the shifter: the derailleur's ratio, and the converter's where one is in.
fn shift(ends: &Ends<'_>) -> Option<Span> {
    let ratio = ends.derailleur.ratio.span()?;
    if !ends.converter.present {
        return Some(ratio);
    }
    chained(ratio, ends.converter.ratio.span()?)
}

fn numbers(ends: &Ends<'_>) -> Option<Known> {
    Some(Known {
        pull: ends.shifter.pull.span()?,
        uneven: ends.shifter.uneven.span()?,
        shift: shift(ends)?,
        pitch: ends.cassette.pitch.span()?,
        cogs: ends.cassette.speeds.span()?,
    })
}

/// What the numbers rest on.
fn numbers_over(ends: &Ends<'_>) -> Vec<Field> {
    let mut over = vec![ends.shifter.pull.field, ends.shifter.uneven.field];
    over.extend(cage_over(ends));
    over
}

/// What the way of the cage over the cassette rests on.
fn cage_over(ends: &Ends<'_>) -> impl Iterator<Item = Field> {
    let Ends { derailleur, cassette, converter, .. } = ends;
    let between = converter.present.then_some(converter.ratio.field);
    let cage = [derailleur.ratio.field, cassette.pitch.field, cassette.speeds.field];
    cage.into_iter().chain(between)
}

/// Whether a table lists a pair as fitting.
fn fits(table: Option<&PairTable>, a: Dim<'_, Name>, b: Dim<'_, Name>, strict: bool) -> bool {
    let (Some(table), Some(a), Some(b)) = (table, a.label(), b.label()) else {
        return false;
    };
    let (says, _, grade) = table.says(a, b);
    matches!(says, Says::Fits | Says::With(_)) && !(strict && grade == Grade::Memory)
}
