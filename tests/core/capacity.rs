//! Total capacity against published worked examples: the teeth each says must be taken up are the
//! fewest the answer lets pass.

use compat_core::joints::family_named;
use compat_core::solve::check;
use compat_core::{Catalog, Job, Options, Verdict};

struct Example {
    rings: &'static str,
    cogs: &'static str,
    total: u32,
    source: &'static str,
}

const EXAMPLES: &[Example] = &[
    Example {
        rings: "44/32/24",
        cogs: "12-34",
        total: 42,
        source: "Jitetan, term: total capacity (jitetan.com/term/total_capacity.html)",
    },
    Example {
        rings: "42/32/22",
        cogs: "12-34",
        total: 42,
        source: "Blue Collar MTB, 19 June 2007, rear derailleur capacity explained",
    },
    Example {
        rings: "53/39",
        cogs: "12-25",
        total: 27,
        source: "Cycle Depot, 31 July 2012, rear derailleur capacity",
    },
    Example {
        rings: "52/39",
        cogs: "11-25",
        total: 27,
        source: "Urban Velo 5, pages 66 and 67",
    },
    Example {
        rings: "44/32/22",
        cogs: "11-34",
        total: 45,
        source: "mtbr, when to use a long cage against a short cage derailleur, post 2",
    },
    Example {
        rings: "38/26",
        cogs: "11-34",
        total: 35,
        source: "Singletrack forum, 2x10: long, medium or short caged mech",
    },
    Example {
        rings: "50/34",
        cogs: "12-25",
        total: 33 - 4,
        source: "tkacz.pro, rear derailleur capacity: 33 leaves 4 teeth over",
    },
];

fn verdict(example: &Example, capacity: u32) -> Verdict {
    let catalog = Catalog::compiled();
    let mut job = Job::new(&catalog);
    let (smallest, largest) = example.cogs.split_once('-').unwrap();
    let bike = format!(
        "[crankset]\nrings = \"{}\"\n[cassette]\ncogs = \"{}\"\n",
        example.rings, example.cogs
    );
    let swap = format!(
        "[rear_derailleur]\nrated_largest_cog = {largest}\nrated_smallest_cog = {smallest}\n\
         front_difference = 22\ncapacity = {capacity}\n"
    );
    let bike = job.bike("bike", bike.as_bytes()).unwrap();
    let swap = job.swap("swap", swap.as_bytes(), None).unwrap();
    let check = check(&catalog, &bike, Some(&swap), Options::default());
    let family = family_named("derailleur_range").unwrap();
    let mut all = check.findings.iter().chain(&check.quiet);
    let range = all.find(|finding| finding.at.family == family);
    range.unwrap().plain
}

#[test]
fn the_teeth_to_take_up_are_those_of_the_published_examples() {
    for example in EXAMPLES {
        let named = example.source;
        assert_eq!(verdict(example, example.total), Verdict::Fits, "{named}");
        assert_eq!(
            verdict(example, example.total - 1),
            Verdict::DoesNotFit,
            "{named}"
        );
    }
}
