//! One end of a headset in one end of the head tube: a cup pressed in, or a bare bearing laid in.

use super::compare::{Trace, Why};
use super::family::family;

family! {
    ends {
        cup { code: Name, diameter: Shaft, skirt: Length, angle: Angle }
        tube { code: Name, bore: Bore, depth: Length, angle: Angle }
    }
    limits {
        press_tightest: Length,
        press_loosest: Length,
        bearing_tightest: Length,
        bearing_loosest: Length,
        angle_off: Angle,
    }
    tables { goes_in }
    names {
        is38 = "headset_seat.is38",
        is41 = "headset_seat.is41",
        is42 = "headset_seat.is42",
        is47 = "headset_seat.is47",
        is49 = "headset_seat.is49",
        is52 = "headset_seat.is52",
    }
    codes {
        SEAT = "seat",
        CUP_TIGHT = "cup-too-large",
        CUP_LOOSE = "cup-too-small",
        SKIRT = "skirt-too-long",
        BEARING_TIGHT = "bearing-too-large",
        BEARING_LOOSE = "bearing-too-small",
        ANGLE_MORE = "angle-too-large",
        ANGLE_LESS = "angle-too-small",
    }
}

/// Code against code, then what was measured: a cup is pressed, a bearing slides in.
pub fn check<T: Trace>(ends: &Ends<'_>, rule: &Rule<'_>, why: &mut Why<T>) {
    let Ends { cup, tube } = ends;
    why.pair(SEAT, rule.goes_in, cup.code, tube.code);
    let Some(code) = cup.code.label() else { return };
    let bare = [rule.is38, rule.is41, rule.is42, rule.is47, rule.is49, rule.is52];
    let gap = tube.bore - cup.diameter;
    if bare.contains(&Some(code)) {
        why.at_least(BEARING_TIGHT, &gap, rule.bearing_tightest);
        why.at_most(BEARING_LOOSE, &gap, rule.bearing_loosest);
        let off = cup.angle - tube.angle;
        why.at_most(ANGLE_MORE, &off, rule.angle_off);
        let off = tube.angle - cup.angle;
        why.at_most(ANGLE_LESS, &off, rule.angle_off);
    } else {
        why.at_least(CUP_TIGHT, &gap, rule.press_tightest);
        why.at_most(CUP_LOOSE, &gap, rule.press_loosest);
        why.not_above(SKIRT, &cup.skirt.sum(), tube.depth);
    }
}
