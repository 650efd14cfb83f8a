//! A plan in words: what is taken, what is bought, what comes off, and why.

use serde::Serialize;

use super::purchase::{PurchaseText, named, purchases};
use super::words::Words;
use super::{FindingText, Report, VERSION};
use crate::catalog::Catalog;
use crate::dim::show_money;
use crate::explain::{count, list};
use crate::solve::Known;
use crate::solve::plan::{Act, Asked, Built, Demand, Lack, Plan, Planned, Supply, Unit};
use crate::text::{Files, clean_line};
use crate::verdict::{Holds, Verdict};

/// The cheapest plans, or why there is none.
#[derive(Clone, Debug, Serialize)]
pub struct PlanReport {
    /// The version of this form.
    pub version: u32,
    /// The bike.
    pub bike: String,
    /// What was wished.
    pub wishes: String,
    /// `planned`, `no plan` or `stopped`.
    pub outcome: &'static str,
    /// True where the first plan is known to be the cheapest, or none to exist.
    pub proved: bool,
    /// Where the search was stopped: what no plan costs less than.
    pub at_least: Option<String>,
    /// The plans, the cheapest first.
    pub plans: Vec<PlanText>,
    /// Where there is no plan: what cannot all hold.
    pub conflict: Vec<String>,
    /// What would have to give way, each by itself.
    pub give_way: Vec<String>,
    /// What is worth saying beside it.
    pub notes: Vec<String>,
    /// What was searched.
    pub searched: Searched,
}

/// What was searched.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct Searched {
    /// Slots that could change.
    pub slots: usize,
    /// Different things that could be done with them.
    pub choices: usize,
    /// Lines of stock and price list.
    pub lines: usize,
    /// Steps of the search.
    pub steps: u64,
    /// Joints judged.
    pub judged: u64,
}

/// A plan.
#[derive(Clone, Debug, Serialize)]
pub struct PlanText {
    /// What it costs, parts and work.
    pub cost: String,
    /// What the parts cost.
    pub parts: String,
    /// What the work costs.
    pub work: String,
    /// How many parts it changes.
    pub changes: usize,
    /// How many joints must be measured first.
    pub open: usize,
    /// What is taken from the bin.
    pub bin: Vec<StepText>,
    /// What is bought.
    pub buy: Vec<StepText>,
    /// The same, equal lines counted.
    pub order: Vec<PurchaseText>,
    /// What comes off and is not replaced.
    pub off: Vec<StepText>,
    /// What comes off to make room, to be put back into stock.
    pub replaced: Vec<String>,
    /// What it fits with.
    pub with: Vec<String>,
    /// Of that what stands in no list and in no sum: parts and steps.
    pub besides: Vec<String>,
    /// What it fits with that its joints needed as the bike stood, too.
    pub as_now: Vec<String>,
    /// What must be measured first.
    pub measure: Vec<String>,
    /// The ends of new parts that nothing here judges.
    pub unjudged: Vec<String>,
    /// What is wrong with the bike as it stands, that the plan leaves as it is.
    pub stands: Vec<String>,
    /// The cautions of the joints it makes.
    pub cautions: Vec<String>,
    /// What a check says of it.
    pub check: Report,
}

/// One change of a plan.
#[derive(Clone, Debug, Serialize)]
pub struct StepText {
    /// The slot.
    pub slot: String,
    /// The id of the line it comes from.
    pub id: String,
    /// What it is called.
    pub name: String,
    /// Where it lies.
    pub place: String,
    /// Its condition.
    pub condition: String,
    /// What it costs.
    pub price: String,
    /// What the work costs.
    pub work: String,
    /// What forces it.
    pub why: String,
    /// What cannot all hold without it.
    pub forced_by: Vec<String>,
}

impl PlanReport {
    /// Puts what was planned into words.
    pub fn of(
        catalog: &Catalog,
        files: &Files,
        asked: &Asked<'_>,
        planned: &Planned,
    ) -> PlanReport {
        let known = Known::stated(catalog, asked.bike);
        let words = Words {
            catalog,
            files,
            known: &known,
            inferences: &[],
            before: asked.bike,
            touched: &[],
            keep: &[],
            brief: false,
        };
        let says = Says {
            words: &words,
            catalog,
            files,
            asked,
        };
        let conflict = planned.conflict.iter();
        let conflict = conflict.flat_map(|(demands, budget)| says.demands(demands, *budget));
        let mut notes = Vec::new();
        if planned.unpriced > 0 {
            let lines = count(planned.unpriced, "line", "lines");
            notes.push(format!(
                "{lines} of the price list passed over for want of a price"
            ));
        }
        PlanReport {
            version: VERSION,
            bike: clean_line(&asked.bike.title),
            wishes: clean_line(&asked.wishes.title),
            outcome: match (planned.proved, planned.plans.is_empty()) {
                (false, _) => "stopped",
                (true, true) => "no plan",
                (true, false) => "planned",
            },
            proved: planned.proved,
            at_least: (!planned.proved).then(|| show_money(planned.least.money)),
            plans: planned.plans.iter().map(|plan| says.plan(plan)).collect(),
            conflict: conflict.collect(),
            give_way: planned
                .relaxed
                .iter()
                .map(|one| says.relaxed(one))
                .collect(),
            notes,
            searched: Searched {
                slots: planned.places.0,
                choices: planned.places.1,
                lines: planned.lines,
                steps: planned.steps,
                judged: planned.judged,
            },
        }
    }
}

