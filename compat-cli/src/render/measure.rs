//! What must be measured, as text: a list, a page to write on, and one question of a dialogue.

use compat_core::explain::{count, list};
use compat_core::report::{Asks, MeasureReport, TurnText};

use super::layout::{dim, entry, heading, line, verdict};

/// How far the lines below a question stand in.
const BELOW: usize = 4;
/// How wide the page is that is printed and written on.
const PAGE: usize = 78;

fn title(report: &MeasureReport) -> String {
    let bike = if report.bike.is_empty() {
        "bike"
    } else {
        &report.bike
    };
    match &report.swap {
        Some(swap) if swap.is_empty() => format!("{bike}, with the swap set"),
        Some(swap) => format!("{bike}, with: {swap}"),
        None => bike.to_owned(),
    }
}

/// How many questions there are, and how much is not known.
fn counted(report: &MeasureReport) -> String {
    let later = report.questions.iter().filter(|asks| asks.later).count();
    let now = report.questions.len() - later;
    let follow = match later {
        0 => String::new(),
        later => format!(", and {later} more that may follow from the answers"),
    };
    format!(
        "{} to answer{follow}; {} of these parts that nobody knows",
        count(now, "question", "questions"),
        count(report.unknown, "dimension", "dimensions"),
    )
}

/// The list of questions.
pub fn show(report: &MeasureReport) -> String {
    let mut out = line(0, 2, &heading(&title(report)));
    out.push_str(&line(0, 2, &counted(report)));
    out.push('\n');
    for asks in report.questions.iter().filter(|asks| !asks.later) {
        out.push_str(&question(asks));
        out.push('\n');
    }
    let later: Vec<String> = report
        .questions
        .iter()
        .filter(|asks| asks.later)
        .map(|asks| asks.set.clone())
        .collect();
    if !later.is_empty() {
        let text = format!(
            "{} {}",
            heading("may follow from the answers:"),
            list(&later)
        );
        out.push_str(&line(0, BELOW, &text));
    }
    for missing in &report.missing {
        out.push_str(&line(
            0,
            BELOW,
            &format!("{} {missing}", heading("write down:")),
        ));
    }
    out.push_str(&line(
        0,
        BELOW,
        &format!(
            "{} {} ({})",
            heading("verdict as it stands:"),
            verdict(report.verdict),
            report.summary
        ),
    ));
    out
}

/// One question with how it is taken and where its answers turn.
pub fn question(asks: &Asks) -> String {
    let mut out = entry(0, BELOW, &format!("{}  {}", heading(&asks.set), asks.what));
    let mut below = |label: &str, text: &str| {
        out.push_str(&line(BELOW, BELOW + 2, &format!("{label}: {text}")));
    };
    below(
        "how",
        &format!("{} ({}, {})", asks.how, asks.access, asks.tool),
    );
    if let Some(known) = &asks.known {
        below("known", &format!("{known}, which does not decide it"));
    }
    for (joint, turns) in by_joint(&asks.turns) {
        below(joint, &turned(&turns).join("; "));
    }
    let open: Vec<String> = asks
        .settles
        .iter()
        .filter(|joint| !asks.turns.iter().any(|turn| turn.joint == **joint))
        .cloned()
        .collect();
    if !open.is_empty() {
        below("decides, with others", &list(&open));
    }
    out
}

fn by_joint(turns: &[TurnText]) -> Vec<(&str, Vec<&TurnText>)> {
    let mut found: Vec<(&str, Vec<&TurnText>)> = Vec::new();
    for turn in turns {
        match found.iter_mut().find(|(joint, _)| *joint == turn.joint) {
            Some((_, known)) => known.push(turn),
            None => found.push((&turn.joint, vec![turn])),
        }
    }
    found
}

/// The readings that fit, those that fit with something, and those that must be looked into; what
/// is left does not fit.
fn turned(turns: &[&TurnText]) -> Vec<String> {
    let mut said: Vec<String> = Vec::new();
    for turn in turns.iter().filter(|turn| turn.verdict != "does not fit") {
        let with = if turn.with.is_empty() {
            String::new()
        } else {
            format!(" {}", list(&turn.with))
        };
        said.push(format!("{}: {}{with}", turn.readings, turn.verdict));
    }
    if said.is_empty() {
        said.push("whatever it is, it does not fit".to_owned());
    } else if turns.iter().any(|turn| turn.verdict == "does not fit") {
        said.push("else it does not fit".to_owned());
    }
    said
}

/// A page to print: each question with how it is taken, and room to write.
pub fn sheet(report: &MeasureReport) -> String {
    let wrap = |indent: usize, hang: usize, text: &str| {
        super::layout::wrap(indent, hang, text, Some(PAGE))
    };
    let mut out = wrap(0, 2, &format!("To measure: {}", title(report)));
    out.push_str(&wrap(0, 2, &counted(report)));
    out.push_str("date ____________  by ____________________\n\n");
    let now = report.questions.iter().filter(|asks| !asks.later);
    for (number, asks) in now.enumerate() {
        out.push_str(&wrap(0, 4, &format!("{:>2}. {}", number + 1, asks.what)));
        out.push_str(&wrap(
            4,
            4,
            &format!("{} ({}, {})", asks.how, asks.access, asks.tool),
        ));
        for (_, turns) in by_joint(&asks.turns) {
            out.push_str(&wrap(4, 6, &turned(&turns).join("; ")));
        }
        out.push_str(&format!(
            "    {} = ______________ {}\n\n",
            asks.set, asks.unit
        ));
    }
    for missing in &report.missing {
        out.push_str(&wrap(0, 4, &format!("Write down: {missing}")));
    }
    out
}

/// The names an answer may have.
pub fn names(asks: &Asks) -> String {
    dim(&asks.names.join(", "))
}
