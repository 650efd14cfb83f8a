//! Bar ends and aero bars: clamps round the bar, which want its diameter, a straight piece as long as
//! the clamp is wide, and a bar that is made to be squeezed there.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        extra { clamp: Bore, width: Length }
        bar { diameter: Shaft, straight: Length, allowed: Name, material: Name }
    }
    limits { tightest: Length, loosest: Length }
    names { yes = "allowed.yes" }
    codes {
        TOO_SMALL = "clamp-too-small",
        TOO_LARGE = "clamp-too-large",
        TAPER = "on-the-taper",
        NOT_ALLOWED = "bar-not-made-for-it",
    }
}

/// Compares the diameters and the straight piece, and asks whether the bar may be clamped there.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { extra, bar } = ends;
    let gap = extra.clamp - bar.diameter;
    why.at_least(TOO_SMALL, &gap, rule.tightest);
    why.at_most(TOO_LARGE, &gap, rule.loosest);
    why.not_below(TAPER, &bar.straight.sum(), extra.width);
    why.named(NOT_ALLOWED, bar.allowed, &[rule.yes]);
}
