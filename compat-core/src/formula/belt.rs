//! How long a chain must be: once round a ring and a cog, and twice between them.
//!
//! Each wheel is taken for the circle whose circumference is its number of teeth times the pitch,
//! and the chain for a belt round both: a belt laid on such a circle covers as many pitches as it
//! passes teeth. The chain lies on chords of a slightly larger circle; what that changes in the
//! straight runs is a few hundredths of a millimetre (the tests walk the corners of both wheels). The
//! equation is that of a belt round two pulleys (`d-XKCD` among the sources); the one printed in repair
//! handbooks is its first terms (`d-BF86`). The pitch of every bicycle chain is half an inch
//! (`d-BGC`, `d-PVD`).
//!
//! Belts come out to the nearest tenth of a millimetre. Numbers of links are rounded up to
//! an even number: a chain joins an inner link to an outer one.

use std::f64::consts::PI;

use super::exact::{positive, whole};
use crate::dim::Span;

/// The pitch of a bicycle chain, in nanometres.
pub const PITCH: i64 = 12_700_000;

/// The belt round two wheels of so many teeth whose centres stand so far apart, all in pitches.
/// `None` where one wheel swallows the other.
pub fn belt(ring: f64, cog: f64, centres: f64) -> Option<f64> {
    let (large, small) = (ring.max(cog) / (2.0 * PI), ring.min(cog) / (2.0 * PI));
    let step = large - small;
    let known = ring.is_finite() && cog.is_finite() && centres.is_finite();
    let apart = known && small >= 0.0 && centres > step;
    apart.then(|| {
        let lean = (step / centres).asin();
        let straight = 2.0 * (centres * centres - step * step).sqrt();
        straight + large * (PI + 2.0 * lean) + small * (PI - 2.0 * lean)
    })
}

/// What is known of a ring, a cog and the distance between their centres.
#[derive(Clone, Copy, Debug)]
pub struct Run {
    /// Teeth of the ring.
    pub ring: Span,
    /// Teeth of the cog.
    pub cog: Span,
    /// Bottom bracket to axle, in nanometres.
    pub centres: Span,
}

impl Run {
    /// The length of the belt, in nanometres. It grows with each of the three, so the ends of what
    /// is known give its ends.
    pub fn length(&self) -> Option<Span> {
        let one = |ring: i64, cog: i64, centres: i64| {
            let pitches = belt(positive(ring)?, positive(cog)?, pitches(centres)?)?;
            nanometres(pitches)
        };
        Some(Span {
            low: one(self.ring.low, self.cog.low, self.centres.low)?,
            high: one(self.ring.high, self.cog.high, self.centres.high)?,
        })
    }
}

/// The length of so many links.
pub fn of_links(links: Span) -> Span {
    links.times(PITCH)
}

/// What a cage that takes up so many teeth takes up of the chain: half a pitch for each, for the
/// chain goes half way round.
pub fn take_up(capacity: Span) -> Span {
    Span {
        low: half(capacity.low),
        high: half(capacity.high),
    }
}

fn half(teeth: i64) -> i64 {
    match teeth {
        Span::LEAST | Span::MOST => teeth,
        _ => teeth.saturating_mul(PITCH / 2),
    }
}

/// The fewest links that reach so far: an even number, not less. `None` for an open end.
pub fn even_links(length: i64) -> Option<i64> {
    let pair = PITCH * 2;
    (length > 0 && length < i64::MAX / 2)
        .then(|| length.div_euclid(pair) + i64::from(length.rem_euclid(pair) != 0))
        .map(|pairs| pairs * 2)
}

/// How many links are left when all pairs are taken out.
pub fn beyond_pairs(links: Span) -> Span {
    match links.is_exact() {
        true => Span::exactly(links.low.rem_euclid(2)),
        false => Span::between(0, 1),
    }
}

/// A length as new chains come out: times a ratio in millionths, rounded to the nearest tenth of a
/// millimetre.
pub fn spread(length: Span, new: Span) -> Option<Span> {
    Some(Span {
        low: times(length.low, new.low)?,
        high: times(length.high, new.high)?,
    })
}

fn times(length: i64, ratio: i64) -> Option<i64> {
    let product = i128::from(length) * i128::from(ratio);
    let tenths = (product + 50_000_000_000).div_euclid(100_000_000_000);
    i64::try_from(tenths * 100_000).ok()
}

