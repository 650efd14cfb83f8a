//! Gears as figures: ratio, range, overlap, development, gear inches and gain.
//!
//! Ratio = ring / cog. Development = ratio x circumference. Gear inches = ratio x wheel diameter in
//! inches (`d-WGI` among the sources). Gain = ratio x wheel radius / crank length (`d-ACA`). Range =
//! highest over lowest (`u-MBR`). A wheel is taken for its bead seat diameter and twice the tyre's
//! nominal width, because a tyre is about as high as it is wide (`u-CFS`); a rolled-out wheel may
//! differ by one or two per cent.

use super::exact::{positive, whole};

use std::f64::consts::PI;

/// A gear: teeth of the ring over teeth of the cog. `None` for no teeth.
pub fn ratio(ring: i64, cog: i64) -> Option<f64> {
    Some(positive(ring)? / positive(cog)?)
}

/// The diameter of a wheel in millimetres, from the two numbers of the tyre's ISO marking in
/// nanometres.
pub fn diameter(bead_seat: i64, width: i64) -> Option<f64> {
    Some(millimetres(bead_seat)? + 2.0 * millimetres(width)?)
}

/// How far a turn of the crank carries the bike, in millimetres.
pub fn development(ratio: f64, diameter: f64) -> f64 {
    ratio * diameter * PI
}

/// The gear in inches: the wheel of a bike without gears that goes as far.
pub fn inches(ratio: f64, diameter: f64) -> f64 {
    ratio * diameter / 25.4
}

/// The gain: how far the bike goes for the way of the pedal; the crank in nanometres.
pub fn gain(ratio: f64, diameter: f64, crank: i64) -> Option<f64> {
    Some(ratio * diameter / 2.0 / millimetres(crank)?)
}

/// The mean step from cog to cog over so many cogs, as a share of one.
pub fn mean_step(largest: i64, smallest: i64, cogs: i64) -> Option<f64> {
    let steps = positive(cogs.checked_sub(1)?)?;
    Some(ratio(largest, smallest)?.powf(1.0 / steps) - 1.0)
}

/// The highest gear of a ring over the lowest of the next larger one, where that is least; the rings
/// from the smallest up. `None` for one ring.
pub fn least_overlap(rings: &[i64], smallest_cog: i64, largest_cog: i64) -> Option<f64> {
    let steps = rings.iter().zip(rings.iter().skip(1));
    let shared = steps
        .filter(|(lower, upper)| lower < upper)
        .filter_map(|(lower, upper)| {
            Some(ratio(*lower, smallest_cog)? / ratio(*upper, largest_cog)?)
        });
    shared.reduce(f64::min)
}

/// Whether the gears of neighbouring rings overlap.
pub fn overlaps(share: f64) -> bool {
    share >= 1.0
}

fn millimetres(nanometres: i64) -> Option<f64> {
    Some(positive(nanometres)? / 1.0e6)
}

/// A ratio in millionths, to the nearest thousandth.
pub fn as_ratio(value: f64) -> Option<i64> {
    rounded(value * 1.0e3)?.checked_mul(1_000)
}

/// Gear inches as a plain number in millionths, to the nearest tenth.
pub fn as_inches(value: f64) -> Option<i64> {
    rounded(value * 10.0)?.checked_mul(100_000)
}

/// A share of one as per cent in ten-thousandths, to the nearest tenth of a per cent.
pub fn as_percent(value: f64) -> Option<i64> {
    rounded(value * 1.0e3)?.checked_mul(1_000)
}

/// Millimetres in nanometres, to the nearest centimetre.
pub fn as_length(value: f64) -> Option<i64> {
    rounded(value / 10.0)?.checked_mul(10_000_000)
}

fn rounded(value: f64) -> Option<i64> {
    whole(value).filter(|whole| *whole >= 0)
}

#[cfg(test)]
mod tests {
    use super::*;

    const MM: i64 = 1_000_000;

    fn close(found: f64, printed: f64, within: f64) {
        assert!((found - printed).abs() <= within, "{found} {printed}");
    }

    // Printed in a thread on gear choices (`d-RBW`): 53/13 and 39/24 with 700x25 are 108 and 43
    // inches, and gains of 8.1 and 3.2 with cranks of 170 mm.
    #[test]
    fn printed_inches_and_gains() {
        let wheel = diameter(622 * MM, 25 * MM).unwrap();
        close(inches(ratio(53, 13).unwrap(), wheel), 108.0, 0.5);
        close(inches(ratio(39, 24).unwrap(), wheel), 43.0, 0.5);
        close(
            gain(ratio(53, 13).unwrap(), wheel, 170 * MM).unwrap(),
            8.1,
            0.06,
        );
        close(
            gain(ratio(39, 24).unwrap(), wheel, 170 * MM).unwrap(),
            3.2,
            0.06,
        );
    }

