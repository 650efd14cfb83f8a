//! The length of a spindle. One that belongs to the bottom bracket sets where the rings stand, and the
//! crank is made for a length; one that belongs to the crank must reach through the shell.

use super::compare::{Trace, Why};
use super::family::family;
use crate::dim::{Quantity, Span};
use crate::formula::chain_line::moved;

family! {
    ends {
        crank { spindle: Name, length: Length, line: Length }
        bracket { spindle: Name, length: Length }
        frame (optional) { shell: Name }
    }
    limits { shorter: Length, longer: Length }
    tables { reaches }
    names {
        square_jis = "spindle.square_jis",
        square_iso = "spindle.square_iso",
        octalink_v1 = "spindle.octalink_v1",
        octalink_v2 = "spindle.octalink_v2",
        isis = "spindle.isis",
        power_spline = "spindle.power_spline",
        cottered = "spindle.cottered",
    }
    codes {
        REACH = "reach",
        WHOSE = "whose-spindle",
        SHORTER = "spindle-too-short",
        LONGER = "spindle-too-long",
        MOVED = "rings-move",
        LINE = "chain-line",
    }
}

/// Looks crank and shell up, and compares the lengths where the bottom bracket has the spindle.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { crank, bracket, frame } = ends;
    if frame.present {
        why.pair(REACH, rule.reaches, crank.spindle, frame.shell);
    }
    let older = [
        rule.square_jis,
        rule.square_iso,
        rule.octalink_v1,
        rule.octalink_v2,
        rule.isis,
        rule.power_spline,
        rule.cottered,
    ];
    let Some(kind) = crank.spindle.label() else {
        return why.ask(WHOSE, &[crank.spindle.field]);
    };
    why.grant(WHOSE, &[crank.spindle.field]);
    if !older.contains(&Some(kind)) {
        return;
    }
    let more = bracket.length - crank.length;
    why.at_least(SHORTER, &more, rule.shorter);
    why.at_most(LONGER, &more, rule.longer);
    let off = more.span().filter(|more| *more != Span::exactly(0)).map(moved);
    let [longer, made_for] = [bracket.length.field, crank.length.field];
    why.tell(MOVED, &[longer, made_for], Quantity::Length, off);
    let line = crank.line.span().zip(off).map(|(line, off)| line.plus(off));
    why.tell(LINE, &[crank.line.field, longer, made_for], Quantity::Length, line);
}
