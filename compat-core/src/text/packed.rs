//! The compact form of a thing: its shape as bytes, and all its texts in one, in the order in which
//! the shape speaks of them. So a text is read as a piece of what the compiler has seen to be text.
//!
//! Of the places in a tree only those of tables and lists are kept: rows are cited, and faults of single
//! values are found in the files themselves.
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

/// What has a compact form.
pub trait Packed: Sized {
    /// Adds it to what is packed.
    fn pack(&self, into: &mut Packer);
    /// Takes it from what was packed; nothing where the form is none of its own.
    fn unpack(from: &mut Unpacker) -> Option<Self>;
}

/// Puts a thing into its compact form; only build scripts and tests do.
#[allow(dead_code)]
pub fn pack(thing: &impl Packed) -> (Vec<u8>, String) {
    let mut packer = Packer::default();
    thing.pack(&mut packer);
    (packer.shape, packer.texts)
}

/// The thing of a compact form; nothing where it is none.
#[allow(dead_code)]
pub fn unpack<T: Packed>(shape: &'static [u8], texts: &'static str) -> Option<T> {
    T::unpack(&mut Unpacker { shape, texts })
}

/// A compact form that is being written.
#[derive(Default)]
pub struct Packer {
    shape: Vec<u8>,
    texts: String,
}

#[allow(dead_code)]
impl Packer {
    /// A number, the small ones in few bytes.
    pub fn number(&mut self, mut number: u64) {
        while let (low, rest @ 1..) = (number & 127, number >> 7) {
            self.shape.push(low as u8 | 128);
            number = rest;
        }
        self.shape.push(number as u8);
    }

    /// A text.
    pub fn text(&mut self, text: &str) {
        self.number(text.len() as u64);
        self.texts.push_str(text);
    }

    /// A piece that can be passed over.
    pub fn piece(&mut self, thing: &impl Packed) {
        let (shape, texts) = pack(thing);
        self.number(shape.len() as u64);
        self.text(&texts);
        self.shape.extend(shape);
    }
}

/// A compact form that is being read.
#[derive(Clone, Copy, Debug)]
pub struct Unpacker {
    shape: &'static [u8],
    texts: &'static str,
}

#[allow(dead_code)]
impl Unpacker {
    fn byte(&mut self) -> Option<u8> {
        let (first, rest) = self.shape.split_first()?;
        self.shape = rest;
        Some(*first)
    }

    /// A number.
    pub fn number(&mut self) -> Option<u64> {
        let first = self.byte()?;
        if first < 128 {
            return Some(first.into());
        }
        let mut number = u64::from(first & 127);
        for shift in (7..u64::BITS).step_by(7) {
            let byte = self.byte()?;
            number |= u64::from(byte & 127) << shift;
            if byte < 128 {
                return Some(number);
            }
        }
        None
    }

    /// How many things follow, each of which takes some of the shape.
    fn count(&mut self) -> Option<usize> {
        let count = usize::try_from(self.number()?).ok()?;
        (count <= self.shape.len()).then_some(count)
    }

    /// A text.
    pub fn text(&mut self) -> Option<&'static str> {
        let length = usize::try_from(self.number()?).ok()?;
        let (text, rest) = self.texts.split_at_checked(length)?;
        self.texts = rest;
        Some(text)
    }

    /// A piece, to be read by itself.
    pub fn piece(&mut self) -> Option<Unpacker> {
        let length = self.count()?;
        let texts = self.text()?;
        let (shape, rest) = self.shape.split_at_checked(length)?;
        self.shape = rest;
        Some(Unpacker { shape, texts })
    }
}

macro_rules! numbers {
    ($($number:ident),*) => { $(
        impl Packed for $number {
            fn pack(&self, into: &mut Packer) {
                into.number(*self as u64);
            }

            fn unpack(from: &mut Unpacker) -> Option<Self> {
                $number::try_from(from.number()?).ok()
            }
        }
    )* };
}

numbers!(u8, u16, u32, usize);

/// Numbers close to nothing are short, whatever their sign.
impl Packed for i64 {
    fn pack(&self, into: &mut Packer) {
        into.number(((self << 1) ^ (self >> 63)).cast_unsigned());
    }

    fn unpack(from: &mut Unpacker) -> Option<Self> {
        let number = from.number()?;
        Some((number >> 1).cast_signed() ^ -((number & 1).cast_signed()))
    }
}

impl Packed for bool {
    fn pack(&self, into: &mut Packer) {
        into.number((*self).into());
    }

    fn unpack(from: &mut Unpacker) -> Option<Self> {
        Some(from.byte()? == 1)
    }
}

