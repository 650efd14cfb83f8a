//! A bottom bracket in its shell: a closed list of threads, bores and widths.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        bracket { shell: Name }
        frame { shell: Name }
    }
    tables { goes_in }
    codes { SHELL = "shell" }
}

/// Looks the pair up.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    why.pair(SHELL, rule.goes_in, ends.bracket.shell, ends.frame.shell);
}
