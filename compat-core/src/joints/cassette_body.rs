//! Cogs on a hub: the splines or the thread, and on HG bodies the spacers behind the cassette.
//!
//! HG bodies share their splines and differ in length. What the body has more than the cassette is
//! made for goes behind the cassette in spacers; where it has less, cogs must be left out. Every
//! other body takes only cassettes of its own length, and the table of pairs says all. A freewheel is
//! screwed on, and its cogs must also find room between the thread's shoulder and the dropout.

use super::compare::{Sum, Trace, Why};
use super::family::family;
use crate::dim::{Length, Quantity, Span};
use crate::formula::stack;
use crate::verdict::{Field, Side};

family! {
    ends {
        cassette {
            fitting: Name,
            made_for: Length,
            own_spacer: Length,
            left_out: Count,
            cogs_of: Name,
            speeds: Count,
            pitch: Length,
            smallest_cog: Count,
            largest_cog: Count,
            stack: Length,
        }
        body { spline: Name, length: Length }
        hub (optional) { spacing: Length, room: Length, cogs: Count }
    }
    limits { shortest: Length, no_spacer: Length, vague: Length, smallest_on_hg: Count }
    tables { on }
    names {
        hg_s = "freehub.hg_s",
        hg_m = "freehub.hg_m",
        hg_l = "freehub.hg_l",
        single = "cassette_fitting.hg_single",
        iso = "cassette_fitting.freewheel_iso",
        british = "cassette_fitting.freewheel_british",
        italian = "cassette_fitting.freewheel_italian",
        french = "cassette_fitting.freewheel_french",
        helical = "cassette_fitting.helicomatic",
        uniglide = "cassette_fitting.uniglide_usual",
        uniglide_small = "cassette_fitting.uniglide_small",
        uniglide_body = "freehub.uniglide_usual",
        uniglide_small_body = "freehub.uniglide_small",
    }
    codes {
        SPLINE = "spline",
        SMALL_COG = "smallest-cog",
        TOO_LONG = "too-long",
        LEAVE_OUT = "leave-out",
        LEFT_OUT = "cogs-left-out",
        NO_SPACER = "no-spacer",
        LITTLE_ROOM = "little-room",
        OWN_SPACER = "own-spacer",
        SPACERS = "spacers",
        AROUND = "around-one-cog",
        TOO_WIDE = "freewheel-too-wide",
        FOR_FEWER = "body-for-fewer",
    }
}

/// Looks the pair up, and on an HG body works out what goes behind the cassette.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { cassette, body, hub } = ends;
    why.pair(SPLINE, rule.on, cassette.fitting, body.spline);
    // Cogs with a freewheel of their own stand free: nothing but the room beside the dropout ends them.
    let free = [rule.iso, rule.british, rule.italian, rule.french, rule.helical];
    if hub.present && cassette.fitting.label().is_some_and(|fitting| free.contains(&Some(fitting))) {
        room_beside(ends, why);
    }
    // The smallest cog of these is screwed on outside the others, and their splines end with the body.
    let cogs = [rule.uniglide, rule.uniglide_small].contains(&cassette.fitting.label());
    let of_it = [rule.uniglide_body, rule.uniglide_small_body].contains(&body.spline.label());
    if cogs && of_it && cassette.fitting.label().is_some() && body.spline.label().is_some() {
        why.not_above(FOR_FEWER, &cassette.speeds.sum(), hub.cogs);
    }
    let hg = [rule.hg_s, rule.hg_m, rule.hg_l];
    if body.spline.label().is_none() || !hg.contains(&body.spline.label()) {
        return;
    }
    let small = cassette.smallest_cog.span().zip(rule.smallest_on_hg.span(why.strict));
    if small.is_none_or(|(cog, least)| cog.low < least.high) {
        why.at_least(SMALL_COG, &cassette.smallest_cog.sum(), rule.smallest_on_hg);
    }
    if cassette.fitting.label().is_some() {
        lengths(ends, rule, why);
    }
}

