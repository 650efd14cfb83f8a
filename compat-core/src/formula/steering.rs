//! Where a fork puts the front of a bike: angles, bottom bracket, trail, wheelbase, reach and stack.
//!
//! The frame is one stiff body. It is drawn with both axles at one height, with its own fork in; the
//! crown race seat and the steering axis are fixed in it. Another fork holds the front axle elsewhere
//! along that axis and before it: axle to crown² = along the axis² + offset². Then the bike is turned
//! about the rear axle until both wheels stand on the ground. Trail = (R · cos a − offset) / sin a with
//! the front wheel's radius R and the head angle a (`u-BFAC` among the sources; published rates of
//! change are in the tests, `s-PVD`). A wheel's radius is taken for half its bead seat and the
//! tyre's nominal width, because a tyre is about as high as it is wide (`u-CFS`). Angles are given to
//! the tenth of a degree and lengths to the millimetre; what they come from is no better.

use uom::si::angle::degree;
use uom::si::f64::{Angle, Length};
use uom::si::length::millimeter;

use super::exact::{float, length, whole};
use crate::dim::Span;

/// The drawing of a frame.
#[derive(Clone, Copy, Debug)]
pub struct Drawing {
    /// Bottom bracket to rear axle.
    pub chainstay: Length,
    /// How far the bottom bracket lies below the axles.
    pub drop: Length,
    /// Bottom bracket to front axle.
    pub front_centre: Length,
    /// The head angle.
    pub head_angle: Angle,
    /// The fork it is drawn with.
    pub fork: Fork,
}

/// A fork.
#[derive(Clone, Copy, Debug)]
pub struct Fork {
    /// Axle to crown, as a straight line.
    pub length: Length,
    /// The axle's distance from the steering axis.
    pub offset: Length,
}

/// How a bike stands.
#[derive(Clone, Copy, Debug)]
pub struct Standing {
    /// How far the frame is turned from its drawing, front up.
    pub turn: Angle,
    /// The head angle.
    pub head_angle: Angle,
    /// How far the bottom bracket stands above the ground.
    pub bottom_bracket: Length,
    /// From axle to axle, along the ground.
    pub wheelbase: Length,
    /// The trail on the ground.
    pub trail: Length,
}

impl Fork {
    /// The part of its length that lies along the steering axis.
    fn along(&self) -> Length {
        (self.length * self.length - self.offset * self.offset).sqrt()
    }
}

impl Drawing {
    /// How the bike stands with a fork and with wheels of these radii. `None` where no such bike can
    /// be drawn.
    pub fn with(&self, fork: &Fork, front: Length, rear: Length) -> Option<Standing> {
        let (sine, cosine) = (self.head_angle.sin(), self.head_angle.cos());
        let bracket = (self.chainstay * self.chainstay - self.drop * self.drop).sqrt();
        let ahead = (self.front_centre * self.front_centre - self.drop * self.drop).sqrt();
        // From the axle the frame is drawn with to the new one: down the axis and before it.
        let (down, before) = (
            fork.along() - self.fork.along(),
            fork.offset - self.fork.offset,
        );
        let across = bracket + ahead + down * cosine + before * sine;
        let up = before * cosine - down * sine;
        let apart = across.hypot(up);
        let turn = Angle::from(((front - rear) / apart).asin()) - up.atan2(across);
        let head_angle = self.head_angle - turn;
        let wheelbase = (apart * apart - (front - rear) * (front - rear)).sqrt();
        let bottom_bracket = rear + bracket * turn.sin() - self.drop * turn.cos();
        let standing = Standing {
            turn,
            head_angle,
            bottom_bracket,
            wheelbase,
            trail: trail(front, head_angle, fork.offset),
        };
        let figures = [bottom_bracket, wheelbase, standing.trail];
        let sound = figures.iter().all(|figure| figure.is_finite()) && turn.is_finite();
        sound.then_some(standing)
    }
}

/// The trail on the ground.
pub fn trail(radius: Length, head_angle: Angle, offset: Length) -> Length {
    (radius * head_angle.cos() - offset) / head_angle.sin()
}

