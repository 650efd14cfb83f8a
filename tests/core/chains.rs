//! Chain length against published bikes, and the rule for a drive without a derailleur against a
//! length worked out another way.

use compat_core::dim::{Cases, Origin, Reading, Span};
use compat_core::joints::{Cells, FAMILIES, family_named};
use compat_core::solve::{Setting, check, judge};
use compat_core::text::Place;
use compat_core::verdict::{Field, Verdict};
use compat_core::{Catalog, Job, Options};
use proptest::prelude::*;
use std::sync::OnceLock;

fn catalog() -> &'static Catalog {
    static CATALOG: OnceLock<Catalog> = OnceLock::new();
    CATALOG.get_or_init(Catalog::compiled)
}

struct Bike {
    stays: &'static str,
    rings: &'static str,
    cogs: &'static str,
    /// Links that are said to do.
    links: u32,
    /// Links that are too few by any of the published counts.
    short: u32,
    source: &'static str,
}

const BIKES: &[Bike] = &[
    Bike {
        stays: "408",
        rings: "50/34",
        cogs: "11-28",
        links: 106,
        short: 102,
        source: "CycleChat, 11-25 to 11-28: 106 links, and the cage is not near its end",
    },
    Bike {
        stays: "17.25 in",
        rings: "52/39",
        cogs: "12-28",
        links: 112,
        short: 108,
        source: "Bike Forums, calculating chain length: 56 inches",
    },
    Bike {
        stays: "422",
        rings: "50/34",
        cogs: "11-40",
        links: 114,
        short: 110,
        source: "uoflcycling.com, is a 114 link chain long enough: used on stays of 422 mm",
    },
    Bike {
        stays: "16.375 in",
        rings: "42/32/22",
        cogs: "11-32",
        links: 104,
        short: 102,
        source: "uoflcycling.com, the example of a repair handbook: 52.25 in, rounded to 52",
    },
];

fn length(bike: &Bike, links: u32) -> Verdict {
    let mut job = Job::new(catalog());
    let page = format!(
        "[frame]\nchainstay = \"{}\"\n[crankset]\nrings = \"{}\"\n[cassette]\ncogs = \"{}\"\n",
        bike.stays, bike.rings, bike.cogs
    );
    let chain = format!("[chain]\nlinks = {links}\n");
    let bike = job.bike("bike", page.as_bytes()).unwrap();
    let swap = job.swap("swap", chain.as_bytes(), None).unwrap();
    let check = check(catalog(), &bike, Some(&swap), Options::default());
    let family = family_named("chain_length").unwrap();
    let mut all = check.findings.iter().chain(&check.quiet);
    all.find(|finding| finding.at.family == family)
        .unwrap()
        .plain
}

#[test]
fn no_chain_that_is_said_to_do_is_refused_and_none_too_short_is_let_pass() {
    for bike in BIKES {
        let named = bike.source;
        assert!(length(bike, bike.links) <= Verdict::MeasureFirst, "{named}");
        assert_eq!(length(bike, bike.short), Verdict::DoesNotFit, "{named}");
        assert_eq!(length(bike, bike.links + 4), Verdict::Fits, "{named}");
    }
    // The first two are by rules that round up, and fit without a question.
    assert_eq!(length(&BIKES[0], BIKES[0].links), Verdict::Fits);
    assert_eq!(length(&BIKES[1], BIKES[1].links), Verdict::Fits);
}

const PITCH: i64 = 12_700_000;

/// A single speed: links, ring, cog, stays and slide, in links, teeth and nanometres.
#[derive(Clone, Copy, Debug)]
struct Single {
    links: Span,
    ring: i64,
    cog: i64,
    stays: Span,
    slide: Span,
}

