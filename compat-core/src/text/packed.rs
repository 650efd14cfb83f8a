//! The compact form of a tree: its shape as bytes, and all its texts in one, in the order in which
//! the shape speaks of them. So a text is read as a piece of what the compiler has seen to be text.
//! Of the places only those of tables and lists are kept: rows are cited, and faults of single values
//! are found in the files themselves.
//!
//! This file is also compiled into the build script, which packs what the library unpacks.

use std::borrow::Cow;

use super::node::{At, Is, Key, Node};

const TEXT: u8 = 0;
const WHOLE: u8 = 1;
const DECIMAL: u8 = 2;
const YES: u8 = 3;
const NO: u8 = 4;
const DATE: u8 = 5;
const LIST: u8 = 6;
const TABLE: u8 = 7;

/// Puts a tree into its compact form; only the build script and the tests do.
#[allow(dead_code)]
pub fn pack(node: &Node) -> (Vec<u8>, String) {
    let mut packer = Packer::default();
    packer.node(node);
    (packer.shape, packer.texts)
}

/// The tree of a compact form; nothing where it is none.
#[allow(dead_code)]
pub fn unpack(shape: &'static [u8], texts: &'static str) -> Option<Node> {
    Unpacker { shape, texts }.node()
}

#[derive(Default)]
struct Packer {
    shape: Vec<u8>,
    texts: String,
}

#[allow(dead_code)]
impl Packer {
    fn number(&mut self, mut number: u64) {
        while let (low, rest @ 1..) = (number & 127, number >> 7) {
            self.shape.push(low as u8 | 128);
            number = rest;
        }
        self.shape.push(number as u8);
    }

    fn text(&mut self, text: &str) {
        self.number(text.len() as u64);
        self.texts.push_str(text);
    }

    fn at(&mut self, at: At) {
        for number in [at.line, at.column, at.length] {
            self.number(number.into());
        }
    }

    fn node(&mut self, node: &Node) {
        let (sort, text) = match &node.is {
            Is::Text(text) => (TEXT, Some(text)),
            Is::Decimal(text) => (DECIMAL, Some(text)),
            Is::Date(text) => (DATE, Some(text)),
            Is::Whole(_) => (WHOLE, None),
            Is::Flag(true) => (YES, None),
            Is::Flag(false) => (NO, None),
            Is::List(_) => (LIST, None),
            Is::Table(_) => (TABLE, None),
        };
        self.shape.push(sort);
        if let Some(text) = text {
            self.text(text);
        }
        match &node.is {
            Is::Whole(number) => self.number(number.cast_unsigned()),
            Is::List(items) => {
                self.at(node.at);
                self.number(items.len() as u64);
                items.iter().for_each(|item| self.node(item));
            }
            Is::Table(rows) => {
                self.at(node.at);
                self.number(rows.len() as u64);
                for (key, value) in rows {
                    self.text(&key.name);
                    self.node(value);
                }
            }
            _ => {}
        }
    }
}

struct Unpacker {
    shape: &'static [u8],
    texts: &'static str,
}

impl Unpacker {
    fn byte(&mut self) -> Option<u8> {
        let (first, rest) = self.shape.split_first()?;
        self.shape = rest;
        Some(*first)
    }

    fn number(&mut self) -> Option<u64> {
        let mut number = 0;
        for shift in (0..u64::BITS).step_by(7) {
            let byte = self.byte()?;
            number |= u64::from(byte & 127) << shift;
            if byte < 128 {
                return Some(number);
            }
        }
        None
    }

    fn size(&mut self) -> Option<u32> {
        u32::try_from(self.number()?).ok()
    }

    /// How many things follow, each of which takes some of the shape.
    fn count(&mut self) -> Option<usize> {
        let count = usize::try_from(self.number()?).ok()?;
        (count <= self.shape.len()).then_some(count)
    }

    fn text(&mut self) -> Option<Cow<'static, str>> {
        let length = usize::try_from(self.number()?).ok()?;
        let (text, rest) = self.texts.split_at_checked(length)?;
        self.texts = rest;
        Some(Cow::Borrowed(text))
    }

    fn at(&mut self) -> Option<At> {
        Some(At {
            line: self.size()?,
            column: self.size()?,
            length: self.size()?,
        })
    }

    fn node(&mut self) -> Option<Node> {
        let mut at = At::default();
        let is = match self.byte()? {
            TEXT => Is::Text(self.text()?),
            WHOLE => Is::Whole(self.number()?.cast_signed()),
            DECIMAL => Is::Decimal(self.text()?),
            YES => Is::Flag(true),
            NO => Is::Flag(false),
            DATE => Is::Date(self.text()?),
            LIST => {
                at = self.at()?;
                let count = self.count()?;
                let mut items = Vec::with_capacity(count);
                for _ in 0..count {
                    items.push(self.node()?);
                }
                Is::List(items)
            }
            TABLE => {
                at = self.at()?;
                let count = self.count()?;
                let mut rows = Vec::with_capacity(count);
                for _ in 0..count {
                    let name = self.text()?;
                    let at = At::default();
                    rows.push((Key { name, at }, self.node()?));
                }
                Is::Table(rows)
            }
            _ => return None,
        };
        Some(Node { at, is })
    }
}

#[cfg(test)]
mod tests {
    use super::{At, Is, Node, pack, unpack};
    use crate::text::node::parse;

    /// The tree without the places that are not kept.
    fn kept(mut node: Node) -> Node {
        match &mut node.is {
            Is::List(items) => *items = items.drain(..).map(kept).collect(),
            Is::Table(rows) => {
                for (key, value) in rows {
                    key.at = At::default();
                    *value = kept(value.clone());
                }
            }
            _ => node.at = At::default(),
        }
        node
    }

    #[test]
    fn every_kind_of_value_comes_back_as_it_was() {
        let text = "a = \"ä, b\"\nb = -7\nc = 1.50\nd = [true, false, []]\n\
                    e = 2024-01-02\n[f.g]\nh = { i = 9223372036854775807, j = \"\" }\n";
        let (node, faults) = parse(text);
        assert!(faults.is_empty());
        let (shape, texts) = pack(&node);
        let (shape, texts): (&'static [u8], &'static str) = (shape.leak(), texts.leak());
        assert_eq!(unpack(shape, texts), Some(kept(node)));
        // A form that is cut off is no tree.
        for length in 0..shape.len() {
            assert_eq!(unpack(shape.get(..length).unwrap_or(&[]), texts), None);
        }
        assert_eq!(unpack(shape, ""), None);
    }
}
