//! How likely a reading is of a size: the law of errors, and how far two sizes are told apart by it.
//!
//! A reading scatters round the size by the normal distribution of its standard error; independent
//! readings multiply (JCGM 100:2008, Guide to the expression of uncertainty in measurement;
//! a range the trade allows a part is taken as two standard errors to each side,
//! its coverage factor 2 of 6.2). Two sizes told by one reading overlap by the coefficient of
//! Bhattacharyya, exp(-z²/8) for normal distributions of one width that are z standard errors apart.

use std::f64::consts::PI;

use crate::dim::Span;

/// A reading further off than so many standard errors is of another size: one in 16,000 is.
pub const FAR: f64 = 4.0;
/// Two sizes that are so many standard errors apart are told apart by a reading: at two from each.
pub const APART: f64 = 4.0;
/// What is allowed to a side is so many standard errors of what is found.
const COVERAGE: f64 = 2.0;

/// How far a reading lies from a size: its sign says to which side, nothing where they touch.
pub fn off(reading: Span, size: Span) -> i64 {
    if reading.high < size.low {
        reading.high.saturating_sub(size.low)
    } else {
        reading.low.saturating_sub(size.high).max(0)
    }
}

/// A distance in standard errors, with what the trade allows to its side. `error` and `allowed` are in
/// the unit of `off`.
pub fn sigmas(off: i64, error: i64, allowed: Span) -> f64 {
    if off == 0 {
        return 0.0;
    }
    let side = if off < 0 { allowed.low } else { allowed.high };
    let wide = hypotenuse(error, side);
    if wide > 0.0 {
        number(off).abs() / wide
    } else {
        f64::INFINITY
    }
}

fn hypotenuse(error: i64, side: i64) -> f64 {
    number(error).hypot(number(side) / COVERAGE)
}

/// How likely a reading so many standard errors off is, against one that is right on.
pub fn likelihood(sigmas: f64) -> f64 {
    (-sigmas * sigmas / 2.0).exp()
}

/// How likely a reading is of which nothing is known but a plausible range, against one right on.
pub fn unknown(error: i64, range: Span) -> f64 {
    let width = number(range.high.saturating_sub(range.low));
    if error > 0 {
        (number(error) * (2.0 * PI).sqrt() / width.max(1.0)).min(1.0)
    } else {
        1.0 / (width + 1.0)
    }
}

/// How much two sizes so many standard errors apart overlap in one reading: 1 where they are the same.
pub fn overlap(sigmas: f64) -> f64 {
    (-sigmas * sigmas / 8.0).exp()
}

fn number(value: i64) -> f64 {
    // A length in nanometres below 9,000 km is exact as a double.
    #[allow(clippy::cast_precision_loss)]
    let number = value as f64;
    number
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mm(value: f64) -> i64 {
        (value * 1e6).round() as i64
    }

    #[test]
    fn the_law_of_errors_is_that_of_the_tables() {
        // Ordinates of the normal curve against its top: 0.6065 at one standard error, 0.1353 at two
        // (any table of the normal distribution, e.g. NIST/SEMATECH e-Handbook, 1.3.6.7.1).
        assert!((likelihood(1.0) - 0.6065).abs() < 1e-4);
        assert!((likelihood(2.0) - 0.1353).abs() < 1e-4);
        assert!((likelihood(0.0) - 1.0).abs() < 1e-12);
    }

    #[test]
    fn a_reading_inside_a_range_is_not_off() {
        let size = Span::between(mm(33.6), mm(33.9));
        assert_eq!(off(Span::exactly(mm(33.7)), size), 0);
        assert_eq!(off(Span::exactly(mm(33.5)), size), -mm(0.1));
        assert_eq!(off(Span::between(mm(33.8), mm(35.0)), size), 0);
        assert_eq!(off(Span::exactly(mm(34.0)), size), mm(0.1));
    }

    #[test]
    fn what_is_allowed_to_one_side_is_no_excuse_on_the_other() {
        let allowed = Span::between(0, mm(0.2));
        assert!(sigmas(mm(0.15), mm(0.05), allowed) < 1.5);
        assert!(sigmas(-mm(0.15), mm(0.05), allowed) > 2.9);
        assert!(sigmas(1, 0, Span::exactly(0)).is_infinite());
    }

    #[test]
    fn sizes_four_standard_errors_apart_hardly_overlap() {
        assert!(overlap(APART) < 0.14);
        assert!((overlap(0.0) - 1.0).abs() < 1e-12);
    }
}
