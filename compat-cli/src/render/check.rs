//! A check as text: a line for each finding, enough on its own; below it what helps; at the end
//! what is not listed, and the verdict.

use compat_core::explain::count;
use compat_core::report::{CautionText, FindingText, OrderText, Report};

use super::layout::{dim, entry, heading, line, verdict};

/// How far the lines below a finding stand in.
const BELOW: usize = 4;

/// The report.
pub fn show(report: &Report, verbose: bool, all: bool) -> String {
    let mut out = String::new();
    // A caution is said once, with the first finding it belongs to.
    let mut told = Vec::new();
    let bike = if report.bike.is_empty() {
        "bike"
    } else {
        &report.bike
    };
    let title = match &report.swap {
        Some(swap) if swap.is_empty() => format!("{bike}, with the swap set"),
        Some(swap) => format!("{bike}, with: {swap}"),
        None => bike.to_owned(),
    };
    out.push_str(&line(0, 2, &heading(&title)));
    out.push('\n');
    for finding in &report.findings {
        out.push_str(&show_finding(finding, verbose, &mut told));
    }
    if all {
        // One of which nothing is said has nothing to list.
        let said =
            |finding: &&FindingText| !finding.headline.is_empty() || !finding.figures.is_empty();
        for finding in report.quiet.iter().filter(said) {
            out.push_str(&show_finding(finding, verbose, &mut told));
        }
    }
    out.push_str(&cautions(&report.off, 0, verbose, &told));
    out.push_str(&order(report, verbose, &told));
    out.push_str(&tail(report, all));
    out
}

/// The order list: what may be ordered, what is to be measured first, and what would not fit.
fn order(report: &Report, verbose: bool, told: &[String]) -> String {
    let mut out = String::new();
    for order in &report.order {
        let OrderText { count, what, .. } = order;
        let label = match (order.verdict, &report.swap) {
            ("does not fit", _) => "do not order:",
            (_, Some(_)) => "order:",
            (_, None) => "to renew:",
        };
        let mut text = format!(
            "{} {count} x {what} ({})",
            heading(label),
            order.slots.join(", ")
        );
        if !order.ask.is_empty() {
            text.push_str(&format!("; not known: {}", order.ask.join(", ")));
        }
        if order.verdict == "measure first" {
            text.push_str("; measure first");
        }
        out.push_str(&line(0, BELOW, &text));
    }
    out.push_str(&cautions(&report.order_cautions, BELOW, verbose, told));
    out
}

/// The cautions that were not told yet.
fn cautions(all: &[CautionText], at: usize, verbose: bool, told: &[String]) -> String {
    let mut out = String::new();
    for caution in all.iter().filter(|caution| !told.contains(&caution.say)) {
        let source = match verbose {
            true => format!(" [{}]", caution.source),
            false => String::new(),
        };
        let text = format!("caution: {}{source}", caution.say);
        out.push_str(&line(at, at + 2, &text));
    }
    out
}

fn show_finding(finding: &FindingText, verbose: bool, told: &mut Vec<String>) -> String {
    let joint = if finding.standing {
        format!("{}, as it stands", finding.joint)
    } else {
        finding.joint.clone()
    };
    let head = if finding.headline.is_empty() {
        finding.figures.first().cloned().unwrap_or_default()
    } else {
        finding.headline.clone()
    };
    let code = if finding.code.is_empty() {
        String::new()
    } else {
        format!(" {}", dim(&format!("[{}]", finding.code)))
    };
    let mut out = entry(
        0,
        BELOW,
        &match finding.figures_only {
            true => format!("{}  {joint}: {head}", heading("figures")),
            false => format!("{}  {joint}: {head}{code}", verdict(finding.verdict)),
        },
    );
    let mut below = |label: &str, text: &str| {
        out.push_str(&line(BELOW, BELOW + 2, &format!("{label}: {text}")))
    };
    if !finding.grounds.is_empty() {
        below("ground", &finding.grounds.join(", "));
    }
    for also in &finding.also {
        if finding.verdict != "fits" {
            below("also", also);
        }
    }
    for question in &finding.measure {
        let fits = question
            .fits_if
            .as_ref()
            .map(|fits| format!("; fits if {fits}"))
            .unwrap_or_default();
        below(
            "measure",
            &format!(
                "{} ({}, {}): {}{fits}",
                question.dimension, question.access, question.tool, question.how
            ),
        );
    }
    for change in &finding.would_fit {
        below("would fit", change);
    }
    for change in &finding.or_change {
        below("or change", change);
    }
    for advice in finding
        .advice
        .iter()
        .filter(|advice| !head.contains(advice.as_str()))
    {
        below("do", advice);
    }
    for figure in finding.figures.iter().filter(|figure| **figure != head) {
        below("figure", figure);
    }
    for told in &finding.rests_on {
        below("rests on", told);
    }
    if let Some(grade) = finding
        .grade
        .filter(|grade| matches!(*grade, "memory" | "practice"))
    {
        let says = if grade == "memory" {
            "a figure from memory, unchecked"
        } else {
            "common practice, without a source"
        };
        below("grade", says);
    }
    if verbose {
        for (adaptor, source) in finding.adaptors.iter().zip(&finding.adaptors_from) {
            out.push_str(&line(
                BELOW,
                BELOW + 2,
                &format!("adaptor: {adaptor}: {source}"),
            ));
        }
        for claim in finding.claims.iter().filter(|claim| !claim.says.is_empty()) {
            out.push_str(&show_claim(claim));
        }
    }
    for caution in &finding.cautions {
        if told.contains(&caution.say) {
            continue;
        }
        told.push(caution.say.clone());
        let source = if verbose {
            format!(" [{}]", caution.source)
        } else {
            String::new()
        };
        out.push_str(&line(
            BELOW,
            BELOW + 2,
            &format!("caution: {}{source}", caution.say),
        ));
    }
    out.push('\n');
    out
}

