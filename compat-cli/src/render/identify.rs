//! What a part could be, as text.

use compat_core::explain::count;
use compat_core::report::{CandidateText, IdentifyReport, OffText, ThingText};

use super::layout::{dim, heading, line};

/// How far the lines below a size stand in.
const BELOW: usize = 4;
/// How many sizes are shown where not all are asked for.
const MOST: usize = 8;
/// How many names are listed for one reading.
const NAMES: usize = 6;

/// The report.
pub fn show(report: &IdentifyReport, verbose: bool, all: bool) -> String {
    let things = report.things.iter().map(|thing| one(thing, verbose, all));
    things.collect::<Vec<_>>().join("\n")
}

fn one(thing: &ThingText, verbose: bool, all: bool) -> String {
    let readings: Vec<String> = thing
        .readings
        .iter()
        .map(|reading| match &reading.error {
            Some(error) => format!("{} {} (error {error})", reading.what, reading.value),
            None => format!("{} {}", reading.what, reading.value),
        })
        .collect();
    let title = format!("{}:", thing.title);
    let head = format!("{} {}", heading(&title), readings.join(", "));
    let mut out = line(0, BELOW, &head);
    out.push('\n');
    let shown = if all { usize::MAX } else { MOST };
    for candidate in thing.candidates.iter().take(shown) {
        out.push_str(&size(candidate, &candidate.share, verbose));
    }
    let left = thing.candidates.len().saturating_sub(shown);
    if left > 0 {
        let text = format!(
            "{} less likely (--all lists them)",
            count(left, "size", "sizes")
        );
        out.push_str(&line(0, BELOW, &dim(&text)));
    }
    if let Some(nearest) = &thing.nearest {
        let text = format!(
            "nothing that is known is as near as four standard errors, of {}; the nearest:",
            count(thing.sizes, "size", "sizes")
        );
        out.push_str(&line(0, BELOW, &text));
        out.push_str(&size(nearest, "", verbose));
        let text =
            "a worn or bent part, a slip of the calliper, or a size that is not in the catalogue";
        out.push_str(&line(0, BELOW, text));
        return out;
    }
    out.push('\n');
    if let Some(next) = &thing.next {
        let what = match (next.look, next.again) {
            (true, _) => format!("{} {}", heading("look next:"), next.what),
            (false, true) => format!("{} {}", heading("read again:"), next.what),
            (false, false) => format!("{} {}", heading("read next:"), next.what),
        };
        let text = format!("{what}, {} ({}, {})", next.set, next.access, next.tool);
        out.push_str(&line(0, BELOW, &text));
        out.push_str(&line(BELOW, BELOW + 2, &format!("how: {}", next.how)));
        // Where one looks for the name itself, it is said once.
        let named = next.shows.iter().all(|shows| {
            let mut names = shows.names.iter();
            names.all(|name| name.contains(&shows.value))
        });
        if next.look && named {
            let values = next.shows.iter().map(|shows| shows.value.clone());
            let values = some(&values.collect::<Vec<_>>(), all);
            out.push_str(&line(BELOW, BELOW + 2, &format!("it is one of: {values}")));
        }
        let shows = next.shows.iter().filter(|_| !(next.look && named));
        for shows in shows.take(shown) {
            let names = some(&shows.names, all);
            out.push_str(&line(
                BELOW,
                BELOW + 2,
                &format!("{}: {names}", shows.value),
            ));
        }
    }
    if let Some(text) = &thing.else_do {
        out.push_str(&line(0, BELOW, &format!("{} {text}", heading("or:"))));
    }
    let text = match thing.candidates.len() {
        1 => format!(
            "the only one of {} that is near enough; a size that is not in the catalogue is not ruled out: hold it to its mark or its mate before ordering",
            count(thing.sizes, "size", "sizes")
        ),
        few => format!(
            "{few} of {} are near enough; the shares are among these, and a size that is not in the catalogue is not ruled out: hold it to its mark or its mate before ordering",
            count(thing.sizes, "size", "sizes")
        ),
    };
    out.push_str(&line(0, BELOW, &text));
    out
}

fn some(names: &[String], all: bool) -> String {
    let most = if all { usize::MAX } else { NAMES };
    let mut said: Vec<String> = names.iter().take(most).cloned().collect();
    if let Some(left) = names.len().checked_sub(most).filter(|left| *left > 0) {
        said.push(format!("{left} more"));
    }
    said.join("; ")
}

fn size(candidate: &CandidateText, share: &str, verbose: bool) -> String {
    let head = format!("{share:>6}  {}", heading(&candidate.names.join(" / ")));
    let mut out = line(0, BELOW, &head);
    let readings: Vec<String> = candidate
        .readings
        .iter()
        .map(|off| reading(off, verbose))
        .collect();
    out.push_str(&line(BELOW, BELOW + 2, &readings.join("; ")));
    if verbose {
        for source in &candidate.sources {
            out.push_str(&line(BELOW, BELOW + 2, &dim(&format!("source: {source}"))));
        }
    } else {
        let grade = match candidate.grade {
            "memory" => "a figure from memory, unchecked",
            "practice" => "common practice, without a source",
            _ => return out,
        };
        out.push_str(&line(BELOW, BELOW + 2, &format!("grade: {grade}")));
    }
    out
}

fn reading(off: &OffText, verbose: bool) -> String {
    let Some(size) = &off.size else {
        return format!("{}: {}", off.what, off.off);
    };
    let far = match (&off.sigmas, verbose) {
        (Some(sigmas), true) if sigmas != "0" => format!(", {sigmas} standard errors"),
        _ => String::new(),
    };
    format!("{} {size}: {}{far}", off.what, off.off)
}
