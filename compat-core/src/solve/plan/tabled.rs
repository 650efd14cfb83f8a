//! A problem that was written out, read back: the same search over nothing but its tables.

use std::rc::Rc;

use super::export::Export;
use super::problem::{Judge, Problem};
use super::weight::Weight;

/// The rules of a problem that was written out, as their tables say them.
#[derive(Clone, Debug, Default)]
pub struct Tabled {
    rules: Vec<Rule>,
}

/// A rule: what each combination of sorts comes to, the sorts of its first place next to each other.
#[derive(Clone, Debug, Default)]
struct Rule {
    places: Vec<Sorts>,
    /// Nothing where a combination is forbidden, else one more than the number of its weight.
    said: Vec<u32>,
    weights: Vec<Weight>,
}

/// A place as a rule sees it.
#[derive(Clone, Debug, Default)]
struct Sorts {
    of_choice: Vec<u32>,
    /// How far a combination and the same with the next sort for this place lie apart.
    stride: usize,
}

impl Export {
    /// The problem and its judge. Nothing where a table does not agree with itself.
    pub fn read(&self) -> Option<(Problem, Tabled)> {
        let mut problem = Problem {
            budget: self.budget,
            ..Problem::default()
        };
        for place in &self.places {
            let weights = place.choices.iter();
            Rc::make_mut(&mut problem.places)
                .push(weights.map(|choice| weight(choice.weight)).collect());
        }
        let mut tabled = Tabled::default();
        for row in &self.rules {
            let mut rule = Rule {
                weights: vec![Weight::NOTHING],
                ..Rule::default()
            };
            let mut size = 1_usize;
            for (place, sorts) in row.places.iter().zip(&row.sorts) {
                if problem.places.get(*place)?.len() != sorts.len() {
                    return None;
                }
                rule.places.push(Sorts {
                    of_choice: sorts.clone(),
                    stride: size,
                });
                let most = sorts.iter().max().map_or(0, |most| *most as usize + 1);
                size = size.checked_mul(most)?;
            }
            rule.said = vec![0; size];
            let mut adds = row.adds.iter().peekable();
            for (number, sorts) in row.allowed.iter().enumerate() {
                let mut weight_number = 1;
                if let Some((_, adds)) = adds.next_if(|(of, _)| *of == number) {
                    rule.weights.push(weight(*adds));
                    weight_number = u32::try_from(rule.weights.len()).ok()?;
                }
                let at = rule.places.iter().zip(sorts);
                let at = at.map(|(place, sort)| place.stride * *sort as usize);
                *rule.said.get_mut(at.sum::<usize>())? = weight_number;
            }
            problem.rules.push(row.places.clone());
            tabled.rules.push(rule);
        }
        Some((problem, tabled))
    }
}

fn weight([open, money, changes, order]: [i64; 4]) -> Weight {
    Weight {
        open,
        money,
        changes,
        order,
    }
}

impl Rule {
    fn sort(&self, position: usize, choice: usize) -> Option<u32> {
        let place = self.places.get(position)?;
        place.of_choice.get(choice).copied()
    }

    fn at(&self, choices: &[usize]) -> Option<usize> {
        let mut at = 0;
        for (place, choice) in self.places.iter().zip(choices) {
            at += place.stride * *place.of_choice.get(*choice)? as usize;
        }
        Some(at)
    }
}

impl Judge for Tabled {
    fn weigh(&mut self, rule: usize, choices: &[usize]) -> Option<Weight> {
        let rule = self.rules.get(rule)?;
        let said = *rule.said.get(rule.at(choices)?)?;
        let number = usize::try_from(said).ok()?.checked_sub(1)?;
        rule.weights.get(number).copied()
    }

    fn same(&mut self, rule: usize, position: usize, one: usize, other: usize) -> bool {
        let rule = self.rules.get(rule);
        rule.is_none_or(|rule| rule.sort(position, one) == rule.sort(position, other))
    }

    fn first(
        &mut self,
        rule: usize,
        position: usize,
        choices: &mut [usize],
        count: usize,
    ) -> Option<usize> {
        let rule = self.rules.get(rule)?;
        let from = *choices.get(position)?;
        let place = rule.places.get(position)?;
        let own = place.stride * rule.sort(position, from)? as usize;
        let others = rule.at(choices)?.checked_sub(own)?;
        (from..count).find(|choice| {
            let sort = place.of_choice.get(*choice);
            let said = sort.and_then(|sort| rule.said.get(others + place.stride * *sort as usize));
            said.is_some_and(|said| *said > 0)
        })
    }
}
