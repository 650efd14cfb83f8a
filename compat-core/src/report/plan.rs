//! A plan in words: what is taken, what is bought, what comes off, and why.

use serde::Serialize;

use super::purchase::{PurchaseText, named, purchases};
use super::words::Words;
use super::{FindingText, Report, VERSION};
use crate::bike::Wish;
use crate::catalog::Catalog;
use crate::dim::{Cases, show_money};
use crate::explain::{count, list};
use crate::solve::Known;
use crate::solve::plan::{
    Act, Asked, Built, Demand, Lack, Plan, Planned, Relaxed, Supply, Unit, Weight, Why,
};
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
        let put = format!("with {} in between; ", list(&finding.adaptors));
        let told = finding.headline.as_str();
        let told = told.strip_prefix(put.as_str()).unwrap_or(told);
        format!("{}: {told}", finding.joint)
    })
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

/// The most joints of a conflict that are told each on a line of its own.
const MOST_JOINTS: usize = 3;

struct Says<'a> {
    words: &'a Words<'a>,
    catalog: &'a Catalog,
    files: &'a Files,
    asked: &'a Asked<'a>,
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
        let with = needs.map(|finding| format!("{}: {}", finding.joint, finding.headline));
        let besides = check.findings.iter().filter(|finding| !finding.standing);
        let besides = besides.filter(|finding| finding.verdict == Verdict::FitsWith.words());
        let besides = besides.flat_map(|finding| {
            let told = without_needs(finding);
            let because = move |need: &String| format!("{need} ({}: {told})", finding.joint);
            let bought = |need: &&String| {
                let mut lacks = plan.lacks.iter();
                let here = |lack: &Lack| self.words.joint_title(lack.at) == finding.joint;
                lacks.any(|lack| need.starts_with(&lack.what) && here(lack))
            };
            let needs = finding.needs.iter().filter(move |need| !bought(need));
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

    fn why(&self, number: usize, why: &Why) -> (String, Vec<String>) {
        let text = match why {
            Why::Forced(demands, budget) => {
                let all = self.demands(demands, *budget);
                return ("without it these cannot all hold".to_owned(), all);
            }
            Why::Saves(without, with) => {
                let against = without.complaints() > with.complaints();
                let more = *without - *with;
                let slot = self.words.slot_title(number);
                match (more.open, more.money, more.changes) {
                    (1.., ..) if against => format!(
                        "with the {slot} left as it is, a part is used that somebody complained of"
                    ),
                    (1.., ..) => {
                        let open = without.things().saturating_sub(with.things());
                        let open = count(open, "joint", "joints");
                        format!("with the {slot} left as it is, {open} more must be measured first")
                    }
                    (_, 1.., _) if self.asked.bike.part(number).is_none() => format!(
                        "the cheapest plan without a {slot} at hand costs {} more",
                        show_money(more.money)
                    ),
                    (_, 1.., _) => format!(
                        "the cheapest plan that leaves the {slot} as it is costs {} more",
                        show_money(more.money)
                    ),
                    (_, _, 1..) => {
                        format!("a plan that leaves the {slot} as it is changes more parts")
                    }
                    _ => format!("a plan that leaves the {slot} as it is costs as much"),
                }
            }
            Why::Lacked(at) => format!("{} needs one", self.words.joint_title(*at)),
            Why::Goes(carrier) => format!("it goes with the {}", self.words.slot_title(*carrier)),
            Why::Unknown => "the search was stopped before it was known what forces it".to_owned(),
        };
        (text, Vec::new())
    }

    fn demands(&self, demands: &[Demand], budget: bool) -> Vec<String> {
        // What somebody asked for first, then the money; what the parts ask of each other last.
        let joint = |demand: &&Demand| matches!(demand, Demand::Joint(_));
        let asked = |demand: &&Demand| {
            matches!(
                demand,
                Demand::Wish(_) | Demand::Keep(_) | Demand::Change(_) | Demand::Remove(_)
            )
        };
        let say = |demand: &Demand| self.demand(demand);
        let mut all: Vec<String> = demands.iter().filter(asked).map(say).collect();
        if let Some(budget) = self.asked.wishes.budget.filter(|_| budget) {
            all.push(format!("no more than {} is spent", show_money(budget)));
        }
        let others = demands.iter().filter(|demand| !asked(demand));
        let (joints, others): (Vec<&Demand>, Vec<&Demand>) = others.partition(joint);
        all.extend(others.into_iter().map(say));
        if joints.len() <= MOST_JOINTS {
            all.extend(joints.into_iter().map(say));
            return all;
        }
        let title = |demand: &&Demand| match demand {
            Demand::Joint(at) => Some(self.words.joint_title(*at)),
            _ => None,
        };
        let titles: Vec<String> = joints.iter().filter_map(title).collect();
        all.push(format!(
            "these {} joints fit: {}",
            titles.len(),
            list(&titles)
        ));
        all
    }

    fn demand(&self, demand: &Demand) -> String {
        let slot = |slot: &usize| self.words.slot_title(*slot);
        match demand {
            Demand::Joint(at) => format!("{} fits", self.words.joint_title(*at)),
            Demand::Ends(of) => format!(
                "every end of a new {} that decides has its mate written down",
                slot(of)
            ),
            Demand::Wish(wish) => self.wish(wish, &wish.wanted),
            Demand::Keep(of) => format!("the {} stays as it is", slot(of)),
            Demand::Change(of) => format!("the {} is changed", slot(of)),
            Demand::Remove(of) => format!("the {} comes off", slot(of)),
            Demand::Carried(of, with) => {
                format!("the {} leaves the bike with the {}", slot(of), slot(with))
            }
            Demand::Enough(kind) => {
                let title = self.catalog.body(*kind).title.clone();
                format!("there is one {title} for each place")
            }
            Demand::Shared(_) => "there is one adaptor for each joint that needs it".to_owned(),
            Demand::Not(_) => "the check lets the plan through".to_owned(),
        }
    }

    fn wish(&self, wish: &Wish, cases: &Cases) -> String {
        let quantity = self.words.quantity(wish.slot, wish.dimension);
        format!(
            "wished: {} of the {}: {}",
            self.words.dimension_title(wish.slot, wish.dimension),
            self.words.slot_title(wish.slot),
            self.words.cases(quantity, cases)
        )
    }

    /// A dimension as `--set` takes it.
    fn dimension(&self, (slot, dimension): (usize, usize)) -> String {
        let of = self.catalog.slots().get(slot);
        let name = of.and_then(|slot| self.catalog.body(slot.kind).dimensions.get(dimension));
        let (slot, name) = (
            of.map_or("", |slot| slot.name.as_str()),
            name.map_or("", |dimension| dimension.name.as_str()),
        );
        format!("{slot}.{name}")
    }

    fn relaxed(&self, relaxed: &Relaxed) -> String {
        let slot = |slot: &usize| self.words.slot_title(*slot);
        let cost = |weight: &Weight| match weight.changes {
            0 => "the bike stays as it is".to_owned(),
            _ => format!("a plan of {}", show_money(weight.money)),
        };
        match relaxed {
            Relaxed::Wish(wish, now, weight) => {
                let asked = self.wish(wish, &wish.wanted);
                let quantity = self.words.quantity(wish.slot, wish.dimension);
                let now = now.as_ref().map(|now| self.words.cases(quantity, now));
                match (now, weight.changes) {
                    (Some(now), 0) => {
                        format!("{asked}: nothing comes nearer than {now}, as it is")
                    }
                    (None, 0) => format!("{asked}: without that wish, the bike stays as it is"),
                    (Some(now), _) => format!("{asked}: with {now} instead, {}", cost(weight)),
                    (None, _) => format!("{asked}: without that wish, {}", cost(weight)),
                }
            }
            Relaxed::Budget(more, weight) => format!(
                "the budget: if it were {} more, {}",
                show_money(*more),
                cost(weight)
            ),
            Relaxed::Keep(of, weight) => {
                format!("the {}: if it might be changed, {}", slot(of), cost(weight))
            }
            Relaxed::Change(of, weight) => {
                format!("the {}: if it might stay, {}", slot(of), cost(weight))
            }
            Relaxed::Remove(of, weight) => {
                format!("the {}: if it might stay on, {}", slot(of), cost(weight))
            }
            Relaxed::Together(demands, more, weight) => {
                let mut all: Vec<String> =
                    demands.iter().map(|demand| self.demand(demand)).collect();
                all.extend(more.map(|more| format!("the budget, by {}", show_money(more))));
                format!("these together: {}: {}", all.join("; "), cost(weight))
            }
            Relaxed::Measure {
                weight,
                asks,
                more,
                without,
            } => {
                let open = count(weight.things(), "joint or wish", "joints or wishes");
                let asks: Vec<String> = asks.iter().map(|ask| self.dimension(*ask)).collect();
                let asks = match asks.as_slice() {
                    [] => String::new(),
                    _ => format!(" ({})", asks.join(", ")),
                };
                let with = match (more, without) {
                    (Some(more), _) => {
                        let more = show_money(*more);
                        format!("measuring and the budget: if it were {more} more, and")
                    }
                    (None, Some(demand)) => {
                        format!("measuring, and without this: {}:", self.demand(demand))
                    }
                    (None, None) => "measuring:".to_owned(),
                };
                format!(
                    "{with} with {open} to measure first{asks}, {}; --allow-unmeasured shows it",
                    cost(weight)
                )
            }
        }
    }
}
