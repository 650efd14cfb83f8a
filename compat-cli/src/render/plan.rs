//! A plan as text: what it costs, what to take and what to buy with what forces it, what comes off;
//! or what cannot all hold, and what would have to give way.

use compat_core::explain::count;
use compat_core::report::{PlanReport, PlanText, StepText};

use super::layout::{heading, line, verdict};

/// The report.
pub fn show(report: &PlanReport) -> String {
    let bike = if report.bike.is_empty() {
        "bike"
    } else {
        &report.bike
    };
    let title = if report.wishes.is_empty() {
        format!("{bike}, as wished")
    } else {
        format!("{bike}, wished: {}", report.wishes)
    };
    let mut out = line(0, 2, &heading(&title));
    for (number, plan) in report.plans.iter().enumerate() {
        out.push('\n');
        match report.plans.first() {
            Some(first) if number > 0 => out.push_str(&show_other(number + 1, plan, first)),
            _ => out.push_str(&show_plan(plan)),
        }
    }
    if let Some(least) = &report.at_least {
        let text = match report.plans.first() {
            Some(plan) => format!(
                "stopped: this is the best so far, at {}; no plan costs less than {least}",
                plan.cost
            ),
            None => format!("stopped with no plan so far; no plan costs less than {least}"),
        };
        out.push('\n');
        out.push_str(&line(0, 2, &text));
    }
    if report.plans.is_empty() && report.proved {
        out.push('\n');
        out.push_str(&line(
            0,
            2,
            &format!("{}  these cannot all hold:", verdict("no plan")),
        ));
        for demand in &report.conflict {
            out.push_str(&line(4, 6, &format!("- {demand}")));
        }
        if report.give_way.is_empty() {
            out.push_str(&line(
                0,
                2,
                "no one of them is enough if it alone gives way",
            ));
        } else {
            out.push_str(&line(0, 2, "there is a plan if one of these gives way:"));
            for one in &report.give_way {
                out.push_str(&line(4, 6, &format!("- {one}")));
            }
        }
    }
    for note in &report.notes {
        out.push_str(&line(0, 2, &format!("note: {note}")));
    }
    out.push('\n');
    out.push_str(&line(0, 2, &summary(report)));
    out
}

fn summary(report: &PlanReport) -> String {
    let searched = &report.searched;
    let over = format!(
        "{} of stock, {} for {}",
        count(searched.lines, "line", "lines"),
        count(searched.choices, "choice", "choices"),
        count(searched.slots, "slot", "slots"),
    );
    match (report.outcome, report.plans.first()) {
        ("planned", Some(plan)) if plan.changes == 0 => {
            format!("planned: nothing has to change ({over})")
        }
        ("planned", Some(plan)) => format!(
            "planned: {} for {}, proved the cheapest ({over})",
            count(plan.changes, "change", "changes"),
            plan.cost
        ),
        ("stopped", _) => format!("stopped after {} steps ({over})", searched.steps),
        _ => format!("no plan, proved ({over})"),
    }
}

fn costs(label: &str, plan: &PlanText) -> String {
    let text = format!(
        "{}  {}: parts {}, work {}",
        heading(label),
        plan.cost,
        plan.parts,
        plan.work
    );
    line(0, 2, &text)
}

/// A next best plan: what is otherwise than in the first.
fn show_other(number: usize, plan: &PlanText, first: &PlanText) -> String {
    let mut out = costs(&format!("or plan {number}"), plan);
    let steps = |plan: &'_ PlanText| -> Vec<StepText> {
        [&plan.bin, &plan.buy, &plan.off]
            .into_iter()
            .flatten()
            .cloned()
            .collect()
    };
    let (mine, theirs) = (steps(plan), steps(first));
    let same = |a: &StepText, b: &StepText| (&a.slot, &a.id) == (&b.slot, &b.id);
    out.push_str(&line(2, 4, "as the first, but"));
    for step in mine
        .iter()
        .filter(|step| !theirs.iter().any(|other| same(step, other)))
    {
        out.push_str(&show_step(step));
    }
    let left = theirs
        .iter()
        .filter(|step| !mine.iter().any(|other| step.slot == other.slot));
    for step in left {
        out.push_str(&line(4, 6, &format!("{}  stays as it is", step.slot)));
    }
    for text in plan.with.iter().filter(|text| !first.with.contains(text)) {
        out.push_str(&line(4, 6, &format!("fits with: {text}")));
    }
    for text in plan
        .measure
        .iter()
        .filter(|text| !first.measure.contains(text))
    {
        out.push_str(&line(4, 6, &format!("measure first: {text}")));
    }
    out
}

fn show_plan(plan: &PlanText) -> String {
    let mut out = costs("plan", plan);
    for (title, steps) in [
        ("from the bin", &plan.bin),
        ("to buy", &plan.buy),
        ("comes off", &plan.off),
    ] {
        if steps.is_empty() {
            continue;
        }
        out.push_str(&line(2, 4, title));
        for step in steps {
            out.push_str(&show_step(step));
        }
    }
    let mut more = |title: &str, texts: &[String]| {
        if texts.is_empty() {
            return;
        }
        out.push_str(&line(2, 4, title));
        for text in texts {
            out.push_str(&line(4, 6, text));
        }
    };
    more("back into stock", &plan.replaced);
    more("fits with", &plan.with);
    more("measure first", &plan.measure);
    more("cautions", &plan.cautions);
    out
}

fn show_step(step: &StepText) -> String {
    let mut what = vec![step.slot.clone()];
    if !step.id.is_empty() {
        what.push(step.id.clone());
    }
    let mut text = what.join("  ");
    if !step.name.is_empty() && step.name != step.slot {
        text.push_str(&format!("  {}", step.name));
    }
    let mut details = vec![step.price.clone()];
    details.extend(
        [&step.place, &step.condition]
            .into_iter()
            .filter(|text| !text.is_empty())
            .cloned(),
    );
    text.push_str(&format!(" ({})", details.join(", ")));
    let mut out = line(4, 6, &text);
    if !step.why.is_empty() {
        let colon = if step.forced_by.is_empty() { "" } else { ":" };
        out.push_str(&line(8, 10, &format!("{}{colon}", step.why)));
    }
    for demand in &step.forced_by {
        out.push_str(&line(10, 12, &format!("- {demand}")));
    }
    out
}
