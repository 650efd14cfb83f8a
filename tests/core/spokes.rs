//! Spoke lengths and tensions against points in space: both ends of every spoke of a whole wheel are
//! placed on hub and rim, and the distance and the pull are taken from there.

use std::f64::consts::TAU;

use compat_core::dim::Span;
use compat_core::formula::spokes::Known;

type Point = [f64; 3];

/// A point on a circle round the axle, so far along it.
fn on_circle(diameter: f64, turn: f64, along: f64) -> Point {
    let (sin, cos) = (turn * TAU).sin_cos();
    [diameter / 2.0 * cos, diameter / 2.0 * sin, along]
}

fn between(a: Point, b: Point) -> Point {
    [b[0] - a[0], b[1] - a[1], b[2] - a[2]]
}

fn size(v: Point) -> f64 {
    v.iter().map(|x| x * x).sum::<f64>().sqrt()
}

struct Wheel {
    spokes: u32,
    crosses: u32,
    rim: f64,
    shift: f64,
    /// Hole circle and distance from the middle: left, right.
    flanges: [(f64, f64); 2],
}

/// Both ends of the spokes of one side: at the hub, at the rim. The left side is along minus.
fn side(wheel: &Wheel, right: bool) -> Vec<(Point, Point)> {
    let (circle, from_middle) = wheel.flanges[usize::from(right)];
    let flange = if right { from_middle } else { -from_middle };
    let rim = -wheel.shift;
    let each = wheel.spokes / 2;
    let holes = f64::from(wheel.spokes);
    (0..each)
        .map(|number| {
            // The holes of a flange are evenly drilled, the right one's between the left one's.
            let at_hub = (f64::from(number) + if right { 0.5 } else { 0.0 }) / f64::from(each);
            // Two spokes of a flange that meet the rim side by side leave it from holes that are
            // twice the crosses less one apart; the rim's holes of one side are two steps apart, and
            // each spoke goes on by half of both.
            let hub_steps = f64::from(2 * wheel.crosses) - 1.0;
            let swing = if wheel.crosses == 0 {
                0.0
            } else {
                (hub_steps / f64::from(each) + 2.0 / holes) / 2.0
            };
            let at_rim = at_hub + if number % 2 == 0 { swing } else { -swing };
            (
                on_circle(circle, at_hub, flange),
                on_circle(wheel.rim, at_rim, rim),
            )
        })
        .collect()
}

fn nano(mm: f64) -> Span {
    Span::exactly((mm * 1.0e6).round() as i64)
}

fn known(wheel: &Wheel, right: bool, hole: f64) -> Known {
    let (circle, from_middle) = wheel.flanges[usize::from(right)];
    let shift = if right { wheel.shift } else { -wheel.shift };
    Known {
        rim: nano(wheel.rim),
        circle: nano(circle),
        offset: nano(from_middle + shift),
        hole: nano(hole),
        crosses: wheel.crosses.into(),
        spokes: wheel.spokes.into(),
    }
}

fn wheels() -> Vec<Wheel> {
    let wheel = |spokes, crosses, rim, shift, left, right| Wheel {
        spokes,
        crosses,
        rim,
        shift,
        flanges: [left, right],
    };
    vec![
        // Hub figures for a rear and a front wheel as Bike From Scratch (22 January 2009) has them.
        wheel(32, 3, 601.0, 0.0, (45.0, 37.2), (45.0, 22.0)),
        wheel(32, 3, 604.0, 0.0, (38.0, 38.5), (38.0, 38.5)),
        wheel(36, 3, 536.0, 0.0, (44.0, 35.3), (45.0, 22.1)),
        wheel(28, 2, 562.0, 2.5, (54.0, 34.0), (49.0, 19.0)),
        wheel(24, 2, 590.0, -3.0, (58.0, 22.0), (44.0, 36.0)),
        wheel(20, 0, 602.0, 0.0, (30.0, 37.0), (30.0, 37.0)),
        wheel(36, 4, 400.0, 0.0, (102.0, 30.0), (102.0, 28.0)),
        wheel(48, 4, 540.0, 0.0, (67.0, 40.0), (67.0, 31.0)),
    ]
}

