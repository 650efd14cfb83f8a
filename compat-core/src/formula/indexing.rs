//! Rear indexing: how far a click carries the cage, against the distance between two cogs, and what
//! that comes to over a whole cassette.
//!
//! Cage travel for a click = cable pull for a click x shift ratio, and it should be the cog pitch
//! (the equation of the handbooks on gear dimensions, `d-WBGEAR` among the sources). A step that is
//! a little off adds up from cog to cog; a mechanic sets the cable so that both end cogs are off by
//! the same, which halves what one end would be off: (cogs - 1) x |step - pitch| / 2. Clicks that
//! are not even among themselves stray from their mean by so much again.

use uom::si::f64::{Length, Ratio};
use uom::si::length::{micrometer, nanometer};
use uom::si::ratio::{part_per_million, ratio};

use super::exact::{self, float, positive, whole};
use crate::dim::Span;

/// How far a click carries the cage.
pub fn step(pull: Length, shift: Ratio) -> Length {
    pull * shift
}

/// How far the cage is off at the worst cog for what a click has too much, with the setting shared
/// out between both ends.
pub fn worst_excess(steps: f64, excess: Length) -> Length {
    excess * steps / 2.0
}

/// How far single clicks stray from evenly pulled cable: half of what lies between the furthest
/// ahead and the furthest behind.
pub fn unevenness(pulls: &[Length]) -> Length {
    let none = Length::new::<micrometer>(0.0);
    let clicks = i64::try_from(pulls.len()).ok().and_then(positive);
    let Some(clicks) = clicks else { return none };
    let whole = pulls.iter().fold(none, |sum, pull| sum + *pull);
    let mean = whole / clicks;
    let (mut ahead, mut least, mut most) = (none, none, none);
    for pull in pulls {
        ahead += *pull - mean;
        least = least.min(ahead);
        most = most.max(ahead);
    }
    (most - least) / 2.0
}

/// What is known of a shifter, a derailleur and a cassette, in the small units.
#[derive(Clone, Copy, Debug)]
pub struct Known {
    /// Cable pull for a click.
    pub pull: Span,
    /// How far single clicks stray from the even.
    pub uneven: Span,
    /// Shift ratio, with whatever changes the pull on the way.
    pub shift: Span,
    /// Cog pitch.
    pub pitch: Span,
    /// The cogs to be reached.
    pub cogs: Span,
}

/// How far the cage is off at the worst cog: behind it, and beyond it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Off {
    /// A click too short.
    pub short: Span,
    /// A click too long.
    pub long: Span,
}

impl Known {
    /// How far off the worst cog is, in nanometres, rounded to the hundredth of a millimetre: the
    /// figures it comes from are no better. `None` where a number is open-ended or not above
    /// nothing.
    pub fn off(&self) -> Option<Off> {
        let (few, many) = (steps(self.cogs.low)?, steps(self.cogs.high)?);
        let shift = (factor(self.shift.low)?, factor(self.shift.high)?);
        let least = step(length(self.pull.low)?, shift.0) - length(self.pitch.high)?;
        let most = step(length(self.pull.high)?, shift.1) - length(self.pitch.low)?;
        let none = Length::new::<micrometer>(0.0);
        let uneven = exact::length(self.uneven.high.max(0))? * shift.1;
        let side = |near: Length, far: Length| {
            let low = (worst_excess(few, near) - uneven).max(none);
            let high = worst_excess(many, far).max(none) + uneven;
            Some(Span::between(hundredths(low)?, hundredths(high)?))
        };
        Some(Off {
            short: side(-most, -least)?,
            long: side(least, most)?,
        })
    }

    /// By how much the pull would have to be multiplied for the step to be the pitch, in millionths,
    /// to the hundredth.
    pub fn wanted(&self) -> Option<Span> {
        let share = |pitch: i64, pull: i64, shift: i64| {
            let wanted: Ratio = length(pitch)? / step(length(pull)?, factor(shift)?);
            whole(wanted.get::<ratio>() * 100.0)?.checked_mul(10_000)
        };
        Some(Span {
            low: share(self.pitch.low, self.pull.high, self.shift.high)?,
            high: share(self.pitch.high, self.pull.low, self.shift.low)?,
        })
    }
}

/// How much cable the cage wants from the first cog to the last, in nanometres, to the tenth of a
/// millimetre: cog pitch x (cogs - 1) / shift ratio.
pub fn cable_wanted(shift: Span, pitch: Span, cogs: Span) -> Option<Span> {
    let cable = |cogs: i64, pitch: i64, shift: i64| {
        let cable: Length = length(pitch)? * steps(cogs)? / factor(shift)?;
        whole(cable.get::<micrometer>() / 100.0)?.checked_mul(100_000)
    };
    Some(Span {
        low: cable(cogs.low, pitch.low, shift.high)?,
        high: cable(cogs.high, pitch.high, shift.low)?,
    })
}

/// Two ratios one after the other, in millionths. `None` where one is open-ended.
pub fn chained(one: Span, other: Span) -> Option<Span> {
    let both = |one: i64, other: i64| {
        let both: Ratio = factor(one)? * factor(other)?;
        whole(both.get::<ratio>() * 1.0e6)
    };
    Some(Span {
        low: both(one.low, other.low)?,
        high: both(one.high, other.high)?,
    })
}

/// The steps between so many cogs.
fn steps(cogs: i64) -> Option<f64> {
    float(cogs.checked_sub(1)?).filter(|steps| (0.0..100.0).contains(steps))
}

fn length(nanometres: i64) -> Option<Length> {
    positive(nanometres).map(Length::new::<nanometer>)
}