impl Packed for Cow<'static, str> {
    fn pack(&self, into: &mut Packer) {
        into.text(self);
    }

    fn unpack(from: &mut Unpacker) -> Option<Self> {
        from.text().map(Cow::Borrowed)
    }
}

impl Packed for String {
    fn pack(&self, into: &mut Packer) {
        into.text(self);
    }

    fn unpack(from: &mut Unpacker) -> Option<Self> {
        from.text().map(str::to_owned)
    }
}

impl<T: Packed> Packed for Option<T> {
    fn pack(&self, into: &mut Packer) {
        self.is_some().pack(into);
        self.iter().for_each(|thing| thing.pack(into));
    }

    fn unpack(from: &mut Unpacker) -> Option<Self> {
        match bool::unpack(from)? {
            true => T::unpack(from).map(Some),
            false => Some(None),
        }
    }
}

impl<T: Packed> Packed for Vec<T> {
    fn pack(&self, into: &mut Packer) {
        into.number(self.len() as u64);
        self.iter().for_each(|thing| thing.pack(into));
    }

    fn unpack(from: &mut Unpacker) -> Option<Self> {
        let count = from.count()?;
        let mut things = Vec::with_capacity(count);
        for _ in 0..count {
            things.push(T::unpack(from)?);
        }
        Some(things)
    }
}

impl<A: Packed, B: Packed> Packed for (A, B) {
    fn pack(&self, into: &mut Packer) {
        self.0.pack(into);
        self.1.pack(into);
    }

    fn unpack(from: &mut Unpacker) -> Option<Self> {
        Some((A::unpack(from)?, B::unpack(from)?))
    }
}

impl Packed for At {
    fn pack(&self, into: &mut Packer) {
        for number in [self.line, self.column, self.length] {
            number.pack(into);
        }
    }

    fn unpack(from: &mut Unpacker) -> Option<Self> {
        Some(At {
            line: u32::unpack(from)?,
            column: u32::unpack(from)?,
            length: u32::unpack(from)?,
        })
    }
}

/// A key, without its place.
impl Packed for Key {
    fn pack(&self, into: &mut Packer) {
        self.name.pack(into);
    }

    fn unpack(from: &mut Unpacker) -> Option<Self> {
        let name = Packed::unpack(from)?;
        let at = At::default();
        Some(Key { name, at })
    }
}

impl Packed for Node {
    fn pack(&self, into: &mut Packer) {
        let (sort, text) = match &self.is {
            Is::Text(text) => (TEXT, Some(text)),
            Is::Decimal(text) => (DECIMAL, Some(text)),
            Is::Date(text) => (DATE, Some(text)),
            Is::Whole(_) => (WHOLE, None),
            Is::Flag(true) => (YES, None),
            Is::Flag(false) => (NO, None),
            Is::List(_) => (LIST, None),
            Is::Table(_) => (TABLE, None),
        };
        sort.pack(into);
        text.iter().for_each(|text| text.pack(into));
        match &self.is {
            Is::Whole(number) => number.pack(into),
            Is::List(items) => {
                self.at.pack(into);
                items.pack(into);
            }
            Is::Table(rows) => {
                self.at.pack(into);
                rows.pack(into);
            }
            _ => {}
        }
    }

    fn unpack(from: &mut Unpacker) -> Option<Self> {
        let mut at = At::default();
        let is = match from.byte()? {
            TEXT => Is::Text(Packed::unpack(from)?),
            WHOLE => Is::Whole(Packed::unpack(from)?),
            DECIMAL => Is::Decimal(Packed::unpack(from)?),
            YES => Is::Flag(true),
            NO => Is::Flag(false),
            DATE => Is::Date(Packed::unpack(from)?),
            LIST => {
                at = At::unpack(from)?;
                Is::List(Packed::unpack(from)?)
            }
            TABLE => {
                at = At::unpack(from)?;
                Is::Table(Packed::unpack(from)?)
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
            let cut = shape.get(..length).unwrap_or(&[]);
            assert_eq!(unpack::<Node>(cut, texts), None);
        }
        assert_eq!(unpack::<Node>(shape, ""), None);
    }

    #[test]
    fn numbers_come_back_as_they_were() {
        let numbers = vec![0, 1, -1, 63, -64, 64, 31_600_000, i64::MIN, i64::MAX];
        let (shape, texts) = pack(&numbers);
        let (shape, texts): (&'static [u8], &'static str) = (shape.leak(), texts.leak());
        assert_eq!(unpack(shape, texts), Some(numbers));
    }
}
