//! A demand of a plan as a table, so that any other solver can read it.

use super::build::Built;
use super::problem::Judge;
use super::weight::Weight;

impl Built<'_> {
    /// What a demand says of the choices it tells apart, one of each sort for each of its places; with
    /// the sort of each choice. Nothing where there are more than `most`.
    pub fn table(&mut self, rule: usize, most: usize) -> Option<Table> {
        let places = self.rules.get(rule)?.places.clone();
        let mut table = Table::default();
        let mut firsts: Vec<Vec<usize>> = Vec::new();
        for (position, place) in places.iter().enumerate() {
            let count = self
                .places
                .get(*place)
                .map_or(0, |place| place.choices.len());
            let sorts: Vec<u32> = (0..count)
                .map(|choice| self.sight(rule, position, choice))
                .collect();
            let mut first: Vec<usize> = Vec::new();
            for (choice, sort) in sorts.iter().enumerate() {
                if *sort as usize == first.len() {
                    first.push(choice);
                }
            }
            // Where sorts were met in another order, each is looked up.
            let all = sorts.iter().max().map_or(0, |most| *most as usize + 1);
            if first.len() != all {
                first = (0..all)
                    .filter_map(|sort| sorts.iter().position(|known| *known as usize == sort))
                    .collect();
            }
            table.sorts.push(sorts);
            firsts.push(first);
        }
        let size = firsts
            .iter()
            .try_fold(1_usize, |size, first| size.checked_mul(first.len()))?;
        if size > most {
            return None;
        }
        let mut at = vec![0_usize; firsts.len()];
        loop {
            let choices: Option<Vec<usize>> = at
                .iter()
                .zip(&firsts)
                .map(|(sort, first)| first.get(*sort).copied())
                .collect();
            if let Some(weight) = self.weigh(rule, &choices?) {
                let sorts = at.iter().filter_map(|sort| u32::try_from(*sort).ok());
                table.allowed.push((sorts.collect(), weight));
            }
            let mut position = 0;
            loop {
                let (Some(sort), Some(first)) = (at.get_mut(position), firsts.get(position)) else {
                    return Some(table);
                };
                *sort += 1;
                if *sort < first.len() {
                    break;
                }
                *sort = 0;
                position += 1;
            }
        }
    }
}

/// A demand as a table.
#[derive(Clone, Debug, Default)]
pub struct Table {
    /// For each of its places the sort of each choice, as far as the demand tells them apart.
    pub sorts: Vec<Vec<u32>>,
    /// The sorts that go together, and what they add.
    pub allowed: Vec<(Vec<u32>, Weight)>,
}
