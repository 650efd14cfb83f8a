//! Spoke lengths and the balance of tension between the two sides of a wheel.
//!
//! For one side of a wheel laced with evenly drilled flanges (`w-TRIS`, `w-PIJN` among the sources)
//!
//! ```text
//! length = √(R² + r² + o² − 2·R·r·cos a) − h/2        a = crosses · 720° / spokes
//! ```
//!
//! with R half the rim's diameter at the spoke ends, r half the flange's hole circle, o the distance
//! of the flange from the rim's spoke holes along the axle, h the width of a hole, and the spokes of
//! the whole wheel. The sideways pulls of both sides are equal, so with as many spokes on each side
//! the tensions are as length/o to length/o (`w-WFAN`). Lengths are given to the hundredth of a
//! millimetre; what they come from is no better.

use std::f64::consts::TAU;

use uom::si::angle::radian;
use uom::si::f64::{Angle, Area, Length, Ratio};
use uom::si::length::micrometer;
use uom::si::ratio::part_per_million;

use super::exact::{float, length, whole};
use crate::dim::Span;

/// One side of a wheel.
#[derive(Clone, Copy, Debug)]
pub struct Side {
    /// Diameter of the circle the spoke ends lie on, at the rim.
    pub rim: Length,
    /// Diameter of the circle of holes in the flange.
    pub circle: Length,
    /// How far the flange is from the rim's spoke holes, along the axle.
    pub offset: Length,
    /// Width of a hole in the flange.
    pub hole: Length,
    /// The turn of the hub from where the spokes would be radial.
    pub turn: Angle,
}

/// How far the hub is turned from radial for so many crosses, with the spokes of the whole wheel.
pub fn turn(crosses: f64, spokes: f64) -> Angle {
    Angle::new::<radian>(2.0 * TAU * crosses / spokes)
}

impl Side {
    /// From the middle of the flange's hole to the rim.
    fn straight(&self) -> Length {
        let (rim, circle) = (self.rim / 2.0, self.circle / 2.0);
        let along: Area = rim * circle * 2.0 * self.turn.cos();
        let square: Area = rim * rim + circle * circle + self.offset * self.offset - along;
        square.sqrt()
    }

    /// The length of its spokes.
    pub fn length(&self) -> Length {
        self.straight() - self.hole / 2.0
    }
}

/// The tension of one side as a share of the other's, with as many spokes on both.
pub fn tension(one: &Side, other: &Side) -> Ratio {
    (other.offset * one.straight()) / (one.offset * other.straight())
}

/// What is known of one side, in nanometres, and the whole numbers.
#[derive(Clone, Copy, Debug)]
pub struct Known {
    /// Diameter at the spoke ends.
    pub rim: Span,
    /// The flange's hole circle.
    pub circle: Span,
    /// The flange's distance from the rim's spoke holes.
    pub offset: Span,
    /// Width of a hole.
    pub hole: Span,
    /// Crosses.
    pub crosses: i64,
    /// The spokes of the whole wheel.
    pub spokes: i64,
}

impl Known {
    /// The length of the spokes: every length the readings allow. `None` where a number is
    /// open-ended or makes no wheel.
    pub fn length(&self) -> Option<Span> {
        if self.hole.low < 0 {
            return None;
        }
        let length = |side: &Side| side.length().get::<micrometer>();
        let short = self.over(self.hole.high, length)?;
        let long = self.over(self.hole.low, length)?;
        Some(Span {
            low: hundredths(short.0)?,
            high: hundredths(long.1)?,
        })
    }

    /// The tension of this side as a share of the other's, in millionths.
    pub fn tension(&self, other: &Known) -> Option<Span> {
        let share = |offset: i64, others: i64| {
            let one = self.side(self.rim.low, self.circle.low, offset, self.hole.low)?;
            let other = other.side(other.rim.low, other.circle.low, others, other.hole.low)?;
            whole(tension(&one, &other).get::<part_per_million>() / 10_000.0)?.checked_mul(10_000)
        };
        // The sideways balance is only that of two sides on either hand of the rim.
        if self.offset.low <= 0 || other.offset.low <= 0 {
            return None;
        }
        Some(Span {
            low: share(self.offset.high, other.offset.low)?,
            high: share(self.offset.low, other.offset.high)?,
        })
    }

