//! Rear indexing against what is published of sets and mixes: what a source calls working must not
//! be ruled out, what it calls not working must not be called a fit, and what sources differ on, or
//! one rider reports, is to be tried first.

use compat_core::joints::family_named;
use compat_core::solve::check;
use compat_core::{Catalog, Job, Options, Verdict};

/// What the source says of a mix.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Says {
    /// It works.
    Works,
    /// It runs for some, or with a caution.
    Runs,
    /// It does not.
    Not,
}
use Says::{Not, Runs, Works};

struct Mix {
    shifter: &'static str,
    derailleur: &'static str,
    cogs: &'static str,
    says: Says,
    answer: Verdict,
    source: &'static str,
}

const fn mix(parts: [&'static str; 3], says: Says, answer: Verdict, source: &'static str) -> Mix {
    let [shifter, derailleur, cogs] = parts;
    Mix {
        shifter,
        derailleur,
        cogs,
        says,
        answer,
        source,
    }
}

const FIT: Verdict = Verdict::Fits;
const TRY: Verdict = Verdict::MeasureFirst;
const NO: Verdict = Verdict::DoesNotFit;

/// Shifter and its speeds, derailleur, cogs.
const MIXES: &[Mix] = &[
    // Sets as their makers sell them, with their pulls, ratios and pitches in one table.
    mix(["j_5_to_9 6", "j_5_to_9", "six"], Works, FIT, "u-MUZ"),
    mix(["j_5_to_9 7", "j_5_to_9", "seven"], Works, FIT, "u-MUZ"),
    mix(["j_5_to_9 8", "j_5_to_9", "eight"], Works, FIT, "u-MUZ"),
    mix(["j_5_to_9 9", "j_5_to_9", "nine"], Works, FIT, "u-MUZ"),
    mix(["j_road_10", "j_road_10", "ten"], Works, FIT, "u-MUZ"),
    mix(
        ["j_road_10_late", "j_road_10_late", "ten"],
        Works,
        FIT,
        "u-MUZ",
    ),
    mix(
        ["j_mtb_10", "j_mtb_10", "ten"],
        Works,
        FIT,
        "u-MUZ, d-JCOMP",
    ),
    mix(
        ["j_road_11", "j_road_11", "eleven_road"],
        Works,
        FIT,
        "u-MUZ",
    ),
    mix(["j_mtb_11", "j_mtb_11", "eleven_wide"], Works, FIT, "u-MUZ"),
    mix(
        ["u_one_to_one 7", "u_one_to_one", "seven"],
        Works,
        FIT,
        "u-MUZ",
    ),
    mix(
        ["u_one_to_one 8", "u_one_to_one", "eight"],
        Works,
        FIT,
        "u-MUZ",
    ),
    mix(
        ["u_one_to_one 9", "u_one_to_one", "nine"],
        Works,
        FIT,
        "u-MUZ",
    ),
    mix(["u_exact_10", "u_exact_10", "ten"], Works, FIT, "u-MUZ"),
    mix(
        ["u_exact_11", "u_exact_11", "eleven_road"],
        Works,
        FIT,
        "u-MUZ",
    ),
    mix(["u_x_11", "u_x_11", "eleven_xd"], Works, FIT, "u-MUZ"),
    mix(["it_8", "it_8", "it_8"], Works, FIT, "u-MUZ"),
    mix(["it_9_early", "it_9_early", "it_9"], Works, FIT, "u-MUZ"),
    mix(["it_9_late", "it_9_late", "it_9"], Works, FIT, "u-MUZ"),
    mix(["it_10", "it_10", "it_10"], Works, FIT, "u-MUZ"),
    mix(["it_11", "it_11", "it_11"], Works, FIT, "u-MUZ"),
    mix(["it_11_late", "it_11_late", "it_11"], Works, FIT, "d-DAV12"),
    // Published mixes, in the order of the sources' dates of the parts.
    mix(
        ["j_5_to_9 9", "j_road_10", "nine"],
        Works,
        FIT,
        "d-MORU, d-MYB",
    ),
    mix(
        ["j_5_to_9 7", "j_road_10", "seven"],
        Works,
        FIT,
        "d-MORU, d-MYB",
    ),
    mix(["j_5_to_9 8", "j_top_8", "eight"], Not, NO, "d-MYB"),
    mix(["j_road_10", "j_5_to_9", "ten"], Works, FIT, "d-BBRMD"),
    mix(["j_mtb_10", "j_5_to_9", "ten"], Not, NO, "d-VNMTB, d-MORU"),
    mix(["j_mtb_10", "j_road_10", "ten"], Not, NO, "d-VNMTB"),
    mix(["j_road_10", "j_mtb_10", "ten"], Not, NO, "d-VN14B"),
    mix(["j_road_11", "j_mtb_10", "ten"], Not, NO, "d-VN14B"),
    mix(
        ["j_road_10_late", "j_road_11", "ten"],
        Works,
        FIT,
        "d-BB4700, d-BBTIA",
    ),
    mix(["j_road_10_late", "j_road_10", "ten"], Not, NO, "d-BB4700"),
    mix(["j_mtb_10", "j_mtb_11", "ten"], Not, NO, "d-BB1110"),
    mix(["j_mtb_11", "j_mtb_10", "ten"], Runs, TRY, "d-FAQ1"),
    mix(["j_mtb_11", "j_mtb_10", "eleven_wide"], Not, NO, "d-FAQ2"),
    mix(
        ["u_exact_10", "u_exact_11", "ten"],
        Works,
        FIT,
        "d-BB1110, VeloNews 2016/12",
    ),
    mix(["it_10", "it_11", "it_10"], Works, FIT, "d-BB1110"),
    mix(
        ["j_road_11", "u_exact_11", "eleven_road"],
        Not,
        NO,
        "d-MORU, d-SPRO",
    ),
    mix(
        ["j_5_to_9 9", "u_one_to_one", "nine"],
        Not,
        NO,
        "d-MORU, d-SPRO",
    ),
    mix(["u_one_to_one 9", "j_mtb_10", "nine"], Not, NO, "d-PINK"),
    mix(["linkglide 11", "j_mtb_11", "linkglide"], Not, NO, "d-ANGP"),
    mix(["j_mtb_11", "linkglide", "linkglide"], Not, NO, "d-ANGP"),
    mix(["j_mtb_11", "j_mtb_11", "linkglide"], Not, NO, "d-ANGP"),
    mix(
        ["linkglide 11", "linkglide", "linkglide"],
        Works,
        FIT,
        "d-RADA, d-ANGP",
    ),
    mix(["j_5_to_9 7", "j_5_to_9", "seven"], Works, FIT, "d-JCOMP"),
    mix(
        ["it_11", "it_11", "eleven_road"],
        Runs,
        TRY,
        "d-WHOS, d-RACE",
    ),
    mix(
        ["j_electronic_10", "j_electronic_11", "eleven_road"],
        Works,
        FIT,
        "d-VNFUT",
    ),
    mix(
        ["j_electronic_11", "j_electronic_11_mtb", "eleven_wide"],
        Works,
        FIT,
        "x-VNXTR",
    ),
    mix(
        ["j_electronic_11", "j_electronic_11", "ten"],
        Not,
        NO,
        "d-VNDA",
    ),
    mix(["j_road_12", "j_road_12", "twelve_hg"], Works, FIT, "d-ESM"),
    mix(["friction", "j_5_to_9", "ten"], Works, FIT, "x-SILV"),
    // More speeds or fewer on one lever.
    mix(
        ["j_5_to_9 8", "j_5_to_9", "seven"],
        Works,
        FIT,
        "x-BR7ON8, x-FOLD",
    ),
    mix(["j_5_to_9 9", "j_5_to_9", "eight"], Not, NO, "x-ST89"),
    mix(["j_road_10", "j_road_10", "nine"], Not, NO, "x-VN9ON10"),
    mix(["j_road_11", "j_road_11", "ten"], Runs, TRY, "x-BRD11"),
    mix(
        ["u_exact_11", "u_exact_11", "eleven_xd"],
        Works,
        FIT,
        "x-ARTS1",
    ),
    mix(["it_8", "it_8", "eight"], Runs, TRY, "x-BFIT8"),
    mix(["j_road_10", "j_road_10", "it_10"], Not, NO, "x-VNMATE"),
    // Makers mixed, as riders report.
    mix(["it_11", "j_5_to_9", "nine"], Runs, TRY, "x-PT12"),
    mix(["it_10", "j_5_to_9", "nine"], Runs, TRY, "x-HUBB"),
    mix(["it_10", "it_9_early", "ten"], Runs, TRY, "x-RRN"),
    mix(["u_x_11", "j_mtb_11", "eleven_wide"], Works, TRY, "x-BB11C"),
];

fn verdict(catalog: &Catalog, mix: &Mix) -> Verdict {
    let mut job = Job::new(catalog);
    let (system, speeds) = mix.shifter.split_once(' ').unwrap_or((mix.shifter, ""));
    let speeds = match speeds {
        "" => String::new(),
        some => format!("speeds = {some}\n"),
    };
    let count = match mix.cogs {
        "linkglide" => "speeds = 11\n",
        _ => "",
    };
    let bike = format!(
        "[rear_shifter]\nshifts_as = \"{system}\"\n{speeds}[cassette]\ncogs_of = \"{}\"\n{count}",
        mix.cogs
    );
    let swap = format!("[rear_derailleur]\nshifts_as = \"{}\"\n", mix.derailleur);
    let bike = job.bike("bike", bike.as_bytes()).unwrap();
    let swap = job.swap("swap", swap.as_bytes(), None).unwrap();
    let check = check(catalog, &bike, Some(&swap), Options::default());
    let family = family_named("rear_indexing").unwrap();
    let mut all = check.findings.iter().chain(&check.quiet);
    all.find(|finding| finding.at.family == family)
        .unwrap()
        .plain
}

#[test]
fn published_sets_and_mixes_get_their_answer() {
    let catalog = Catalog::compiled();
    let mut wrong = Vec::new();
    for mix in MIXES {
        let Mix {
            shifter,
            derailleur,
            cogs,
            says,
            source,
            ..
        } = mix;
        let found = verdict(&catalog, mix);
        let shown = format!("{shifter} + {derailleur} + {cogs}: {found:?}, {source} says {says:?}");
        // Against the source, whatever the list expects of the program.
        let against = match says {
            Works => found == NO,
            Not => found <= Verdict::FitsWith,
            Runs => found != TRY,
        };
        if against || found != mix.answer {
            wrong.push(shown);
        } else if (*says == Works) != (found == FIT) || (*says == Not) != (found == NO) {
            println!("more careful than its source: {shown}");
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
