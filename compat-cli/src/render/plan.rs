//! A plan as text: what it costs, what to take and what to buy with what forces it, what comes off;
//! or what cannot all hold, and what would have to give way.

use compat_core::explain::count;
use compat_core::report::{PlanReport, PlanText, PurchaseText, StepText};

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
        let what = match report.conflict.len() {
            1 => "nothing at hand comes to this:",
            _ => "these cannot all hold:",
        };
        let text = format!("{}  {what}", verdict("no plan"));
        out.push_str(&line(0, 2, &text));
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
        ("planned", Some(plan)) if plan.changes == 0 => match plan.open {
            0 => format!("planned: nothing has to change ({over})"),
            open => format!(
                "planned: no change, {} to measure first ({over})",
                count(open, "thing", "things")
            ),
        },
        ("planned", Some(plan)) => {
            let besides = match plan.besides.len() {
                0 => String::new(),
                some => format!(" and {} of no known price", count(some, "need", "needs")),
            };
            format!(
                "planned: {} for {}{besides}, proved the cheapest ({over})",
                count(plan.changes, "change", "changes"),
                plan.cost
            )
        }
        ("stopped", _) => {
            let steps = usize::try_from(searched.steps).unwrap_or(usize::MAX);
            format!("stopped after {} ({over})", count(steps, "step", "steps"))
        }
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
    let text = match plan.besides.len() {
        0 => text,
        some => format!(
            "{text}; and {} of no known price",
            count(some, "need", "needs")
        ),
    };
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
    let what = |step: &StepText| (step.slot.clone(), step.id.clone(), step.name.clone());
    let same = |a: &StepText, b: &StepText| what(a) == what(b);
    out.push_str(&line(2, 4, "as the first, but"));
    let other = |step: &&StepText| !theirs.iter().any(|other| same(step, other));
    for step in mine.iter().filter(other) {
        out.push_str(&show_step(step));
    }
    let left = theirs
        .iter()
        .filter(|step| !mine.iter().any(|other| step.slot == other.slot));
    for step in left {
        out.push_str(&line(4, 6, &format!("{}  stays as it is", step.slot)));
    }
    let new = |mine: &[String], theirs: &[String]| -> Vec<String> {
        let new = mine.iter().filter(|text| !theirs.contains(text));
        new.cloned().collect()
    };
    section(&mut out, ORDER, &new(&order(plan), &order(first)));
    section(&mut out, BESIDES, &new(&plan.besides, &first.besides));
    section(&mut out, AS_NOW, &new(&plan.as_now, &first.as_now));
    section(&mut out, MEASURE, &new(&plan.measure, &first.measure));
    section(&mut out, UNJUDGED, &new(&plan.unjudged, &first.unjudged));
    let why: Vec<StepText> = mine.iter().filter(other).cloned().collect();
    reasons(&mut out, &why);
    section(&mut out, CAUTIONS, &new(&plan.cautions, &first.cautions));
    out
}

const BESIDES: &str = "also needed, no price known: not in the sum";
const AS_NOW: &str = "as the bike stands now, too, and not in the sum";
const MEASURE: &str = "measure first";
const UNJUDGED: &str = "not judged";
const CAUTIONS: &str = "cautions";

const ORDER: &str = "to order";

/// What to order with counts, where that says more than what is bought for each slot.
fn order(plan: &PlanText) -> Vec<String> {
    let says = |line: &PurchaseText| line.count > 1 || !line.what.is_empty();
    if !plan.order.iter().any(says) {
        return Vec::new();
    }
    let told = plan.order.iter().map(|line| {
        let words = [&line.id, &line.name, &line.what];
        let words: Vec<&str> = words.into_iter().map(String::as_str).collect();
        let words: Vec<&str> = words.into_iter().filter(|word| !word.is_empty()).collect();
        let mut text = format!(
            "{} x {} ({}), {}",
            line.count,
            words.join("  "),
            line.slots.join(", "),
            line.price
        );
        if !line.ask.is_empty() {
            text.push_str(&format!("; not known: {}", line.ask.join(", ")));
        }
        text
    });
    told.collect()
}

fn section(out: &mut String, title: &str, texts: &[String]) {
    if texts.is_empty() {
        return;
    }
    out.push_str(&line(2, 4, title));
    for text in texts {
        out.push_str(&line(4, 6, text));
    }
}

/// What cannot all hold without each change, a line for each.
fn reasons(out: &mut String, steps: &[StepText]) {
    let said = |step: &StepText| !(step.why.is_empty() && step.forced_by.is_empty());
    let said: Vec<&StepText> = steps.iter().filter(|step| said(step)).collect();
    if said.is_empty() {
        return;
    }
    out.push_str(&line(2, 4, "why"));
    for step in said {
        let why = match step.forced_by.as_slice() {
            [] => step.why.clone(),
            [one] => one.clone(),
            all => format!("without it these cannot all hold: {}", all.join("; ")),
        };
        out.push_str(&line(4, 6, &format!("{}  {why}", step.slot)));
    }
}

fn show_plan(plan: &PlanText) -> String {
    let mut out = costs("plan", plan);
    for (title, steps) in [
        ("to buy", &plan.buy),
        ("from the bin", &plan.bin),
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
    section(&mut out, ORDER, &order(plan));
    section(&mut out, BESIDES, &plan.besides);
    section(&mut out, AS_NOW, &plan.as_now);
    section(&mut out, MEASURE, &plan.measure);
    section(&mut out, UNJUDGED, &plan.unjudged);
    section(&mut out, "back into stock", &plan.replaced);
    section(&mut out, "stays as it is, and is not right", &plan.stands);
    let steps = [&plan.buy, &plan.bin, &plan.off].into_iter().flatten();
    let steps: Vec<StepText> = steps.cloned().collect();
    reasons(&mut out, &steps);
    section(&mut out, CAUTIONS, &plan.cautions);
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
    let price = Some(&step.price).filter(|price| price.as_str() != "0.00");
    let details: Vec<&str> = [price, Some(&step.place), Some(&step.condition)]
        .into_iter()
        .flatten()
        .map(String::as_str)
        .filter(|text| !text.is_empty())
        .collect();
    if !details.is_empty() {
        text.push_str(&format!(" ({})", details.join(", ")));
    }
    line(4, 6, &text)
}