/// Reach and stack after a turn, front up.
pub fn turned(reach: Length, stack: Length, turn: Angle) -> (Length, Length) {
    (
        reach * turn.cos() - stack * turn.sin(),
        stack * turn.cos() + reach * turn.sin(),
    )
}

/// What is known, in nanometres and microdegrees.
#[derive(Clone, Copy, Debug)]
pub struct Known {
    /// Bottom bracket to rear axle.
    pub chainstay: Span,
    /// How far the bottom bracket lies below the axles.
    pub drop: Span,
    /// Bottom bracket to front axle.
    pub front_centre: Span,
    /// The head angle of the drawing.
    pub head_angle: Span,
    /// Length and offset of the fork the frame is drawn with.
    pub drawn: (Span, Span),
    /// Length and offset of the fork that is in.
    pub fork: (Span, Span),
    /// Bead seat and width of the front tyre.
    pub front: (Span, Span),
    /// Bead seat and width of the rear tyre.
    pub rear: (Span, Span),
}

/// The figures of a bike: all that what is known allows.
#[derive(Clone, Copy, Debug)]
pub struct Figures {
    /// The frame's turn from its drawing, front up, in microdegrees and not rounded.
    pub turn: Span,
    /// The head angle.
    pub head_angle: Span,
    /// The height of the bottom bracket.
    pub bottom_bracket: Span,
    /// The wheelbase.
    pub wheelbase: Span,
    /// The trail.
    pub trail: Span,
}

impl Known {
    /// The figures over all corners of what is known.
    pub fn figures(&self) -> Option<Figures> {
        let mut found: Option<Figures> = None;
        let open = self.open();
        for corner in (0..1_u32 << 12).filter(|corner| corner & !open == 0) {
            let at = self.corner(corner)?;
            let one = Figures {
                turn: Span::exactly(whole(at.turn.get::<degree>() * 1.0e6)?),
                head_angle: tenth(at.head_angle)?,
                bottom_bracket: to_millimetre(at.bottom_bracket)?,
                wheelbase: to_millimetre(at.wheelbase)?,
                trail: to_millimetre(at.trail)?,
            };
            found = Some(found.map_or(one, |all| all.hull(&one)));
        }
        found
    }

    /// A bit for each number that is not exact.
    fn open(&self) -> u32 {
        let pairs = [self.drawn, self.fork, self.front, self.rear];
        let single = [
            self.chainstay,
            self.drop,
            self.front_centre,
            self.head_angle,
        ];
        let spans = single
            .into_iter()
            .chain(pairs.into_iter().flat_map(|(one, other)| [one, other]));
        let bits = spans.zip(0..).filter(|(span, _)| !span.is_exact());
        bits.fold(0, |open, (_, bit)| open | 1_u32 << bit)
    }

    /// The bike at a corner: a bit for each number, in the order of `open`.
    fn corner(&self, corner: u32) -> Option<Standing> {
        let mut left = corner;
        let mut pick = |span: Span| {
            let high = left & 1 == 1;
            left >>= 1;
            if high { span.high } else { span.low }
        };
        let (chainstay, drop, centre) = (
            pick(self.chainstay),
            pick(self.drop),
            pick(self.front_centre),
        );
        let angle = pick(self.head_angle);
        let mut both = |(one, other): (Span, Span)| (pick(one), pick(other));
        let (drawn, fork, front, rear) = (
            both(self.drawn),
            both(self.fork),
            both(self.front),
            both(self.rear),
        );
        let fork_of = |(long, offset): (i64, i64)| {
            Some(Fork {
                length: length(long)?,
                offset: length(offset)?,
            })
        };
        let drawing = Drawing {
            chainstay: length(chainstay)?,
            drop: length(drop)?,
            front_centre: length(centre)?,
            head_angle: Angle::new::<degree>(float(angle)? / 1.0e6),
            fork: fork_of(drawn)?,
        };
        let radius = |(seat, width): (i64, i64)| Some(length(seat)? / 2.0 + length(width)?);
        drawing.with(&fork_of(fork)?, radius(front)?, radius(rear)?)
    }
}

