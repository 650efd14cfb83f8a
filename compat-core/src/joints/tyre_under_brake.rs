//! A tyre, with or without a mudguard, under the arch of a rim brake.
//!
//! A calliper and a direct-mount brake close round the tyre; long arms on bosses and disc brakes leave
//! it free, and what shorter arms clear must be seen. How wide a tyre goes under is the brake's own
//! figure: its papers say it, else what is told of brakes of its reach, and a tyre that stands under it
//! says that it goes. Such figures are of a tyre's number: one that stands wider on its rim must be held
//! under the brake.

use std::marker::PhantomData;

use super::compare::{Trace, Why};
use super::band::Bands;
use super::family::{Dim, Limit, LimitRow, family};
use crate::dim::{Length, Span};
use crate::formula::tyre_section::on_wider_rim;
use crate::verdict::Side;

family! {
    ends {
        brake { mount: Name, pull: Name, arms: Name, least: Length, most: Length, widest: Length, guarded: Length }
        tyre { width: Length, mounted: Length }
        guard (optional) { width: Length }
        rim (optional) { inner_width: Length, flange: Name }
        place (optional) { drop: Length }
    }
    limits { widens: Ratio, off: Length, under_any_arms: Length }
    bands { measured_on: Length => Length, at_the_top: Length => Length, at_the_top_guarded: Length => Length }
    names {
        centre_bolt = "brake_mount.centre_bolt",
        direct_bosses = "brake_mount.direct_bosses",
        bosses = "brake_mount.bosses",
        u_bosses = "brake_mount.u_bosses",
        long = "brake_pull.long",
        hydraulic = "brake_pull.hydraulic",
        outward = "brake_arms.outward",
        tubular = "rim_flange.tubular",
    }
    codes {
        WHICH = "which-brake",
        FREE = "nothing-over-the-tyre",
        WIDEST = "wider-than-brake-takes",
        GUARDED = "wider-than-brake-takes-with-guard",
        TOP = "pads-at-the-top",
        ARMS = "arms-over-the-tyre",
        MEASURED = "measured-wider",
        RIM = "wider-on-its-rim",
    }
}

/// Compares the tyre's number with the widest under the brake: where there is a guard, with a guard.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends {
        brake,
        tyre,
        guard,
        place,
        ..
    } = ends;
    let Some(mount) = brake.mount.label() else {
        return why.ask(WHICH, &[brake.mount.field]);
    };
    if [rule.bosses, rule.u_bosses].contains(&Some(mount)) {
        return arms(ends, rule, why);
    }
    if ![rule.centre_bolt, rule.direct_bosses].contains(&Some(mount)) {
        return why.grant(FREE, &[brake.mount.field]);
    }
    let width = tyre.width.sum();
    let (code, top, widest) = if guard.present {
        (GUARDED, &rule.at_the_top_guarded, brake.guarded)
    } else {
        (WIDEST, &rule.at_the_top, brake.widest)
    };
    let number = if guard.present { width.resting_on(guard.width) } else { width };
    why.not_above(code, &number, widest);
    // What papers say of a calliper holds wherever its pads stand; what is told of its reach ends nowhere.
    let papers = widest.span().is_some_and(|most| most.high != Span::MOST);
    if Some(mount) == rule.centre_bolt && !papers && place.present {
        at_the_top(ends, why, top, widest);
    }
    as_it_stands(ends, rule, why, widest);
}

/// Other arms on bosses: those of full length leave any tyre free, shorter ones may cross it.
fn arms<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends {
        brake, tyre, guard, ..
    } = ends;
    if brake.mount.is(rule.u_bosses) == Some(true) {
        return why.ask(ARMS, &[brake.mount.field, tyre.width.field]);
    }
    let over = [
        brake.mount.field,
        brake.arms.field,
        brake.pull.field,
        tyre.width.field,
    ];
    let pulls = [rule.long, rule.hydraulic];
    let long = pulls.iter().any(|pull| brake.pull.is(*pull) == Some(true));
    let any = rule.under_any_arms.span(why.strict).zip(tyre.width.span());
    let narrow = !guard.present && any.is_some_and(|(any, width)| width.high <= any.low);
    if long || narrow || brake.arms.is(rule.outward) == Some(true) {
        return why.grant(FREE, &over);
    }
    why.ask(ARMS, &over);
}

/// With its pads at the top of their slots a calliper stands lower over the tyre: by as much as they
/// stand lower in them, more goes under.
fn at_the_top<T: Trace>(
    ends: &Ends<'_>,
    why: &mut Why<T>,
    top: &Bands<'_, Length, Length>,
    widest: Dim<'_, Length>,
) {
    let Ends {
        brake, tyre, place, ..
    } = ends;
    let Some(row) = top.row(brake.most.span(), why.strict) else {
        return why.ask(TOP, &[brake.most.field, widest.field]);
    };
    // A brake whose pads meet the track stands no lower than that, wherever they are in their slots.
    if tyre.width.span().is_some_and(|width| width.high <= row.least.low) {
        return why.grant(TOP, &[tyre.width.field, brake.most.field]);
    }
    let limit = Limit::<Length> {
        row: Some(LimitRow {
            span: Span::at_least(row.least.low),
            fact: row.fact,
            grade: row.grade,
        }),
        kind: PhantomData,
    };
    let number = tyre.width.sum() + brake.least.sum() - place.drop.sum();
    why.at_most(TOP, &number.resting_on(brake.most).resting_on(widest), limit);
}

/// A tyre whose number goes under the brake may stand too wide on its rim; that is asked.
fn as_it_stands<T: Trace>(
    ends: &Ends<'_>,
    rule: &Rule<'_>,
    why: &mut Why<T>,
    widest: Dim<'_, Length>,
) {
    let Ends { tyre, rim, .. } = ends;
    let number = tyre.width.span().zip(widest.span());
    let Some((_, most)) = number.filter(|(width, most)| width.high <= most.low) else {
        return;
    };
    let off = rule.off.span(why.strict).map_or(0, |off| off.low);
    let row = |low| rule.off.row.map(|row| LimitRow { span: Span::at_least(low), ..row });
    let limit = |low| Limit::<Length> { row: row(low), kind: PhantomData };
    let mounted = tyre.mounted.sum().resting_on(widest);
    why.at_most(MEASURED, &mounted, limit(most.low.saturating_add(off)));
    // A measure that begins nowhere is none: the page gives it where nobody stated another.
    if tyre.mounted.span().is_some_and(|mounted| mounted.low != Span::LEAST) || !rim.present {
        return;
    }
    // A tubular has its own section, and no flanges spread it.
    let tubular = rim.flange.is(rule.tubular) == Some(true);
    let stands = tyre.width.span().and_then(|width| {
        if tubular {
            return Some(width);
        }
        let row = rule.measured_on.row(Some(width), why.strict)?;
        let on = Span::between(row.least.low.min(row.most.low), row.least.high.max(row.most.high));
        on_wider_rim(width, rim.inner_width.span()?, on, rule.widens.span(why.strict)?)
    });
    let spread = if tubular { rim.flange.field } else { rim.inner_width.field };
    let over = [tyre.width.field, spread, widest.field, tyre.mounted.field];
    why.computed(RIM, &over, stands, Side::AtMost, limit(most.low));
}
