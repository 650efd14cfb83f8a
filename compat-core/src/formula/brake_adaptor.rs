//! How far a disc brake moves for another rotor.
//!
//! A rotor is named by its diameter, and the brake sits at its edge: a rotor larger by so much wants
//! the brake further out by half of it, whatever the mount. On post mounts the way out runs at 60
//! degrees, which changes the direction and not the length (P. Verdone, peterverdone.com, after a
//! brake maker's drawing; the tests work his coordinates out). The result is rounded down to the
//! whole nanometre.

use crate::dim::Span;

/// How far the brake moves out for a rotor larger by `more`.
pub fn lift(more: Span) -> Span {
    let half = |value: i64| match value {
        Span::LEAST | Span::MOST => value,
        _ => value.div_euclid(2),
    };
    Span {
        low: half(more.low),
        high: half(more.high),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Where a post mount stands from the axle, by the drawing: along and across.
    fn post_mount(rotor: f64) -> (f64, f64) {
        let out = 51.810_820_07 + (rotor - 160.0) / 2.0;
        let across = 22.061_027_25;
        let (sin, cos) = 60.0_f64.to_radians().sin_cos();
        (sin * out + cos * across, cos * out - sin * across)
    }

    // The published coordinates of post mounts, worked out independently of the half.
    #[test]
    fn the_drawing_moves_by_half_the_difference() {
        for (from, to) in [(160, 180), (160, 203), (180, 200), (140, 160), (200, 203)] {
            let (a, b) = (post_mount(from.into()), post_mount(to.into()));
            let moved = (b.0 - a.0).hypot(b.1 - a.1);
            let found = lift(Span::exactly(i64::from(to - from) * 1_000_000));
            let expected = f64::from(i32::try_from(found.low).unwrap()) / 1.0e6;
            assert!(
                (moved - expected).abs() < 1.0e-6,
                "{from} to {to}: {moved} and {expected}"
            );
        }
    }

    // TBS Bike Parts, 200mm rotor vs 203mm rotor: spacers of 1.5 mm.
    #[test]
    fn three_millimetres_are_spacers_of_one_and_a_half() {
        assert_eq!(lift(Span::exactly(3_000_000)), Span::exactly(1_500_000));
        assert_eq!(lift(Span::at_least(0)).high, Span::MOST);
    }
}