    /// The least and the most of something over the corners of what is known, and over the flange
    /// that is nearest to its spoke.
    fn over(&self, hole: i64, of: impl Fn(&Side) -> f64) -> Option<(f64, f64)> {
        let mut found: Option<(f64, f64)> = None;
        let near = if self.offset.low <= 0 && self.offset.high >= 0 {
            0
        } else {
            self.offset.low
        };
        for rim in [self.rim.low, self.rim.high] {
            for circle in [self.circle.low, self.circle.high, self.nearest(rim)?] {
                for offset in [self.offset.low, self.offset.high, near] {
                    let value = of(&self.side(rim, circle, offset, hole)?);
                    let (least, most) = found.unwrap_or((value, value));
                    found = Some((least.min(value), most.max(value)));
                }
            }
        }
        found
    }

    /// The hole circle that makes the shortest spoke, where it is among those known.
    fn nearest(&self, rim: i64) -> Option<i64> {
        let at = length(rim)? * turn(float(self.crosses)?, float(self.spokes)?).cos();
        let at = whole(at.get::<micrometer>())?.checked_mul(1_000)?;
        Some(at.clamp(self.circle.low, self.circle.high.max(self.circle.low)))
    }

    fn side(&self, rim: i64, circle: i64, offset: i64, hole: i64) -> Option<Side> {
        let (crosses, spokes) = (float(self.crosses)?, float(self.spokes)?);
        let sound = rim > circle && circle > 0 && crosses >= 0.0 && spokes > 0.0;
        sound.then_some(Side {
            rim: length(rim)?,
            circle: length(circle)?,
            offset: length(offset)?,
            hole: length(hole)?,
            turn: turn(crosses, spokes),
        })
    }
}

/// Micrometres as nanometres, rounded to the hundredth of a millimetre.
fn hundredths(micrometres: f64) -> Option<i64> {
    whole(micrometres / 10.0)?.checked_mul(10_000)
}

#[cfg(test)]
mod tests {
    use uom::si::length::millimeter;

    use super::*;

    fn mm(value: f64) -> Length {
        Length::new::<millimeter>(value)
    }

    fn side(rim: f64, circle: f64, offset: f64, hole: f64, crosses: f64, spokes: f64) -> Side {
        Side {
            rim: mm(rim),
            circle: mm(circle),
            offset: mm(offset),
            hole: mm(hole),
            turn: turn(crosses, spokes),
        }
    }

    // The example of the spoke length note on tristable.net, and a builder's lengths for both sides
    // of a rear wheel in a post on Bike Forums, who takes a whole millimetre off for the hole.
    #[test]
    fn published_lengths_come_out() {
        for (side, published) in [
            (side(555.0, 58.0, 39.0, 2.6, 3.0, 36.0), 265.8),
            (side(536.0, 44.0, 35.3, 2.0, 3.0, 36.0), 259.11),
            (side(536.0, 45.0, 22.1, 2.0, 3.0, 36.0), 257.44),
        ] {
            let found = side.length().get::<millimeter>();
            assert!((found - published).abs() < 0.05, "{published}: {found}");
        }
    }

    // The factors tristable.net prints for three crosses: 1 of 36 spokes, 0.765 of 32.
    #[test]
    fn published_factors_come_out() {
        for (spokes, factor) in [(36.0, 1.0), (32.0, 0.765)] {
            let found: f64 = turn(3.0, spokes).cos().into();
            assert!((2.0 * found - factor).abs() < 0.0005, "{spokes}: {found}");
        }
    }

    #[test]
    fn the_tension_is_nearly_as_the_offsets() {
        let left = side(601.0, 45.0, 37.2, 2.6, 3.0, 32.0);
        let right = side(601.0, 45.0, 22.0, 2.6, 3.0, 32.0);
        let found = tension(&left, &right).get::<part_per_million>() / 1.0e6;
        assert!((found - 22.0 / 37.2).abs() < 0.01, "{found}");
    }

    #[test]
    fn no_wheel_gives_no_length() {
        let at = |mm: i64| Span::exactly(mm * 1_000_000);
        let known = |rim, circle, spokes| Known {
            rim,
            circle,
            offset: at(35),
            hole: Span::exactly(2_600_000),
            crosses: 3,
            spokes,
        };
        assert!(known(at(600), at(44), 32).length().is_some());
        assert_eq!(known(at(40), at(44), 32).length(), None);
        assert_eq!(known(at(600), at(44), 0).length(), None);
        assert_eq!(known(Span::ALL, at(44), 32).length(), None);
        assert_eq!(known(at(600), Span::at_least(1), 32).length(), None);
    }
}