/// Why an adaptor goes in: the joint, and what is said of it as it is.
fn between(check: &Report, what: &str) -> String {
    let mut there = check.findings.iter();
    let there = there.find(|finding| finding.adaptors.iter().any(|adaptor| adaptor == what));
    there.map_or_else(String::new, |finding| {
        format!("{}: {}", finding.joint, without_adaptors(finding))
    })
}

/// What is said of a finding, without what is in between.
fn without_adaptors(finding: &FindingText) -> &str {
    let put = format!("with {} in between; ", list(&finding.adaptors));
    let told = finding.headline.as_str();
    told.strip_prefix(put.as_str()).unwrap_or(told)
}

/// What is said of a finding, without what it needs.
fn without_needs(finding: &FindingText) -> &str {
    let told = finding.headline.as_str();
    let needs = format!(", with {}", list(&finding.needs));
    told.strip_suffix(needs.as_str()).unwrap_or(told)
}

/// What is said of a joint that needs this.
fn told_of(check: &Report, joint: &str, what: &str) -> String {
    let mut there = check.findings.iter();
    let there = there.find(|finding| {
        let mut needs = finding.needs.iter();
        finding.joint == joint && needs.any(|need| need.starts_with(what))
    });
    there.map_or_else(String::new, |finding| without_needs(finding).to_owned())
}

pub(super) struct Says<'a> {
    pub(super) words: &'a Words<'a>,
    pub(super) catalog: &'a Catalog,
    files: &'a Files,
    pub(super) asked: &'a Asked<'a>,
}

