//! A bottom bracket in its shell: a closed list of threads, bores and widths. One that comes with its own
//! spindle is made for one width.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        bracket { shell: Name, spindle: Name }
        frame { shell: Name }
    }
    tables { goes_in, at_its_width }
    names {
        square_jis = "spindle.square_jis",
        square_iso = "spindle.square_iso",
        octalink_v1 = "spindle.octalink_v1",
        octalink_v2 = "spindle.octalink_v2",
        isis = "spindle.isis",
        power_spline = "spindle.power_spline",
        cottered = "spindle.cottered",
    }
    codes { SHELL = "shell", WIDTH = "made-for-one-width", OWN = "own-spindle" }
}

/// Looks the pair up, and for one with its own spindle the widths.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { bracket, frame } = ends;
    why.pair(SHELL, rule.goes_in, bracket.shell, frame.shell);
    let own = [
        rule.square_jis,
        rule.square_iso,
        rule.octalink_v1,
        rule.octalink_v2,
        rule.isis,
        rule.power_spline,
        rule.cottered,
    ];
    if own.iter().any(|own| bracket.spindle.is(*own) == Some(true)) {
        why.grant(OWN, &[bracket.spindle.field]);
        why.pair(WIDTH, rule.at_its_width, bracket.shell, frame.shell);
    }
}
