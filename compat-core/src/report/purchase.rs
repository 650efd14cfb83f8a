//! What a plan buys, equal lines counted: what to order.

use serde::Serialize;

use super::plan::StepText;
use super::{OrderText, Report};
use crate::bike::Swap;
use crate::catalog::Catalog;
use crate::dim::show_money;
use crate::solve::plan::{Act, Asked, Plan, Supply};
use crate::solve::{Options, orders};
use crate::text::Files;

/// A line of what to order.
#[derive(Clone, Debug, Serialize)]
pub struct PurchaseText {
    /// How many.
    pub count: usize,
    /// The id of the line of the price list; nothing where no list has it.
    pub id: String,
    /// What it is called.
    pub name: String,
    /// What it is asked for by, where such parts go by a name: the number of a bearing.
    pub what: String,
    /// What nobody knows that keeps such parts apart.
    pub ask: Vec<String>,
    /// The slots it is for.
    pub slots: Vec<String>,
    /// What all of them cost.
    pub price: String,
}

/// Adds to the check of a plan what its new parts are ordered by.
pub(super) fn named(
    catalog: &Catalog,
    files: &Files,
    asked: &Asked<'_>,
    plan: &Plan,
    check: &mut Report,
) {
    let bought = |slot: usize| {
        let list = |act: &Act| matches!(act, Act::Put(unit) if unit.from == Supply::List);
        plan.steps
            .iter()
            .any(|step| step.slot == slot && list(&step.act))
    };
    let mut swap: Swap = plan.swap.clone();
    for (slot, part) in &mut swap.parts {
        if bought(*slot) {
            part.stock = None;
        }
    }
    let options = Options {
        strict: asked.strict,
    };
    let orders = orders(catalog, asked.bike, Some(&swap), options, &plan.check);
    check.list(catalog, files, &orders, &plan.check);
}

/// Counts equal lines.
pub(super) fn purchases(buy: &[(StepText, i64)], orders: &[OrderText]) -> Vec<PurchaseText> {
    let mut found: Vec<(PurchaseText, i64)> = Vec::new();
    for (step, price) in buy {
        let mut named = orders.iter();
        let named = named.find(|order| order.slots.contains(&step.slot));
        let what = named.map_or(String::new(), |order| order.what.clone());
        let same = |known: &&mut (PurchaseText, i64)| {
            let known = &known.0;
            (&known.id, &known.name, &known.what) == (&step.id, &step.name, &what)
        };
        if let Some((known, sum)) = found.iter_mut().find(same) {
            known.count += 1;
            known.slots.push(step.slot.clone());
            *sum = sum.saturating_add(*price);
        } else {
            let line = PurchaseText {
                count: 1,
                id: step.id.clone(),
                name: step.name.clone(),
                what,
                ask: named.map(|order| order.ask.clone()).unwrap_or_default(),
                slots: vec![step.slot.clone()],
                price: String::new(),
            };
            found.push((line, *price));
        }
    }
    let told = |(line, sum): (PurchaseText, i64)| PurchaseText {
        price: show_money(sum),
        ..line
    };
    found.into_iter().map(told).collect()
}
