//! A problem of choices, who judges it, what bounds the search, and what comes of it.

use std::rc::Rc;

use super::weight::Weight;

/// Places, their choices, and the rules over them.
#[derive(Clone, Debug, Default)]
pub struct Problem {
    /// For each place the weights of its choices, the lightest first.
    pub places: Rc<Vec<Vec<Weight>>>,
    /// For each rule the places it is about.
    pub rules: Vec<Vec<usize>>,
    /// The most money there is.
    pub budget: Option<i64>,
    /// How many things a plan leaves open: none leaves fewer, and one that leaves more is not wanted.
    pub open: Option<i64>,
}

/// The most places one problem may have.
pub const MOST_PLACES: usize = 256;

/// The most rules one problem may have.
pub const MOST_RULES: usize = 1024;

/// Says what a rule makes of a choice for each of its places, in the order of its places.
pub trait Judge {
    /// What it adds to the weight; nothing where the rule forbids it.
    fn weigh(&mut self, rule: usize, choices: &[usize]) -> Option<Weight>;

    /// True where a rule cannot tell two choices for one of its places apart.
    fn same(&mut self, rule: usize, position: usize, one: usize, other: usize) -> bool {
        let _ = (rule, position);
        one == other
    }

    /// The first choice for one of its places, from that in `choices` on and below `count`, that a
    /// rule allows with the others.
    fn first(
        &mut self,
        rule: usize,
        position: usize,
        choices: &mut [usize],
        count: usize,
    ) -> Option<usize> {
        let from = choices.get(position).copied()?;
        (from..count).find(|choice| {
            if let Some(there) = choices.get_mut(position) {
                *there = *choice;
            }
            self.weigh(rule, choices).is_some()
        })
    }
}

/// What bounds a search.
pub struct Limits<'s> {
    /// The most steps: choices tried.
    pub steps: u64,
    /// Asked now and then; true stops the search.
    pub stop: &'s dyn Fn(u64) -> bool,
}

impl std::fmt::Debug for Limits<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Limits")
            .field("steps", &self.steps)
            .finish()
    }
}

/// What came of a search.
#[derive(Clone, Debug, Default)]
pub struct Found {
    /// The lightest plan: a choice for each place, and its weight.
    pub best: Option<(Weight, Vec<usize>)>,
    /// True where every other plan is known to be no lighter, or none to exist.
    pub proved: bool,
    /// No plan is lighter than this.
    pub least: Weight,
    /// The choices tried.
    pub steps: u64,
    /// The rules that spoke something on the way. Where there is no plan, they are enough to show
    /// it, together with the budget where that counted.
    pub spoke: Vec<bool>,
    /// Where there is no plan: the rules its proof rests on, far fewer than spoke as a rule.
    pub core: Vec<bool>,
    /// True where the budget turned something away.
    pub dear: bool,
    /// The least that something left open which was turned away because it was too much.
    pub too_open: Option<i64>,
}