fn show_claim(claim: &compat_core::report::ClaimText) -> String {
    let mut out = line(
        BELOW,
        BELOW + 2,
        &format!(
            "{} {}: {}",
            dim(&format!("[{}]", claim.code)),
            claim.holds,
            claim.says
        ),
    );
    for reading in &claim.readings {
        out.push_str(&line(BELOW + 2, BELOW + 4, reading));
    }
    let mut numbers = Vec::new();
    numbers.extend(
        claim
            .value
            .as_ref()
            .map(|value| format!("comes to {value}")),
    );
    numbers.extend(claim.limit.as_ref().map(|limit| format!("limit {limit}")));
    numbers.extend(
        claim
            .difference
            .as_ref()
            .map(|difference| format!("beyond it by {difference}")),
    );
    if !numbers.is_empty() {
        out.push_str(&line(BELOW + 2, BELOW + 4, &numbers.join("; ")));
    }
    if let Some(source) = &claim.source {
        out.push_str(&line(BELOW + 2, BELOW + 4, &format!("says: {source}")));
    }
    out
}

fn tail(report: &Report, all: bool) -> String {
    let mut out = String::new();
    for conflict in &report.conflicts {
        out.push_str(&line(
            0,
            BELOW,
            &format!("{} {conflict}", heading("contradiction:")),
        ));
    }
    for told in report.told.iter().filter(|_| all) {
        out.push_str(&line(0, BELOW, &format!("{} {told}", heading("told:"))));
    }
    for same in &report.same {
        out.push_str(&line(0, BELOW, &format!("{} {same}", heading("the same:"))));
    }
    for disagreement in &report.disagreements {
        out.push_str(&line(
            0,
            BELOW,
            &format!("{} {disagreement}", heading("note:")),
        ));
    }
    for one in &report.one_change {
        out.push_str(&line(
            0,
            BELOW,
            &format!("{} {one}", heading("one change:")),
        ));
    }
    let aside = if all { 0 } else { report.aside };
    let said = report.unjudged.len().saturating_sub(aside);
    for unjudged in report.unjudged.iter().take(said) {
        out.push_str(&line(
            0,
            BELOW,
            &format!("{} {unjudged}", heading("not judged:")),
        ));
    }
    if aside > 0 {
        let many = count(aside, "end waits", "ends wait");
        out.push_str(&line(
            0,
            BELOW,
            &format!("{many} for a part that is not listed; the verdict does not hang on it (--all lists them)"),
        ));
    }
    if !report.quiet.is_empty() && !all {
        out.push_str(&line(
            0,
            BELOW,
            &format!(
                "{} without a remark: {} (--all shows how)",
                fit(report.quiet.len()),
                titles(&report.quiet)
            ),
        ));
    }
    if !report.standing.is_empty() {
        let many = count(report.standing.len(), "joint stands", "joints stand");
        let sure = report
            .standing
            .iter()
            .filter(|joint| joint.stated.starts_with("fits"))
            .count();
        let text = match report.swap {
            Some(_) => format!("{many} as before, untouched"),
            None => format!(
                "{many} as described; {sure} of them fit by what is stated, the rest is taken as it stands"
            ),
        };
        out.push_str(&line(0, BELOW, &text));
    }
    out.push_str(&entry(
        0,
        BELOW,
        &format!(
            "{} {} ({})",
            heading("verdict:"),
            verdict(report.verdict.words()),
            report.summary()
        ),
    ));
    out
}

fn fit(number: usize) -> String {
    count(number, "joint fits", "joints fit")
}

/// The most joints that are named in one line.
const MOST_NAMED: usize = 8;

/// What those joints are called, each once; of many the first.
fn titles(findings: &[FindingText]) -> String {
    let mut names: Vec<&str> = Vec::new();
    for finding in findings {
        if !names.contains(&finding.joint.as_str()) {
            names.push(&finding.joint);
        }
    }
    let more = names.len().saturating_sub(MOST_NAMED);
    names.truncate(MOST_NAMED);
    match more {
        0 => names.join("; "),
        _ => format!("{}; and {more} more", names.join("; ")),
    }
}
