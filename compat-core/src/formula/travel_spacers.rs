//! Spacers inside a shock: each takes its thickness from the stroke, and strokes of one body stand
//! one step apart (`s-GGS` and `s-BLI` among the sources). Whole nanometres; rounded up to the next
//! whole step, so that the stroke left is never longer than wanted.

use crate::dim::Span;

/// How much of spacers, in whole steps, takes a stroke that is `more` too long to within `same` of
/// the one wanted. `None` where that is not one amount, or none is needed.
pub fn to_fit(more: Span, same: i64, step: i64) -> Option<i64> {
    let steps = |more: i64| {
        let over = more.checked_sub(same)?;
        let whole = over.checked_div(step)?;
        let up = i64::from(whole.checked_mul(step)? < over);
        whole.checked_add(up)
    };
    if step <= 0 || same < 0 {
        return None;
    }
    let fewest = steps(more.low)?;
    (fewest > 0 && steps(more.high)? == fewest).then(|| fewest.checked_mul(step))?
}

#[cfg(test)]
mod tests {
    use super::*;

    const MM: i64 = 1_000_000;

    // In tenths of a millimetre.
    fn much(more: i64) -> Option<i64> {
        to_fit(Span::exactly(more * MM / 10), MM, 5 * MM / 2)
    }

    // One frame sold with 230x65 and, with spacers, 230x57.5; another with 5 mm of spacers
    // (`s-GGS`). Strokes of 65, 62.5 and 60, and of 55, 52.5 and 50, of one length each (`s-BLI`).
    #[test]
    fn published_steps() {
        assert_eq!(much(75), Some(75 * MM / 10));
        assert_eq!(much(50), Some(5 * MM));
        assert_eq!(much(25), Some(25 * MM / 10));
    }

    #[test]
    fn between_two_steps_the_longer_is_taken() {
        assert_eq!(much(42), Some(5 * MM));
        assert_eq!(much(63), Some(75 * MM / 10));
    }

    #[test]
    fn what_is_not_one_amount_is_not_told() {
        assert_eq!(much(0), None);
        assert_eq!(much(10), None);
        assert_eq!(to_fit(Span::between(2 * MM, 9 * MM), MM, MM), None);
        assert_eq!(to_fit(Span::ALL, MM, MM), None);
        assert_eq!(to_fit(Span::exactly(i64::MAX), 0, 1), Some(i64::MAX));
        assert_eq!(to_fit(Span::exactly(MM), 0, 0), None);
    }
}