impl Says<'_> {
    fn plan(&self, plan: &Plan) -> PlanText {
        let swap = &plan.swap;
        let changed = !(swap.parts.is_empty() && swap.remove.is_empty());
        let mut check = Report::of(
            self.catalog,
            self.files,
            self.asked.bike,
            changed.then_some(swap),
            &plan.check,
        );
        named(self.catalog, self.files, self.asked, plan, &mut check);
        let mut bin = Vec::new();
        let mut buy: Vec<(StepText, i64)> = Vec::new();
        let mut off = Vec::new();
        let mut replaced = Vec::new();
        let mut work = 0;
        for step in &plan.steps {
            work += step.labour;
            let (why, forced_by) = self.why(step.slot, &step.why);
            let mut text = StepText {
                slot: self.words.slot_title(step.slot),
                id: String::new(),
                name: String::new(),
                place: String::new(),
                condition: String::new(),
                price: show_money(0),
                work: show_money(step.labour),
                why,
                forced_by,
            };
            match &step.act {
                Act::Empty => {
                    text.name = self.words.part_known(step.slot);
                    off.push(text);
                }
                Act::Put(unit) => {
                    self.take(unit, &mut text);
                    if self.asked.bike.part(step.slot).is_some() {
                        replaced.push(self.words.part_known(step.slot));
                    }
                    match unit.from {
                        Supply::Bin => bin.push(text),
                        Supply::List => buy.push((text, unit.price)),
                    }
                }
            }
        }
        for adaptor in &plan.adaptors {
            let mut text = StepText {
                slot: "adaptor".to_owned(),
                id: String::new(),
                name: adaptor.what.clone(),
                place: String::new(),
                condition: String::new(),
                price: show_money(adaptor.price),
                work: show_money(0),
                why: between(&check, &adaptor.what),
                forced_by: Vec::new(),
            };
            if adaptor.unit.is_none() {
                text.condition = "the usual price: it is in no list".to_owned();
            }
            if let Some(unit) = &adaptor.unit {
                text.id = self.id(unit);
            }
            match adaptor.unit.map(|unit| unit.from) {
                Some(Supply::Bin) => bin.push(text),
                Some(Supply::List) | None => buy.push((text, adaptor.price)),
            }
        }
        for lack in &plan.lacks {
            work += lack.labour;
            let joint = self.words.joint_title(lack.at);
            let told = told_of(&check, &joint, &lack.what);
            let text = StepText {
                slot: self.words.slot_title(lack.slot),
                id: String::new(),
                name: lack.what.clone(),
                place: String::new(),
                condition: match lack.at_hand {
                    true => "as the dearest at hand; none of them is known to go on here",
                    false => "the usual price: it is in no list",
                }
                .to_owned(),
                price: show_money(lack.price),
                work: show_money(lack.labour),
                why: format!("{joint}: {told}"),
                forced_by: Vec::new(),
            };
            buy.push((text, lack.price));
        }
        let needs = check.findings.iter().filter(|finding| {
            !(finding.standing || finding.needs.is_empty() && finding.adaptors.is_empty())
        });
        // What a joint needed as it stood is there, or was to be done already.
        let stood = |finding: &FindingText| {
            let mut all = plan.stood.iter();
            all.find(|stood| self.words.joint_title(stood.at) == finding.joint)
        };
        let with = needs.map(|finding| format!("{}: {}", finding.joint, finding.headline));
        let mut as_now: Vec<String> = Vec::new();
        for finding in check.findings.iter().filter(|finding| !finding.standing) {
            let Some(stood) = stood(finding) else {
                continue;
            };
            let told = match finding.adaptors.is_empty() {
                true => without_needs(finding).to_owned(),
                false => without_adaptors(finding).to_owned(),
            };
            let known = self.words.needs(stood);
            let inserts = stood.remedies.inserts.iter();
            let known: Vec<&str> = (inserts.map(|insert| &*insert.need.what))
                .chain(known.iter().map(String::as_str))
                .collect();
            let all = finding.adaptors.iter().chain(&finding.needs);
            let there = all.filter(|need| known.contains(&need.as_str()));
            as_now.extend(there.map(|need| format!("{need} ({}: {told})", finding.joint)));
        }
        let besides = check.findings.iter().filter(|finding| !finding.standing);
        let besides = besides.filter(|finding| finding.verdict == Verdict::FitsWith.words());
        let besides = besides.flat_map(|finding| {
            let told = without_needs(finding);
            let known = stood(finding).map_or_else(Vec::new, |stood| self.words.needs(stood));
            let because = move |need: &String| format!("{need} ({}: {told})", finding.joint);
            let bought = |need: &&String| {
                let mut lacks = plan.lacks.iter();
                let here = |lack: &Lack| self.words.joint_title(lack.at) == finding.joint;
                lacks.any(|lack| need.starts_with(&lack.what) && here(lack))
            };
            let needs = finding
                .needs
                .iter()
                .filter(move |need| !bought(need) && !known.contains(*need));
            needs.map(because)
        });
        let stands = check.findings.iter().filter(|finding| finding.standing);
        let stands = stands.filter(|finding| {
            finding.verdict == Verdict::MeasureFirst.words()
                || finding.verdict == Verdict::DoesNotFit.words()
        });
        let stands = stands.map(|finding| format!("{}: {}", finding.joint, finding.headline));
        let measure = check.findings.iter();
        let measure = measure
            .filter(|finding| !finding.standing && finding.verdict == Verdict::MeasureFirst.words())
            .map(|finding| format!("{}: {}", finding.joint, finding.headline));
        let after = self.asked.bike.with(swap).0;
        let wishes = self.asked.wishes.wishes.iter();
        let open =
            wishes.filter(|wish| Built::wish_holds(after.part(wish.slot), wish) == Holds::Open);
        let open = open.map(|wish| {
            let wished = self.demand(&Demand::Wish(wish.clone()));
            format!("{wished}: nobody knows of the one that is there")
        });
        let measure = measure.chain(open);
        let bare = check.off.iter().map(|caution| caution.say.clone());
        let mut cautions: Vec<String> = bare.collect();
        let judged = check.findings.iter().chain(&check.quiet);
        for caution in judged
            .filter(|finding| !finding.standing)
            .flat_map(|finding| &finding.cautions)
        {
            if !cautions.contains(&caution.say) {
                cautions.push(caution.say.clone());
            }
        }
        for caution in &check.order_cautions {
            if !cautions.contains(&caution.say) {
                cautions.push(caution.say.clone());
            }
        }
        PlanText {
            cost: show_money(plan.weight.money),
            parts: show_money(plan.weight.money - work),
            work: show_money(work),
            changes: plan.steps.len() + plan.lacks.len(),
            open: plan.weight.things(),
            bin,
            order: purchases(&buy, &check.order),
            buy: buy.into_iter().map(|(step, _)| step).collect(),
            off,
            replaced,
            with: with.collect(),
            besides: besides.collect(),
            as_now,
            measure: measure.collect(),
            unjudged: check.unjudged.clone(),
            stands: stands.collect(),
            cautions,
            check,
        }
    }

    fn line(&self, unit: &Unit) -> Option<(&crate::bike::Stock, &crate::bike::Line)> {
        let stock = match unit.from {
            Supply::Bin => self.asked.bin,
            Supply::List => self.asked.list,
        }?;
        Some((stock, stock.lines.get(unit.line)?))
    }

    fn id(&self, unit: &Unit) -> String {
        self.line(unit)
            .map(|(stock, line)| clean_line(stock.text(line.id)))
            .unwrap_or_default()
    }

    fn take(&self, unit: &Unit, text: &mut StepText) {
        text.price = show_money(unit.price);
        if let Some((stock, line)) = self.line(unit) {
            text.id = clean_line(stock.text(line.id));
            text.name = clean_line(stock.text(line.name));
            text.place = clean_line(stock.text(line.place));
            text.condition = clean_line(stock.text(line.condition));
        }
    }
}
