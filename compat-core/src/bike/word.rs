//! A number for each of many texts, most of them short.
//!
//! What stands in a cell is a word or a figure of a few letters. Such a text is told from others by its
//! first and last letters and its length, without a look at where it is kept.

use std::hash::{Hash, Hasher};

use foldhash::HashMap;

/// Texts and their numbers.
#[derive(Clone, Debug, Default)]
pub(super) struct Words {
    short: HashMap<Short, u32>,
    long: HashMap<Box<str>, u32>,
}

impl Words {
    /// The number of a text.
    pub fn get(&self, text: &str) -> Option<u32> {
        match Short::of(text) {
            Some(short) => self.short.get(&short).copied(),
            None => self.long.get(text).copied(),
        }
    }

    /// Gives a text a number.
    pub fn put(&mut self, text: &str, number: u32) {
        match Short::of(text) {
            Some(short) => self.short.insert(short, number),
            None => self.long.insert(text.into(), number),
        };
    }
}

/// A text of at most sixteen bytes: its first eight, its last eight, and how many there are. They
/// overlap where there are fewer than sixteen; four and four do where there are fewer than eight.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Short {
    first: u64,
    last: u64,
    length: u8,
}

impl Short {
    fn of(text: &str) -> Option<Short> {
        let bytes = text.as_bytes();
        let length = u8::try_from(bytes.len())
            .ok()
            .filter(|length| *length <= 16)?;
        let (first, last) = match (bytes.first_chunk(), bytes.last_chunk()) {
            (Some(first), Some(last)) => (u64::from_le_bytes(*first), u64::from_le_bytes(*last)),
            _ => match (bytes.first_chunk(), bytes.last_chunk()) {
                (Some(first), Some(last)) => (
                    u64::from(u32::from_le_bytes(*first)),
                    u64::from(u32::from_le_bytes(*last)),
                ),
                _ => {
                    let all = bytes
                        .iter()
                        .fold(0, |all, byte| all << 8 | u64::from(*byte));
                    (all, 0)
                }
            },
        };
        Some(Short {
            first,
            last,
            length,
        })
    }
}

impl Hash for Short {
    fn hash<H: Hasher>(&self, state: &mut H) {
        state.write_u64(self.first ^ u64::from(self.length) << 56);
        state.write_u64(self.last);
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::Words;

    proptest! {
        /// No text has the number of another.
        #[test]
        fn each_text_has_its_own_number(texts in proptest::collection::btree_set("[ab0é]{0,6}|[a-z]{7,9}|[ab]{15,18}", 0..60)) {
            let mut words = Words::default();
            for (number, text) in (0..).zip(&texts) {
                prop_assert_eq!(words.get(text), None);
                words.put(text, number);
            }
            for (number, text) in (0..).zip(&texts) {
                prop_assert_eq!(words.get(text), Some(number));
            }
        }
    }
}
