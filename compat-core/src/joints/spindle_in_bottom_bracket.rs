//! A crank on its bottom bracket: the spindle's shape, and its length against the frame's shell.
//!
//! Cranks of the older kinds push on a spindle that belongs to the bottom bracket; those of the
//! later kinds bring a round spindle, which must be long enough for the shell it goes through.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        crank { spindle: Name }
        bracket { spindle: Name }
        frame (optional) { shell: Name }
    }
    tables { turns_in, reaches }
    codes { SPINDLE = "spindle", REACH = "reach" }
}

/// Looks crank and bottom bracket up, then crank and shell.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { crank, bracket, frame } = ends;
    why.pair(SPINDLE, rule.turns_in, crank.spindle, bracket.spindle);
    if frame.present {
        why.pair(REACH, rule.reaches, crank.spindle, frame.shell);
    }
}
