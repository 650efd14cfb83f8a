//! A tyre, with or without a mudguard, under the arch of a rim brake.
//!
//! A calliper and a direct-mount brake close round the tyre; other brakes on bosses mostly leave it
//! free, and disc brakes always. How wide a tyre goes under is the brake's own figure: its papers say it,
//! else what is told of brakes of its reach, and a tyre that stands under it says that it goes. Such
//! figures are of a tyre's number: one that stands wider on its rim must be held under the brake.

use std::marker::PhantomData;

use super::compare::{Trace, Why};
use super::family::{Dim, Limit, LimitRow, family};
use crate::dim::{Length, Span};
use crate::formula::tyre_section::on_wider_rim;
use crate::verdict::Side;

family! {
    ends {
        brake { mount: Name, most: Length, widest: Length, guarded: Length }
        tyre { width: Length, mounted: Length }
        guard (optional) { width: Length }
        rim (optional) { inner_width: Length, flange: Name }
    }
    limits { widens: Ratio, off: Length }
    bands { measured_on: Length => Length }
    names {
        centre_bolt = "brake_mount.centre_bolt",
        direct_bosses = "brake_mount.direct_bosses",
        tubular = "rim_flange.tubular",
    }
    codes {
        WHICH = "which-brake",
        FREE = "nothing-over-the-tyre",
        WIDEST = "wider-than-brake-takes",
        GUARDED = "wider-than-brake-takes-with-guard",
        MEASURED = "measured-wider",
        RIM = "wider-on-its-rim",
    }
}

/// Compares the tyre's number with the widest under the brake: where there is a guard, with a guard.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { brake, tyre, guard, .. } = ends;
    let Some(mount) = brake.mount.label() else {
        return why.ask(WHICH, &[brake.mount.field]);
    };
    if ![rule.centre_bolt, rule.direct_bosses].contains(&Some(mount)) {
        return why.grant(FREE, &[brake.mount.field]);
    }
    let width = tyre.width.sum();
    if guard.present {
        why.not_above(GUARDED, &width.resting_on(guard.width), brake.guarded);
        return as_it_stands(ends, rule, why, brake.guarded);
    }
    why.not_above(WIDEST, &width, brake.widest);
    as_it_stands(ends, rule, why, brake.widest);
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
