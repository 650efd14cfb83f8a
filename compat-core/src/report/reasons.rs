//! Why a plan changes what it changes, what cannot all hold, and what would have to give way, in words.

use super::plan::Says;
use crate::bike::Wish;
use crate::dim::{Cases, show_money};
use crate::explain::{count, list};
use crate::solve::plan::{Demand, Relaxed, Weight, Why};

/// The most joints of a conflict that are told each on a line of its own.
const MOST_JOINTS: usize = 3;

impl Says<'_> {
    pub(super) fn why(&self, number: usize, why: &Why) -> (String, Vec<String>) {
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
            Why::Apart => "a plan before this one does without it; this is another way".to_owned(),
            Why::Unknown => "the search was stopped before it was known what forces it".to_owned(),
        };
        (text, Vec::new())
    }

    pub(super) fn demands(&self, demands: &[Demand], budget: bool) -> Vec<String> {
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
        // That a plan before this one is left out is no reason for a part.
        let others = others.filter(|demand| !matches!(demand, Demand::Not(_)));
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

    pub(super) fn demand(&self, demand: &Demand) -> String {
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

    pub(super) fn relaxed(&self, relaxed: &Relaxed) -> String {
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
            Relaxed::Goes(of, weight) => {
                format!("the {}: if it might go, {}", slot(of), cost(weight))
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
                mates,
                more,
                without,
            } => {
                let asks: Vec<String> = asks.iter().map(|ask| self.dimension(*ask)).collect();
                let mates: Vec<String> = mates
                    .iter()
                    .map(|slot| format!("the {} that is fitted", self.words.slot_title(*slot)))
                    .collect();
                let asks = match (asks.as_slice(), mates.as_slice(), weight.things()) {
                    ([], [], 1) => "one thing looked at first".to_owned(),
                    ([], [], open) => format!("{open} things looked at first"),
                    (asks, [], _) => format!("{} measured first", list(asks)),
                    ([], mates, _) => format!("{} written down first", list(mates)),
                    (asks, mates, _) => {
                        let mates = list(mates);
                        format!("{} measured and {mates} written down first", list(asks))
                    }
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
                    "{with} with {asks}, {}; --allow-unmeasured shows it",
                    cost(weight)
                )
            }
        }
    }
}