    // Printed in a gear table (`u-CYT`): a wheel of 26 in and cranks of 175 mm.
    #[test]
    fn a_printed_table_of_inches_and_gains() {
        let wheel = 26.0 * 25.4;
        for (ring, cog, printed, gained) in [
            (24, 30, 20.80, 1.51),
            (24, 11, 56.73, 4.12),
            (38, 23, 42.96, 3.12),
            (38, 13, 76.00, 5.52),
            (48, 20, 62.40, 4.53),
            (48, 11, 113.45, 8.23),
        ] {
            let gear = ratio(ring, cog).unwrap();
            close(inches(gear, wheel), printed, 0.006);
            close(gain(gear, wheel, 175 * MM).unwrap(), gained, 0.006);
        }
    }

    // Printed: 48/12 with a circumference of 2096 mm is 8384 mm (`d-SIS`).
    #[test]
    fn a_printed_development() {
        close(
            development(ratio(48, 12).unwrap(), 2096.0 / PI),
            8384.0,
            0.01,
        );
        // And from a sheet with 2108 mm (`u-ROLL`): 53/14 is 7.98 m, 50/16 is 6.59 m.
        close(
            development(ratio(53, 14).unwrap(), 2108.0 / PI),
            7980.0,
            5.0,
        );
        close(
            development(ratio(50, 16).unwrap(), 2108.0 / PI),
            6590.0,
            5.0,
        );
    }

    // Printed: 39/14 and 53/19 are both 2.79 (`d-ACA`); 28/25 is 1.12 (`d-SIS`).
    #[test]
    fn printed_ratios() {
        close(ratio(39, 14).unwrap(), 2.79, 0.005);
        close(ratio(53, 19).unwrap(), 2.79, 0.005);
        close(ratio(28, 25).unwrap(), 1.12, 0.0001);
    }

    // Printed: 28-622 comes to 2130 mm and 23-622 to 2098 by this sum, and a roll-out agreed
    // (`u-CFS`); tables print 2105 for 25-622 where the sum gives 2111.
    #[test]
    fn printed_circumferences() {
        let round = |width: i64| diameter(622 * MM, width * MM).unwrap() * PI;
        close(round(28), 2130.0, 0.5);
        close(round(23), 2098.0, 1.5);
        close(round(25) / 2105.0, 1.0, 0.01);
    }

    // Printed: 10-50 has a range of 500 %, and 11-36 with 36/24 one of 491 % (`u-MBR`).
    #[test]
    fn printed_ranges() {
        close(ratio(50, 10).unwrap(), 5.0, 0.001);
        close(ratio(36, 24).unwrap() * ratio(36, 11).unwrap(), 4.91, 0.005);
        close(ratio(32, 11).unwrap(), 2.91, 0.002);
    }

    // By hand: 50/34 with 11-28 has 34/11 = 3.09 above 50/28 = 1.79, which is 173 %; a half-step pair
    // of 50 and 46 with 14-16 overlaps too, and 52/26 with 14-16 does not.
    #[test]
    fn overlap_of_rings() {
        close(least_overlap(&[34, 50], 11, 28).unwrap(), 1.731, 0.001);
        close(least_overlap(&[22, 32, 42], 12, 34).unwrap(), 1.948, 0.001);
        assert!(overlaps(least_overlap(&[46, 50], 14, 16).unwrap()));
        assert!(!overlaps(least_overlap(&[26, 52], 14, 16).unwrap()));
        assert_eq!(least_overlap(&[42], 12, 34), None);
        assert_eq!(least_overlap(&[42, 42], 12, 34), None);
    }

    #[test]
    fn the_mean_step_taken_that_often_is_the_range() {
        let step = mean_step(34, 11, 8).unwrap();
        close((1.0 + step).powi(7), 34.0 / 11.0, 1.0e-9);
        assert_eq!(mean_step(34, 11, 1), None);
    }

    #[test]
    fn nothing_comes_of_nothing() {
        assert_eq!(ratio(0, 11), None);
        assert_eq!(ratio(i64::MAX, 11), None);
        assert_eq!(diameter(0, 25 * MM), None);
        assert_eq!(gain(3.0, 680.0, 0), None);
        assert_eq!(as_ratio(f64::NAN), None);
        assert_eq!(as_percent(-1.0), None);
        assert_eq!(as_length(8_384.0), Some(8_380_000_000));
        assert_eq!(as_percent(4.909_09), Some(4_909_000));
        assert_eq!(as_inches(108.08), Some(108_100_000));
        assert_eq!(as_ratio(2.785_7), Some(2_786_000));
    }
}