/// What a slot takes: the belt with the axle at its front and at its back, and how new chains
/// differ from their nominal length.
#[derive(Clone, Copy, Debug)]
pub struct Slot {
    /// The belt with the axle at the front.
    pub front: Span,
    /// The belt with the axle at the back.
    pub back: Span,
    /// How much a new chain measures of its nominal length, in millionths.
    pub new: Span,
}

impl Slot {
    /// The most links that surely lie taut somewhere in the slot: pairs only, or with a half link.
    pub fn links(self, pairs: bool) -> Option<i64> {
        let step = if pairs { 2 } else { 1 };
        let most = links_within(self.back.low, pairs)?;
        let fits = |links: &i64| {
            let length = spread(of_links(Span::exactly(*links)), self.new);
            length
                .is_some_and(|length| length.low >= self.front.high && length.high <= self.back.low)
        };
        [most, most.saturating_sub(step)].into_iter().find(fits)
    }

    /// Whether some number of links below a given one, with a half link or without, may lie taut in
    /// the slot: as new chains come out, and wherever in its readings the slot is.
    pub fn may_below(self, links: i64) -> bool {
        // The longest that may be short enough for the back; those below it are shorter still.
        let shortest = times(self.back.high, 2_000_000 - self.new.low).unwrap_or(self.back.high);
        let most = links_within(shortest, false).map(|most| most.min(links.saturating_sub(1)));
        let may = |links: i64| {
            let length = spread(of_links(Span::exactly(links)), self.new);
            length
                .is_some_and(|length| length.high >= self.front.low && length.low <= self.back.high)
        };
        most.is_some_and(|most| may(most) || may(most.saturating_sub(1)))
    }
}

/// How much longer than the belt the chain of the nearest number of pairs is; less than nothing
/// where it is shorter.
pub fn off_by(belt: Span) -> Option<Span> {
    let links = links_within(belt.low, true).filter(|_| belt.is_exact())?;
    let short = of_links(Span::exactly(links)).plus(belt.negated());
    let long = short.plus(Span::exactly(2 * PITCH));
    Some(match short.low.saturating_neg() <= long.low {
        true => short,
        false => long,
    })
}

fn links_within(length: i64, pairs: bool) -> Option<i64> {
    let links = (length > 0 && length < i64::MAX / 2).then(|| length.div_euclid(PITCH))?;
    Some(if pairs {
        links - links.rem_euclid(2)
    } else {
        links
    })
}

/// How much chain a play up and down in the middle of a run takes: half of it to either side of a
/// straight line of so many nanometres.
pub fn slack(play: i64, centres: i64) -> Option<i64> {
    let (play, centres) = (pitches(play)?, pitches(centres)?);
    let bent = (centres * centres + play * play).sqrt();
    // To the nearest hundredth of a millimetre: it is less than one.
    whole((bent - centres) * 1_270.0)?.checked_mul(10_000)
}

fn pitches(length: i64) -> Option<f64> {
    Some(positive(length)? / 12.7e6)
}

