//! Rear indexing: how far a click carries the cage, against the distance between two cogs.
//!
//! Cage travel for a click = cable pull for a click x shift ratio, and it should be the cog pitch
//! (the equation of the handbooks on gear dimensions, `d-WBGEAR` among the sources). Pulls and
//! ratios are published to one decimal, so a set that works is off by a few hundredths.

use uom::si::f64::{Length, Ratio};
use uom::si::length::micrometer;
use uom::si::ratio::{part_per_million, ratio};

use crate::dim::Span;

/// How far a click carries the cage.
pub fn step(pull: Length, shift: Ratio) -> Length {
    pull * shift
}

/// The step as a share of the pitch; `None` for a pitch of nothing.
pub fn share(step: Length, pitch: Length) -> Option<Ratio> {
    let found: Ratio = step / pitch;
    found.is_finite().then_some(found)
}

/// How far the cage is off at the last cog when it stands right at the first.
pub fn drift(steps: f64, step: Length, pitch: Length) -> Length {
    (step - pitch).abs() * steps
}

/// What is known of a shifter, a derailleur and a cassette, in the small units.
#[derive(Clone, Copy, Debug)]
pub struct Known {
    /// Cable pull for a click.
    pub pull: Span,
    /// Shift ratio.
    pub shift: Span,
    /// Cog pitch.
    pub pitch: Span,
}

impl Known {
    /// The step as a share of the pitch, in millionths, rounded to the nearest. `None` where a
    /// number is open-ended or not above nothing.
    pub fn share(&self) -> Option<Span> {
        let least = share(
            step(length(self.pull.low)?, factor(self.shift.low)?),
            length(self.pitch.high)?,
        )?;
        let most = share(
            step(length(self.pull.high)?, factor(self.shift.high)?),
            length(self.pitch.low)?,
        )?;
        Some(Span {
            low: whole(least.get::<part_per_million>())?,
            high: whole(most.get::<part_per_million>())?,
        })
    }

    /// How far the cage may be off at the last of so many cogs, in nanometres, rounded to the
    /// hundredth of a millimetre: the figures it comes from are no better.
    pub fn drift(&self, cogs: i64) -> Option<Span> {
        let steps = f64::from(i32::try_from(cogs.checked_sub(1)?).ok()?);
        let off = |pull: i64, shift: i64, pitch: i64| {
            let step = step(length(pull)?, factor(shift)?);
            let hundredths = drift(steps, step, length(pitch)?).get::<micrometer>() / 10.0;
            whole(hundredths)?.checked_mul(10_000)
        };
        let one = off(self.pull.low, self.shift.low, self.pitch.high)?;
        let other = off(self.pull.high, self.shift.high, self.pitch.low)?;
        let crosses = self.share()?;
        let low = if crosses.low <= 1_000_000 && crosses.high >= 1_000_000 {
            0
        } else {
            one.min(other)
        };
        Some(Span {
            low,
            high: one.max(other),
        })
    }
}

fn length(nanometres: i64) -> Option<Length> {
    let micrometres = i32::try_from(nanometres / 1_000).ok()?;
    (micrometres > 0).then(|| Length::new::<micrometer>(f64::from(micrometres)))
}

fn factor(millionths: i64) -> Option<Ratio> {
    let millionths = i32::try_from(millionths).ok()?;
    (millionths > 0).then(|| Ratio::new::<ratio>(f64::from(millionths) / 1.0e6))
}

fn whole(value: f64) -> Option<i64> {
    (0.0..1.0e9)
        .contains(&value)
        .then(|| format!("{:.0}", value.round()).parse().ok())?
}

#[cfg(test)]
mod tests {
    use super::*;

    // In hundredths.
    fn known(pull: i64, shift: i64, pitch: i64) -> Known {
        Known {
            pull: Span::exactly(pull * 10_000),
            shift: Span::exactly(shift * 10_000),
            pitch: Span::exactly(pitch * 10_000),
        }
    }

    // Pull, ratio and pitch of sets as their makers sell them, in hundredths, from one published
    // table (`u-MUZ`): each step must be within a few hundredths of its pitch.
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
            let share = known(pull, shift, pitch).share().unwrap();
            assert!(
                share.low >= 976_000 && share.high <= 1_041_000,
                "{pull} x {shift} on {pitch}: {share:?}"
            );
        }
    }

    // Worked by hand from published figures (`d-BB1110`): 3.4 mm x 1.1 = 3.74 mm on a pitch of
    // 3.95 mm is 0.21 mm short at each of nine steps.
    #[test]
    fn a_short_step_adds_up() {
        let mixed = known(340, 110, 395);
        assert_eq!(mixed.share(), Some(Span::exactly(946_835)));
        assert_eq!(mixed.drift(10), Some(Span::exactly(1_890_000)));
    }

    #[test]
    fn nothing_comes_of_nothing() {
        assert_eq!(known(0, 110, 395).share(), None);
        assert_eq!(known(340, 110, 0).drift(10), None);
        let open = Known {
            pitch: Span::at_least(1),
            ..known(340, 110, 1)
        };
        assert_eq!(open.share(), None);
    }
}