fn factor(millionths: i64) -> Option<Ratio> {
    positive(millionths).map(Ratio::new::<part_per_million>)
}

fn hundredths(length: Length) -> Option<i64> {
    whole(length.get::<micrometer>() / 10.0)?.checked_mul(10_000)
}

#[cfg(test)]
mod tests {
    use super::*;

    // In hundredths, and the number of cogs.
    fn known(pull: i64, shift: i64, pitch: i64, cogs: i64) -> Known {
        Known {
            pull: Span::exactly(pull * 10_000),
            uneven: Span::exactly(0),
            shift: Span::exactly(shift * 10_000),
            pitch: Span::exactly(pitch * 10_000),
            cogs: Span::exactly(cogs),
        }
    }

    fn millimetres(hundredths: i64) -> Span {
        Span::exactly(hundredths * 10_000)
    }

    fn pulls(tenths_of_millimetres: &[i32]) -> Vec<Length> {
        let pull = |pull: &i32| Length::new::<micrometer>(f64::from(*pull) * 10.0);
        tenths_of_millimetres.iter().map(pull).collect()
    }

    // Pull, ratio and pitch of sets as their makers sell them, in hundredths, from one published
    // table (`u-MUZ`): ratios stand there to one decimal, so a step is its pitch to within that.
    #[test]
    fn published_sets_step_by_their_pitch() {
        for (pull, shift, pitch) in [
            (320, 170, 550),
            (290, 170, 500),
            (280, 170, 480),
            (250, 170, 435),
            (230, 170, 395),
            (280, 140, 395),
            (340, 120, 395),
            (270, 140, 370),
            (360, 110, 390),
            (450, 110, 500),
            (430, 110, 480),
            (400, 110, 435),
            (310, 130, 395),
            (290, 130, 372),
            (350, 112, 390),
            (350, 140, 500),
            (320, 140, 455),
            (300, 150, 455),
            (280, 150, 415),
            (260, 150, 375),
        ] {
            let wanted = known(pull, shift, pitch, 2).wanted().unwrap();
            assert!(
                wanted.low >= 960_000 && wanted.high <= 1_040_000,
                "{pull} x {shift} on {pitch}: {wanted:?}"
            );
        }
    }

    // Worked by hand from published figures (`d-BB1110`): 3.4 mm x 1.1 = 3.74 mm on a pitch of
    // 3.95 mm is 0.21 mm short at each of nine steps: 1.89 mm, half of it at either end. The pull
    // would have to be 3.95 / 3.74 = 1.06 times as much.
    #[test]
    fn a_short_step_adds_up() {
        let mixed = known(340, 110, 395, 10);
        let off = mixed.off().unwrap();
        // 0.945 mm, to the hundredth.
        assert!(off.short == millimetres(95) || off.short == millimetres(94));
        assert_eq!(off.long, Span::exactly(0));
        assert_eq!(mixed.wanted(), Some(Span::exactly(1_060_000)));
    }

    // 7-speed cogs are 5.0 mm apart and 8-speed ones 4.8 (`u-MIXN`): over six steps 1.2 mm, half of
    // it at either end. Riders run the one on the other (`x-BR7ON8`).
    #[test]
    fn an_eight_speed_step_on_seven_cogs() {
        let off = known(480, 100, 500, 7).off().unwrap();
        assert_eq!(off.short, millimetres(60));
    }

    // Pulls measured click by click (`d-ART`, `d-DAV12`), and how far they stray: the first by hand
    // is 1.67 behind at the fifth click and never ahead.
    #[test]
    fn clicks_that_are_not_even() {
        let stray = |clicks: &[i32]| hundredths(unevenness(&pulls(clicks))).unwrap();
        assert_eq!(
            stray(&[250, 250, 250, 250, 250, 300, 300, 350, 350]),
            830_000
        );
        assert_eq!(
            stray(&[335, 250, 250, 220, 220, 260, 260, 290, 290, 350]),
            880_000
        );
        assert_eq!(
            stray(&[400, 280, 250, 270, 270, 270, 270, 300, 340, 340]),
            920_000
        );
        assert_eq!(stray(&[280; 7]), 0);
        assert_eq!(stray(&[]), 0);
    }

    #[test]
    fn uneven_clicks_widen_what_may_be_off() {
        let even = known(280, 171, 480, 8);
        let uneven = Known {
            uneven: Span::exactly(830_000),
            ..even
        };
        let (even, uneven) = (even.off().unwrap(), uneven.off().unwrap());
        assert!(uneven.short.holds(even.short) && uneven.long.holds(even.long));
        assert_eq!(uneven.short.high - even.short.high, 1_420_000);
    }

    // A page on friction levers (`x-SILV`) has one that works ten cogs with a derailleur of the 1.7
    // family: nine steps of 3.95 mm are 35.55 mm of cage and 20.9 mm of cable.
    #[test]
    fn cable_for_a_whole_cassette() {
        let family = Span::exactly(1_700_000);
        let ten = cable_wanted(family, millimetres(395), Span::exactly(10));
        assert_eq!(ten, Some(Span::exactly(20_900_000)));
    }

    #[test]
    fn nothing_comes_of_nothing() {
        assert_eq!(known(0, 110, 395, 10).off(), None);
        assert_eq!(known(340, 110, 0, 10).off(), None);
        assert_eq!(known(340, 110, 395, 0).off(), None);
        let open = Known {
            pitch: Span::at_least(1),
            ..known(340, 110, 1, 10)
        };
        assert_eq!(open.off(), None);
        assert_eq!(open.wanted(), None);
        assert_eq!(chained(Span::ALL, Span::exactly(1_000_000)), None);
    }
}
