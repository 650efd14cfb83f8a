//! The order list in words.

use serde::Serialize;

use super::words::Words;
use super::{CautionText, Report};
use crate::catalog::Catalog;
use crate::dim::Quantity;
use crate::solve::{Check, Known, Order};
use crate::text::Files;
use crate::verdict::Verdict;

/// A line of an order list.
#[derive(Clone, Debug, Serialize)]
pub struct OrderText {
    /// How many.
    pub count: usize,
    /// What they are asked for by; nothing where that is not known.
    pub what: String,
    /// What nobody knows that keeps such parts apart.
    pub ask: Vec<String>,
    /// The slots they are for.
    pub slots: Vec<String>,
    /// How they would sit there.
    pub verdict: &'static str,
}

impl Report {
    /// Adds the order list.
    pub fn list(&mut self, catalog: &Catalog, files: &Files, orders: &[Order], check: &Check) {
        let known = Known {
            catalog,
            bike: &check.bike,
            inferred: check.inferred.clone(),
        };
        let words = Words {
            catalog,
            files,
            known: &known,
            inferences: &check.inferences,
            before: &check.bike,
            touched: &[],
            keep: &[],
            brief: true,
        };
        for order in orders {
            let Some(slot) = order.slots.first() else {
                continue;
            };
            let said = order.says.iter().map(|(number, cases)| {
                let quantity = words.quantity(*slot, *number);
                let shown = words.cases(quantity, cases);
                match quantity {
                    Quantity::Name => shown,
                    _ => format!("{} {shown}", words.dimension_title(*slot, *number)),
                }
            });
            let said: Vec<String> = said.collect();
            let missing = order.missing.iter();
            let ask = missing.map(|number| words.dimension_title(*slot, *number));
            let kind = catalog.slots().get(*slot).map_or(usize::MAX, |s| s.kind);
            let title = &catalog.body(kind).title;
            self.order.push(OrderText {
                count: order.slots.len(),
                what: format!("{title} {}", said.join(", ")).trim_end().to_owned(),
                ask: ask.collect(),
                slots: order.slots.iter().map(|s| words.slot_title(*s)).collect(),
                verdict: order.verdict.words(),
            });
        }
        if orders
            .iter()
            .all(|order| order.verdict == Verdict::DoesNotFit)
        {
            return;
        }
        let slots: Vec<usize> = orders
            .iter()
            .flat_map(|order| order.slots.clone())
            .collect();
        for family in 0..crate::joints::FAMILIES.len() {
            let mut joints = catalog.joints(family).iter();
            let meets = joints.any(|joint| {
                let mut ends = joint.ends.iter().flatten();
                ends.any(|end| slots.contains(&end.slot))
            });
            if !meets {
                continue;
            }
            let cautions = &catalog.book(family).cautions;
            for caution in cautions.iter().filter(|caution| !caution.adaptor) {
                if self
                    .order_cautions
                    .iter()
                    .all(|known| known.say != caution.say)
                {
                    self.order_cautions.push(CautionText {
                        say: caution.say.to_string(),
                        source: words.source(caution.fact),
                    });
                }
            }
        }
    }
}