impl Figures {
    fn hull(&self, other: &Figures) -> Figures {
        Figures {
            turn: hull(self.turn, other.turn),
            head_angle: hull(self.head_angle, other.head_angle),
            bottom_bracket: hull(self.bottom_bracket, other.bottom_bracket),
            wheelbase: hull(self.wheelbase, other.wheelbase),
            trail: hull(self.trail, other.trail),
        }
    }

    /// An angle of the frame as it stands.
    pub fn angle(&self, drawn: Span) -> Option<Span> {
        let tenths = |value: i64| Some(value.checked_add(50_000)?.div_euclid(100_000) * 100_000);
        Some(Span {
            low: tenths(drawn.low.checked_sub(self.turn.high)?)?,
            high: tenths(drawn.high.checked_sub(self.turn.low)?)?,
        })
    }

    /// Reach and stack as the frame stands.
    pub fn reach_and_stack(&self, reach: Span, stack: Span) -> Option<(Span, Span)> {
        let mut found: Option<(Span, Span)> = None;
        for turn in [self.turn.low, self.turn.high] {
            let turn = Angle::new::<degree>(float(turn)? / 1.0e6);
            for reach in [reach.low, reach.high] {
                for stack in [stack.low, stack.high] {
                    let (reach, stack) = turned(length(reach)?, length(stack)?, turn);
                    let one = (to_millimetre(reach)?, to_millimetre(stack)?);
                    found = Some(found.map_or(one, |all| (hull(all.0, one.0), hull(all.1, one.1))));
                }
            }
        }
        found
    }
}

fn hull(a: Span, b: Span) -> Span {
    Span {
        low: a.low.min(b.low),
        high: a.high.max(b.high),
    }
}

/// Rounded to the tenth of a degree.
fn tenth(angle: Angle) -> Option<Span> {
    let tenths = whole(angle.get::<degree>() * 10.0)?;
    tenths.checked_mul(100_000).map(Span::exactly)
}

