//! A cassette on a freehub body: a closed list of splines, and the spacer behind the cassette that
//! takes up a longer body.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        cassette { fitting: Name }
        body { spline: Name }
    }
    tables { on }
    codes { SPLINE = "spline" }
}

/// Looks the pair up.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    why.pair(SPLINE, rule.on, ends.cassette.fitting, ends.body.spline);
}