/// To the nearest tenth of a millimetre.
fn nanometres(pitches: f64) -> Option<i64> {
    whole(pitches * 127.0)?
        .checked_mul(100_000)
        .filter(|length| *length > 0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn run(ring: i64, cog: i64, millimetres: f64) -> Run {
        let tenths = format!("{:.0}", millimetres * 1000.0)
            .parse::<i64>()
            .unwrap();
        Run {
            ring: Span::exactly(ring),
            cog: Span::exactly(cog),
            centres: Span::exactly(tenths * 1_000),
        }
    }

    fn inches(ring: i64, cog: i64, centres: f64) -> f64 {
        let length = run(ring, cog, centres * 25.4).length().unwrap();
        assert!(length.is_exact());
        f64::from(i32::try_from(length.low / 10_000).unwrap()) / 2_540.0
    }

    // Worked examples: 17.25 in, 52 and 28 teeth print 55.93 in with the inch that is added, and are
    // rounded to 56 (`d-BF86`, whose equation counts the difference of the wheels twice over); 16.375
    // in, 42 and 32 teeth print 52.25 (`u-PTQ`, whose short equation leaves the difference out). The
    // length lies between what the one and the other make of it.
    #[test]
    fn the_handbook_equations_are_met() {
        let long = inches(52, 28, 17.25) + 1.0;
        assert!(long < 55.925_739 && long > 55.5, "{long}");
        assert_eq!(
            even_links(run(52, 28, 17.25 * 25.4).length().unwrap().low + 2 * PITCH),
            Some(112)
        );
        let short = inches(42, 32, 16.375) + 1.0;
        assert!(short > 52.25 && short < 52.3, "{short}");
    }

    // A metric equation: 0.157 x stays in mm + half the teeth + 2 links (`d-BF86`; its own example adds
    // up wrongly, to 108.94 for 420 mm, 44 and 28 teeth). It leaves the difference of the wheels
    // out, and takes 0.157 for 2 / 12.7.
    #[test]
    fn the_metric_equation_is_met() {
        for (ring, cog, stays) in [(44_u8, 28_u8, 420.0), (34, 34, 435.0), (50, 34, 405.0)] {
            let printed = 0.157 * stays + f64::from(ring + cog) / 2.0 + 2.0;
            let found = inches(ring.into(), cog.into(), stays / 25.4) * 2.0 + 2.0;
            assert!((found - printed - 0.3).abs() < 0.2, "{found} {printed}");
        }
    }

    // A reader's bike (`u-CC28`): stays of 408 mm, 50/34 and a chain of 106 links; with 28 teeth behind
    // the cage is not near its end. The rule gives 106.
    #[test]
    fn a_bike_that_runs() {
        let around = run(50, 28, 408.0).length().unwrap().low;
        assert_eq!(even_links(around + 2 * PITCH), Some(106));
    }

    // The perimeter of the smallest hull round two circles is the integral of its support function
    // over a whole turn (Cauchy), which knows nothing of straight runs and arcs.
    #[test]
    fn the_integral_of_the_support_function_agrees() {
        for (ring, cog, centres) in [
            (52.0, 11.0, 31.9),
            (22.0, 34.0, 33.5),
            (34.0, 34.0, 35.4),
            (50.0, 28.0, 32.1),
            (30.0, 52.0, 34.2),
            (11.0, 52.0, 31.0),
        ] {
            let steps = 200_000_u32;
            let turn = 2.0 * PI;
            let sum: f64 = (0..steps)
                .map(|step| {
                    let angle = turn * f64::from(step) / f64::from(steps);
                    (ring / turn).max(cog / turn + centres * angle.cos())
                })
                .sum();
            let walked = sum * turn / f64::from(steps);
            let found = belt(ring, cog, centres).unwrap();
            assert!(
                (walked - found).abs() < 1.0e-6,
                "{ring}/{cog}: {walked} {found}"
            );
        }
    }

    fn hull(mut points: Vec<(f64, f64)>) -> f64 {
        points.sort_by(|a, b| a.partial_cmp(b).unwrap());
        let half = |points: &mut dyn Iterator<Item = (f64, f64)>| {
            let mut line: Vec<(f64, f64)> = Vec::new();
            for point in points {
                while let [.., a, b] = line.as_slice() {
                    let turn = (b.0 - a.0) * (point.1 - a.1) - (b.1 - a.1) * (point.0 - a.0);
                    if turn > 0.0 {
                        break;
                    }
                    line.pop();
                }
                line.push(point);
            }
            let pairs = line.windows(2);
            pairs
                .map(|w| (w[1].0 - w[0].0).hypot(w[1].1 - w[0].1))
                .sum::<f64>()
        };
        half(&mut points.iter().copied()) + half(&mut points.iter().rev().copied())
    }

    // A chain lies on the corners of two polygons whose sides are one pitch. Round both, over many
    // positions of each wheel, the smallest hull of the corners is what the chain must cover.
    #[test]
    fn walking_the_corners_of_both_wheels_agrees() {
        for (ring, cog, centres) in [
            (52_u8, 11_u8, 31.9),
            (34, 34, 35.4),
            (42, 16, 32.5),
            (30, 52, 34.2),
        ] {
            let corners = |teeth: u8, middle: f64, turned: f64| {
                let radius = 0.5 / (PI / f64::from(teeth)).sin();
                (0..teeth).map(move |tooth| {
                    let angle = 2.0 * PI * (f64::from(tooth) + turned) / f64::from(teeth);
                    (middle + radius * angle.cos(), radius * angle.sin())
                })
            };
            let mut lengths = Vec::new();
            for front in 0..20_u8 {
                for rear in 0..20_u8 {
                    let points = corners(ring, 0.0, f64::from(front) / 20.0).chain(corners(
                        cog,
                        centres,
                        f64::from(rear) / 20.0,
                    ));
                    lengths.push(hull(points.collect()));
                }
            }
            let most = lengths.iter().copied().fold(0.0, f64::max);
            let least = lengths.iter().copied().fold(f64::MAX, f64::min);
            let found = belt(f64::from(ring), f64::from(cog), centres).unwrap();
            // In pitches: 0.02 is a quarter of a millimetre on a metre and a quarter.
            assert!(
                least - 0.02 < found && found < most + 0.02,
                "{ring}/{cog}: {least} {found} {most}"
            );
            assert!(most - least < 0.1, "{ring}/{cog}: {least} {most}");
        }
    }

    // From a page on fixed gears (`u-SBF`): the axle stands in the same place with 42/16, with 45/17 and
    // an inch more of chain, and with 48/18 and two inches more; one tooth more is an eighth of an
    // inch of axle.
    #[test]
    fn teeth_and_links_trade_as_published() {
        let base = inches(42, 16, 16.5);
        for (ring, cog, more) in [(45, 17, 1.0), (48, 18, 2.0)] {
            let found = inches(ring, cog, 16.5) - base;
            assert!((found - more).abs() < 0.1, "{ring}/{cog}: {found}");
        }
        let tooth = inches(43, 15, 16.5) - inches(42, 15, 16.5 + 0.125);
        assert!(tooth.abs() < 0.03, "{tooth}");
    }

    #[test]
    fn links_are_rounded_up_to_a_pair() {
        assert_eq!(even_links(PITCH * 104), Some(104));
        assert_eq!(even_links(PITCH * 104 + 10_000), Some(106));
        assert_eq!(even_links(PITCH * 105), Some(106));
        assert_eq!(even_links(0), None);
        assert_eq!(even_links(Span::MOST), None);
        assert_eq!(links_within(PITCH * 105 + 1, true), Some(104));
        assert_eq!(links_within(PITCH * 105 + 1, false), Some(105));
    }

    #[test]
    fn a_slot_takes_the_pairs_it_has_room_for() {
        let new = Span::between(999_000, 1_001_500);
        let at = |millimetres: f64| run(42, 16, millimetres).length().unwrap();
        // 42/16 on 410 mm is 94.08 pitches; every 12.7 mm of axle take two more.
        let slot = |slide: f64| Slot {
            front: at(410.0),
            back: at(410.0 + slide),
            new,
        };
        assert_eq!(slot(25.0).links(true), Some(96));
        assert_eq!(slot(12.0).links(true), None);
        assert_eq!(slot(12.0).links(false), Some(95));
        assert_eq!(slot(0.0).links(false), None);
        let off = off_by(at(410.0)).unwrap();
        assert!(off.low < 0 && off.low > -PITCH / 2, "{off:?}");
        assert_eq!(off_by(Span::between(1, 2)), None);
        assert_eq!(beyond_pairs(Span::exactly(107)), Span::exactly(1));
        assert_eq!(
            spread(Span::exactly(PITCH), Span::exactly(1_001_500)),
            Some(Span::exactly(12_700_000))
        );
    }

    #[test]
    fn a_little_play_takes_little_chain() {
        // Half an inch up and down over 420 mm: sqrt(420^2 + 12.7^2) - 420 = 0.192 mm.
        assert_eq!(slack(12_700_000, 420_000_000), Some(190_000));
        assert_eq!(slack(0, 420_000_000), None);
    }

    #[test]
    fn nothing_comes_of_nothing() {
        assert_eq!(run(0, 20, 400.0).length(), None);
        assert_eq!(run(50, 20, 0.0).length(), None);
        // The ring would swallow the cog.
        assert_eq!(run(200, 11, 300.0).length(), None);
        let open = Run {
            ring: Span::at_least(30),
            ..run(30, 20, 400.0)
        };
        assert_eq!(open.length(), None);
        assert_eq!(belt(f64::NAN, 20.0, 30.0), None);
        assert_eq!(belt(50.0, f64::NAN, f64::NAN), None);
    }
}