/// Rounded to the millimetre.
fn to_millimetre(length: Length) -> Option<Span> {
    let millimetres = whole(length.get::<millimeter>())?;
    millimetres.checked_mul(1_000_000).map(Span::exactly)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mm(value: f64) -> Length {
        Length::new::<millimeter>(value)
    }

    fn deg(value: f64) -> Angle {
        Angle::new::<degree>(value)
    }

    fn fork(length: f64, offset: f64) -> Fork {
        Fork {
            length: mm(length),
            offset: mm(offset),
        }
    }

    fn drawing(wheelbase: f64, chainstay: f64, drop: f64, angle: f64, with: Fork) -> Drawing {
        let bracket = (chainstay * chainstay - drop * drop).sqrt();
        Drawing {
            chainstay: mm(chainstay),
            drop: mm(drop),
            front_centre: mm((wheelbase - bracket).hypot(drop)),
            head_angle: deg(angle),
            fork: with,
        }
    }

    // The same bike found by trying: the frame as points in the plane, the new front axle put on the
    // steering axis by walking along it, and the whole turned about the rear axle in ever smaller
    // steps until the front axle is as high as its wheel is large.
    fn by_trying(drawn: &Drawing, new: &Fork, front: f64, rear: f64) -> (f64, f64, f64, f64) {
        let angle = drawn.head_angle.get::<degree>().to_radians();
        let (stay, drop) = (
            drawn.chainstay.get::<millimeter>(),
            drawn.drop.get::<millimeter>(),
        );
        let centre = drawn.front_centre.get::<millimeter>();
        let bracket = ((stay * stay - drop * drop).sqrt(), -drop);
        let axle = (bracket.0 + (centre * centre - drop * drop).sqrt(), 0.0);
        let axis = (-angle.cos(), angle.sin());
        let before = (angle.sin(), angle.cos());
        let foot = |offset: f64| (axle.0 - before.0 * offset, axle.1 - before.1 * offset);
        let apart = |a: (f64, f64), b: (f64, f64)| (a.0 - b.0).hypot(a.1 - b.1);
        // The crown race seat: up the axis until it is the fork's length from the axle.
        let start = foot(drawn.fork.offset.get::<millimeter>());
        let (mut low, mut high) = (0.0, 2_000.0);
        for _ in 0..80 {
            let way = (low + high) / 2.0;
            let seat = (start.0 + axis.0 * way, start.1 + axis.1 * way);
            let long = apart(seat, axle) > drawn.fork.length.get::<millimeter>();
            if long { high = way } else { low = way }
        }
        let seat = (start.0 + axis.0 * low, start.1 + axis.1 * low);
        // Down again by the new fork.
        let offset = new.offset.get::<millimeter>();
        let (mut low, mut high) = (0.0, 2_000.0);
        let put = |way: f64| {
            (
                seat.0 - axis.0 * way + before.0 * offset,
                seat.1 - axis.1 * way + before.1 * offset,
            )
        };
        for _ in 0..80 {
            let way = (low + high) / 2.0;
            let long = apart(put(way), seat) > new.length.get::<millimeter>();
            if long { high = way } else { low = way }
        }
        let axle = put(low);
        let turned = |(x, y): (f64, f64), by: f64| {
            (x * by.cos() - y * by.sin(), x * by.sin() + y * by.cos())
        };
        let (mut low, mut high) = (-1.0_f64, 1.0_f64);
        for _ in 0..80 {
            let by = (low + high) / 2.0;
            if turned(axle, by).1 + rear > front {
                high = by
            } else {
                low = by
            }
        }
        let axle = turned(axle, low);
        // The steering axis through the seat, down to the ground.
        let (seat, axis) = (turned(seat, low), turned(axis, low));
        let down = (seat.1 + rear) / axis.1;
        let trail = seat.0 - axis.0 * down - axle.0;
        let head = axis.1.atan2(-axis.0).to_degrees();
        (head, turned(bracket, low).1 + rear, axle.0, trail)
    }

    #[test]
    fn the_frame_turned_as_points_agrees() {
        let bikes = [
            (1200.0, 435.0, 30.0, 65.0, 571.0, 44.0, 370.0, 370.0),
            (1060.0, 430.0, 40.0, 70.0, 470.0, 42.0, 345.0, 345.0),
            (985.0, 410.0, 70.0, 73.0, 370.0, 45.0, 340.0, 340.0),
            (1180.0, 440.0, 20.0, 66.0, 550.0, 42.0, 375.0, 355.0),
        ];
        for (base, stay, drop, angle, long, offset, front, rear) in bikes {
            let drawn = drawing(base, stay, drop, angle, fork(long, offset));
            for (more, other) in [
                (-40.0, 0.0),
                (-10.0, 8.0),
                (0.0, 0.0),
                (20.0, -5.0),
                (60.0, 3.0),
            ] {
                let new = fork(long + more, offset + other);
                let found = drawn.with(&new, mm(front), mm(rear)).unwrap();
                let (head, bracket, wheelbase, trail) = by_trying(&drawn, &new, front, rear);
                assert!((found.head_angle.get::<degree>() - head).abs() < 1.0e-6);
                for (one, other) in [
                    (found.bottom_bracket, bracket),
                    (found.wheelbase, wheelbase),
                    (found.trail, trail),
                ] {
                    assert!(
                        (one.get::<millimeter>() - other).abs() < 1.0e-5,
                        "{one:?} {other}"
                    );
                }
            }
        }
    }

    // Published rates for a bike without rear suspension and a wheelbase of 1058 (`s-PVD`): 0.0521
    // degrees of head angle and 0.3868 mm of bottom-bracket height for each millimetre. The page does
    // not give the rest of the bike; for ones of its time the rates come within a twentieth.
    #[test]
    fn published_rates_of_change() {
        for (angle, stay, drop) in [(70.0, 425.0, 30.0), (71.0, 430.0, 40.0)] {
            let drawn = drawing(1058.0, stay, drop, angle, fork(470.0, 40.0));
            let at = |length: f64| {
                drawn
                    .with(&fork(length, 40.0), mm(340.0), mm(340.0))
                    .unwrap()
            };
            let (one, other) = (at(469.5), at(470.5));
            let rate = (one.head_angle - other.head_angle).get::<degree>();
            assert!((rate / 0.0521 - 1.0).abs() < 0.05, "{rate}");
            let rate = (other.bottom_bracket - one.bottom_bracket).get::<millimeter>();
            assert!((rate / 0.3868 - 1.0).abs() < 0.05, "{rate}");
        }
    }

    // A frame builder's rule on a mailing list: an inch of fork is about a degree.
    #[test]
    fn an_inch_of_fork_is_about_a_degree() {
        for wheelbase in [980.0, 1020.0, 1060.0, 1100.0] {
            let drawn = drawing(wheelbase, 430.0, 60.0, 72.0, fork(380.0, 45.0));
            let new = drawn
                .with(&fork(405.0, 45.0), mm(340.0), mm(340.0))
                .unwrap();
            let turn = new.turn.get::<degree>();
            assert!((1.0..1.6).contains(&turn), "{turn}");
        }
    }

    // A rider's block of 10 mm under a front wheel: about half a degree and 3 mm of trail
    // (`u-BFRK`). A block of that height is a fork longer by it over the sine of the angle.
    #[test]
    fn a_block_under_the_wheel() {
        let drawn = drawing(1000.0, 420.0, 70.0, 72.5, fork(376.0, 45.0));
        let at = |length: f64| {
            drawn
                .with(&fork(length, 45.0), mm(340.0), mm(340.0))
                .unwrap()
        };
        let (before, after) = (at(376.0), at(376.0 + 10.0 / 72.5_f64.to_radians().sin()));
        let turn = (before.head_angle - after.head_angle).get::<degree>();
        assert!((turn - 0.5).abs() < 0.1, "{turn}");
        let more = (after.trail - before.trail).get::<millimeter>();
        assert!((more - 3.0).abs() < 1.0, "{more}");
    }

    // A forum's sum (`u-BFAC`): tyres of 23-622, 73 degrees, offset from 38 to 28: 62 to 73 mm of
    // trail. It rounds down and takes the tyre for what it is wide.
    #[test]
    fn a_published_trail() {
        let radius = mm(622.0 / 2.0 + 23.0);
        for (offset, published) in [(38.0, 62.0), (28.0, 73.0)] {
            let found = trail(radius, deg(73.0), mm(offset)).get::<millimeter>();
            assert!((found - published).abs() < 1.0, "{found}");
        }
    }

    #[test]
    fn the_frame_as_drawn_stands_as_drawn() {
        let drawn = drawing(1000.0, 420.0, 70.0, 73.0, fork(370.0, 45.0));
        let same = drawn.with(&drawn.fork, mm(340.0), mm(340.0)).unwrap();
        assert!(same.turn.get::<degree>().abs() < 1.0e-9);
        assert!((same.wheelbase.get::<millimeter>() - 1000.0).abs() < 1.0e-9);
        assert!((same.bottom_bracket.get::<millimeter>() - 270.0).abs() < 1.0e-9);
        let (reach, stack) = turned(mm(385.0), mm(565.0), deg(1.0));
        assert!((reach.get::<millimeter>() - 375.08).abs() < 0.01);
        assert!((stack.get::<millimeter>() - 571.63).abs() < 0.01);
    }

    #[test]
    fn what_is_not_sure_gives_a_span_that_holds_it() {
        let one = |value: i64| Span::exactly(value * 1_000_000);
        let known = |length: Span| Known {
            chainstay: one(430),
            drop: one(60),
            front_centre: one(620),
            head_angle: one(72),
            drawn: (one(390), one(45)),
            fork: (length, one(45)),
            front: (one(622), one(32)),
            rear: (one(622), one(32)),
        };
        let wide = known(Span::between(380_000_000, 410_000_000))
            .figures()
            .unwrap();
        for length in [380, 387, 396, 410] {
            let exact = known(one(length)).figures().unwrap();
            assert!(wide.head_angle.holds(exact.head_angle));
            assert!(wide.bottom_bracket.holds(exact.bottom_bracket));
            assert!(wide.trail.holds(exact.trail) && wide.wheelbase.holds(exact.wheelbase));
        }
        assert!(known(Span::ALL).figures().is_none());
        assert!(known(one(20)).figures().is_none());
    }
}
