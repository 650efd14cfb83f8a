//! Between exact whole numbers (nanometres, millionths) and the floating point of a formula.

use uom::si::f64::Length;
use uom::si::length::nanometer;

/// Every whole number up to this one is exact as a double (IEEE 754, 53 bits of significand); in
/// nanometres it is nine thousand kilometres, and the open end of a span lies above it.
const MOST: i64 = 1 << 53;

/// A whole number as a double; `None` where it would not be exact, as the open end of a span is not.
#[allow(clippy::cast_precision_loss)]
pub fn float(value: i64) -> Option<f64> {
    (-MOST..=MOST).contains(&value).then_some(value as f64)
}

/// The same of a number above nothing.
pub fn positive(value: i64) -> Option<f64> {
    float(value).filter(|value| *value > 0.0)
}

/// The nearest whole number; `None` for what is no number, or not exact as a double.
#[allow(clippy::cast_possible_truncation)]
pub fn whole(value: f64) -> Option<i64> {
    let rounded = value.round();
    let most = float(MOST)?;
    (-most..=most).contains(&rounded).then_some(rounded as i64)
}

/// A length of so many nanometres.
pub fn length(nanometres: i64) -> Option<Length> {
    float(nanometres).map(Length::new::<nanometer>)
}

/// Nanometres as millimetres.
pub fn millimetres(nanometres: i64) -> Option<f64> {
    Some(float(nanometres)? / 1.0e6)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_exact_comes_back() {
        for value in [0, 1, -1, 27_200_000, 1_000_000_007, MOST, -MOST] {
            assert_eq!(float(value).and_then(whole), Some(value));
        }
    }

    #[test]
    fn what_is_not_exact_is_not_taken() {
        for value in [i64::MIN, i64::MAX, MOST + 1, -MOST - 1] {
            assert_eq!(float(value), None);
        }
        for value in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 1.0e17] {
            assert_eq!(whole(value), None);
        }
        assert_eq!(positive(0), None);
        assert_eq!(whole(2.5), Some(3));
        assert_eq!(whole(-2.5), Some(-3));
    }
}
