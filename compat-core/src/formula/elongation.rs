//! Wear of a chain, as it is measured with a rule.
//!
//! Twenty-four pitches of a new chain are twelve inches. What the rule shows more is the elongation
//! (`d-SAMB` among the sources, and `u-FAG` with the same in millimetres).

use super::belt::PITCH;

/// The elongation of so many pitches that measure so much, in ten-thousandths of a per cent,
/// rounded to the nearest hundredth. `None` for no pitches or a measure out of all reason.
pub fn elongation(measured: i64, pitches: i64) -> Option<i64> {
    let new = i128::from(pitches) * i128::from(PITCH);
    // More than double is no chain.
    if new <= 0 || measured <= 0 || i128::from(measured) > 2 * new {
        return None;
    }
    let more = (i128::from(measured) - new) * 10_000;
    let hundredths = (2 * more + new).div_euclid(2 * new);
    i64::try_from(hundredths * 100).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    // Printed: a sixteenth of an inch over twelve is 0.52 % (`d-SAMB`), two twentieths are 0.83 %
    // (`u-MRB`), and 1.5 and 3.0 mm over twelve link pairs are about 0.5 and 1.0 % (`u-FAG`).
    #[test]
    fn printed_readings_of_a_rule() {
        let twelve = 24 * PITCH;
        assert_eq!(elongation(twelve + 1_587_500, 24), Some(5_200));
        assert_eq!(elongation(twelve + 2_540_000, 24), Some(8_300));
        assert_eq!(elongation(twelve + 1_500_000, 24), Some(4_900));
        assert_eq!(elongation(twelve + 3_000_000, 24), Some(9_800));
        assert_eq!(elongation(twelve, 24), Some(0));
        assert_eq!(elongation(twelve - 304_800, 24), Some(-1_000));
    }

    #[test]
    fn nothing_comes_of_nothing() {
        assert_eq!(elongation(0, 24), None);
        assert_eq!(elongation(1, 0), None);
        assert_eq!(elongation(i64::MAX, 1), None);
    }
}