fn single(single: Single) -> Verdict {
    let family = family_named("chain_length").unwrap();
    let at = |end: u8, field: u8| Field { end, field };
    let ring = Span::exactly(single.ring);
    let cog = Span::exactly(single.cog);
    let known = [
        (at(0, 0), single.links),
        (at(1, 0), ring),
        (at(1, 1), ring),
        (at(2, 0), cog),
        (at(2, 1), cog),
        (at(3, 0), single.stays),
        (at(3, 2), single.slide),
    ];
    let origin = Origin::Stated(Place::default());
    let readings = known.map(|(field, span)| {
        let cases = Cases::Numbers(vec![span]);
        (field, Reading { cases, origin })
    });
    let mut cells = Cells::of(&FAMILIES[family]);
    (0..4).for_each(|end| cells.put(end));
    for (field, reading) in &readings {
        cells.set(*field, Some(reading));
    }
    judge(catalog(), family, &cells, Setting::default()).verdict
}

/// The length of the belt in nanometres by Cauchy's formula: the integral of the support function of
/// the hull of both circles, which knows nothing of arcs and straight runs.
fn belt(ring: i64, cog: i64, stays: i64) -> f64 {
    let radius = |teeth: i64| teeth as f64 * PITCH as f64 / std::f64::consts::TAU;
    let steps = 20_000;
    let sum: f64 = (0..steps)
        .map(|step| std::f64::consts::TAU * f64::from(step) / f64::from(steps))
        .map(|angle| radius(ring).max(radius(cog) + stays as f64 * angle.cos()))
        .sum();
    sum * std::f64::consts::TAU / f64::from(steps)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2_000, failure_persistence: None, ..ProptestConfig::default() })]

    /// A chain fits where the axle surely finds its place, and is refused where it surely does not.
    #[test]
    fn an_axle_finds_its_place_or_does_not(
        pairs in 40_i64..60, ring in 32_i64..52, cog in 12_i64..22,
        stays in 380_i64..460, slide in 0_i64..30,
    ) {
        let exact = |millimetres: i64| Span::exactly(millimetres * 1_000_000);
        let bike = Single { links: Span::exactly(pairs * 2), ring, cog, stays: exact(stays), slide: exact(slide) };
        let length = (pairs * 2 * PITCH) as f64;
        // New chains come out between 0.10 % short and 0.15 % long.
        let (short, long) = (length * 0.999, length * 1.0015);
        let front = belt(ring, cog, stays * 1_000_000);
        let back = belt(ring, cog, (stays + slide) * 1_000_000);
        let found = single(bike);
        // A tenth of a millimetre to either side is left to rounding; play takes less than one.
        let (little, play) = (1.0e5, 9.0e5);
        if short > front + little && long < back - little {
            prop_assert_eq!(found, Verdict::Fits, "{:?}", bike);
        }
        if long < front - little {
            prop_assert_eq!(found, Verdict::DoesNotFit, "{:?}", bike);
        }
        if short > back + play {
            // Too long as it is: cut to what fits, tried one shorter, or refused; never left as it is.
            prop_assert!(found != Verdict::Fits, "{:?} {:?}", bike, found);
        }
    }

    /// Learning more of a single speed never turns a fit into no fit or back.
    #[test]
    fn a_verdict_on_a_single_speed_stands(
        links in 84_i64..112, ring in 32_i64..52, cog in 12_i64..22,
        stays in (380_i64..460, 0_i64..4), slide in (0_i64..30, 0_i64..4), wide in 0_i64..3, pick in any::<[u8; 3]>(),
    ) {
        let span = |(low, wide): (i64, i64)| Span::between(low * 1_000_000, (low + wide) * 1_000_000);
        let bike = Single { links: Span::between(links, links + wide), ring, cog, stays: span(stays), slide: span(slide) };
        let before = single(bike);
        if before == Verdict::MeasureFirst {
            return Ok(());
        }
        let one = |span: Span, pick: u8, step: i64| {
            let steps = (span.high - span.low) / step;
            Span::exactly(span.low + i64::from(pick) % (steps + 1) * step)
        };
        let learnt = Single {
            links: one(bike.links, pick[0], 1),
            stays: one(bike.stays, pick[1], 250_000),
            slide: one(bike.slide, pick[2], 250_000),
            ..bike
        };
        let after = single(learnt);
        let fit = |verdict: Verdict| verdict <= Verdict::FitsWith;
        prop_assert!(after != Verdict::MeasureFirst && fit(before) == fit(after), "{:?} {:?}\n{:?} {:?}", before, bike, after, learnt);
    }
}
