//! The ids of the lines of a list.

use std::hash::BuildHasher;

use foldhash::fast::RandomState;
use hashbrown::HashTable;
use hashbrown::hash_table::Entry;

use super::stock::{Line, Stock};
use crate::text::{At, Fault, FaultKind, Faults, Place};

/// Ids that stand on two lines: whoever names one would get the first without a word.
pub(super) fn twice(stock: &Stock, faults: &mut Faults) {
    let id = |line: &Line| stock.text(line.id);
    // Most lists are numbered in their order; then no two are alike.
    let order = |line: &Line| (id(line).len(), id(line));
    if stock
        .lines
        .is_sorted_by(|one, next| order(one) < order(next))
    {
        return;
    }
    let hasher = RandomState::default();
    let mut seen: HashTable<&Line> = HashTable::with_capacity(stock.lines.len());
    for line in &stock.lines {
        let hash = hasher.hash_one(id(line));
        let same = |other: &&Line| id(other) == id(line);
        let entry = seen.entry(hash, same, |other| hasher.hash_one(id(other)));
        let first = match entry {
            Entry::Occupied(mut first) => Some(std::mem::replace(first.get_mut(), line).line),
            Entry::Vacant(entry) => {
                entry.insert(line);
                None
            }
        };
        if let Some(first) = first {
            let id = id(line);
            let at = At {
                line: line.line,
                column: 1,
                length: 1,
            };
            let message = format!("the id `{id}` stands on line {first} too");
            faults.push(Fault::new(
                Place {
                    file: stock.file,
                    at,
                },
                FaultKind::Duplicate,
                id,
                message,
            ));
        }
    }
}