/// The cogs of a freewheel against the room up to the dropout. A single one has none beside it.
fn room_beside<T: Trace>(ends: &Ends<'_>, why: &mut Why<T>) {
    let Ends { cassette, hub, .. } = ends;
    let over = (cassette.stack - hub.room).span();
    let all = [cassette.stack.field, hub.room.field, cassette.speeds.field];
    match cassette.speeds.span() {
        Some(cogs) if cogs.high <= 1 => {}
        Some(cogs) if cogs.low > 1 => why.not_above(TOO_WIDE, &cassette.stack.sum(), hub.room),
        _ if over.is_some_and(|over| over.high <= 0) => why.grant(TOO_WIDE, &all),
        _ => why.ask(TOO_WIDE, &all),
    }
}

/// The length of the body against what the cassette is made for.
fn lengths<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { cassette, body, .. } = ends;
    let whole: Sum<Length> = body.length - cassette.made_for;
    let shorter = cassette.left_out.span().and_then(|out| stack::shorter(out, cassette.pitch.span()));
    let room = whole.span().zip(shorter).map(|(whole, shorter)| whole.plus(shorter));
    let complete = shorter == Some(Span::exactly(0));
    let two = [body.length.field, cassette.made_for.field];
    let four = [two[0], two[1], cassette.left_out.field, cassette.pitch.field];
    let over: &[Field] = if complete { &two } else { &four };
    let limits = [rule.shortest, rule.no_spacer, rule.vague].map(|limit| limit.span(why.strict));
    let [Some(shortest), Some(no_spacer), Some(vague)] = limits else {
        return why.ask(TOO_LONG, over);
    };
    let Some(room) = room.filter(|room| room.low >= shortest.high) else {
        if complete {
            why.at_least(TOO_LONG, &whole, rule.shortest);
        } else {
            why.computed(TOO_LONG, over, room, Side::AtLeast, rule.shortest);
        }
        let missing = room.filter(|room| room.high < shortest.low).map(|room| shortest.plus(room.negated()));
        let out = missing.zip(cassette.pitch.span()).and_then(|(missing, pitch)| stack::to_leave_out(missing, pitch));
        return why.tell(LEAVE_OUT, over, Quantity::Count, out.map(Span::exactly));
    };
    if let Some(out) = cassette.left_out.span().filter(|out| out.low > 0) {
        why.mend_with(LEFT_OUT, &[cassette.left_out.field], Quantity::Count, Some(out));
    }
    match () {
        // Round a single cog the spacers are mixed to bring it into line.
        () if cassette.fitting.is(rule.single) == Some(true) => {
            why.mend_with(AROUND, over, Quantity::Length, Some(room));
        }
        () if room.high <= no_spacer.low => why.grant(NO_SPACER, over),
        () if room.high.saturating_sub(room.low) > vague.low => why.ask(SPACERS, over),
        () if room.low <= no_spacer.high => why.grant(LITTLE_ROOM, over),
        () => spacers(ends, rule, why, over, room),
    }
}

/// The spacers behind the cassette: first the one that comes with it, then the rest.
fn spacers<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>, over: &[Field], room: Span) {
    let own = ends.cassette.own_spacer;
    let limits = rule.no_spacer.span(why.strict).zip(rule.shortest.span(why.strict));
    let rest = own.span().filter(|own| own.low > 0).map(|own| room.plus(own.negated()));
    // Its own spacer goes in where it is sure not to be too thick.
    let Some((rest, no_spacer)) = rest
        .zip(limits)
        .and_then(|(rest, (none, shortest))| (rest.low >= shortest.high).then_some((rest, none)))
    else {
        return why.mend_with(SPACERS, over, Quantity::Length, Some(room));
    };
    let all: Vec<Field> = over.iter().copied().chain([own.field]).collect();
    why.mend_with(OWN_SPACER, &all, Quantity::Length, own.span());
    if rest.low > no_spacer.high {
        why.mend_with(SPACERS, over, Quantity::Length, Some(rest));
    }
}