#[test]
fn lengths_are_the_distances_between_the_holes() {
    for wheel in wheels() {
        for right in [false, true] {
            let found = known(&wheel, right, 2.6).length().unwrap();
            for (hub, rim) in side(&wheel, right) {
                let distance = size(between(hub, rim)) - 1.3;
                let off = found.low as f64 / 1.0e6 - distance;
                assert!(
                    off.abs() < 0.006,
                    "{} x{}: {off}",
                    wheel.spokes,
                    wheel.crosses
                );
            }
        }
    }
}

/// The spokes of one side that cross a spoke between hub and rim, seen along the axle.
fn crossings(spokes: &[(Point, Point)], one: usize) -> usize {
    let flat = |a: Point, b: Point, c: Point| {
        (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
    };
    let (a, b) = spokes[one];
    let others = spokes
        .iter()
        .enumerate()
        .filter(|(number, _)| *number != one);
    others
        .filter(|(_, (c, d))| {
            flat(a, b, *c) * flat(a, b, *d) < 0.0 && flat(*c, *d, a) * flat(*c, *d, b) < 0.0
        })
        .count()
}

/// The angle of the formula is that of a wheel whose spokes cross as often as they are said to.
#[test]
fn spokes_placed_so_cross_as_often_as_they_are_said_to() {
    for wheel in wheels() {
        let spokes = side(&wheel, false);
        for one in 0..spokes.len() {
            assert_eq!(
                crossings(&spokes, one),
                wheel.crosses as usize,
                "{} x{}",
                wheel.spokes,
                wheel.crosses
            );
        }
    }
}

/// Every spoke ends in a rim hole of its own, evenly round the rim.
#[test]
fn every_spoke_has_a_rim_hole_of_its_own() {
    for wheel in wheels() {
        let mut ends: Vec<f64> = [false, true]
            .into_iter()
            .flat_map(|right| side(&wheel, right))
            .map(|(_, rim)| (rim[1].atan2(rim[0]) / TAU).rem_euclid(1.0) * f64::from(wheel.spokes))
            .collect();
        ends.sort_by(f64::total_cmp);
        let first = ends[0];
        for (number, end) in ends.iter().enumerate() {
            let off = end - first - number as f64;
            assert!(
                off.abs() < 1.0e-6,
                "{} x{}: {off}",
                wheel.spokes,
                wheel.crosses
            );
        }
    }
}

/// With the tensions told, the sideways pulls of both sides cancel.
#[test]
fn the_tensions_told_hold_the_rim_in_the_middle() {
    for wheel in wheels() {
        let (left, right) = (known(&wheel, false, 2.6), known(&wheel, true, 2.6));
        let share = left.tension(&right).unwrap().low as f64 / 1.0e6;
        let pull = |on_right: bool, tension: f64| -> f64 {
            side(&wheel, on_right)
                .into_iter()
                .map(|(hub, rim)| {
                    let along = between(rim, hub);
                    tension * along[2] / size(along)
                })
                .sum()
        };
        let sum = pull(false, share) + pull(true, 1.0);
        let whole = pull(true, 1.0).abs();
        assert!(
            (sum / whole).abs() < 0.02,
            "{} x{}: {sum} of {whole}",
            wheel.spokes,
            wheel.crosses
        );
    }
}

/// Readings with a width give every length between.
#[test]
fn a_reading_with_a_width_gives_all_its_lengths() {
    let wheel = &wheels()[2];
    let wide = Known {
        rim: Span::between(535_000_000, 537_000_000),
        hole: Span::between(2_400_000, 2_600_000),
        ..known(wheel, false, 2.6)
    };
    let span = wide.length().unwrap();
    for rim in [535.0, 535.7, 536.4, 537.0] {
        for hole in [2.4, 2.5, 2.6] {
            let one = Known {
                rim: nano(rim),
                ..known(wheel, false, hole)
            };
            assert!(span.holds(one.length().unwrap()), "{rim} {hole}");
        }
    }
}
