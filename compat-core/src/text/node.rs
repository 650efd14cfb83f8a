//! A TOML document as a tree in which every value knows where it was written.
//!
//! This file is also compiled into the build script, which turns the catalogue into a compact
//! form; so it knows nothing of the rest of the crate.

use std::borrow::Cow;

use toml::de::{DeTable, DeValue};

/// Where something stands in a text: line and column from 1, both counted in characters, and its
/// length in bytes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct At {
    /// Line, from 1.
    pub line: u32,
    /// Column in characters, from 1.
    pub column: u32,
    /// Length in bytes, at least 1 for what can be pointed at.
    pub length: u32,
}

/// One value and where it stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Node {
    /// Where the value stands.
    pub at: At,
    /// What it is.
    pub is: Is,
}

/// The name before a value, and where it stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Key {
    /// The name.
    pub name: Cow<'static, str>,
    /// Where it stands.
    pub at: At,
}

/// The kinds of value TOML has. Numbers stay as they were written: they are read exactly later.
#[derive(Clone, Debug, PartialEq)]
pub enum Is {
    /// A string.
    Text(Cow<'static, str>),
    /// A whole number.
    Whole(i64),
    /// A number with a fraction, in the digits it was written in.
    Decimal(Cow<'static, str>),
    /// True or false.
    Flag(bool),
    /// A date or time, as written.
    Date(Cow<'static, str>),
    /// An array.
    List(Vec<Node>),
    /// A table, in the order of the file.
    Table(Vec<(Key, Node)>),
}

/// What the parser has to say against a text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Syntax {
    /// Where.
    pub at: At,
    /// What, in the parser's words.
    pub message: String,
}

impl Node {
    /// The value under a name of a table.
    pub fn get(&self, name: &str) -> Option<&Node> {
        match &self.is {
            Is::Table(rows) => rows
                .iter()
                .find(|(key, _)| key.name == name)
                .map(|(_, node)| node),
            _ => None,
        }
    }

    /// The rows of a table, or nothing.
    pub fn rows(&self) -> &[(Key, Node)] {
        match &self.is {
            Is::Table(rows) => rows,
            _ => &[],
        }
    }

    /// What kind of value this is, in a word.
    pub fn kind(&self) -> &'static str {
        match self.is {
            Is::Text(_) => "text",
            Is::Whole(_) => "a whole number",
            Is::Decimal(_) => "a number",
            Is::Flag(_) => "true or false",
            Is::Date(_) => "a date",
            Is::List(_) => "a list",
            Is::Table(_) => "a table",
        }
    }

    /// A text or number as it was written, if it is one.
    pub fn as_written(&self) -> Option<String> {
        match &self.is {
            Is::Text(text) | Is::Decimal(text) => Some(text.to_string()),
            Is::Whole(number) => Some(number.to_string()),
            Is::Flag(flag) => Some(if *flag { "yes" } else { "no" }.to_owned()),
            _ => None,
        }
    }
}

/// Reads a TOML text. The tree holds what could be read even when there are faults.
pub fn parse(text: &str) -> (Node, Vec<Syntax>) {
    let (table, errors) = DeTable::parse_recoverable(text);
    let lines = Lines::new(text);
    let mut faults: Vec<Syntax> = errors
        .iter()
        .map(|error| Syntax {
            at: lines.at(error.span().unwrap_or(0..text.len().min(1))),
            message: error.message().trim().replace('\n', ", "),
        })
        .collect();
    let root = Node {
        at: lines.at(0..0),
        is: Is::Table(rows(table.get_ref(), &lines, &mut faults)),
    };
    faults.sort_by_key(|fault| fault.at);
    (root, faults)
}

fn rows(table: &DeTable<'_>, lines: &Lines<'_>, faults: &mut Vec<Syntax>) -> Vec<(Key, Node)> {
    let mut rows: Vec<_> = table.iter().collect();
    rows.sort_by_key(|(key, _)| key.span().start);
    rows.into_iter()
        .map(|(key, value)| {
            let name = Key {
                name: key.get_ref().to_string().into(),
                at: lines.at(key.span()),
            };
            (name, node(value.get_ref(), value.span(), lines, faults))
        })
        .collect()
}

fn node(
    value: &DeValue<'_>,
    span: std::ops::Range<usize>,
    lines: &Lines<'_>,
    faults: &mut Vec<Syntax>,
) -> Node {
    let at = lines.at(span);
    let is = match value {
        DeValue::String(text) => Is::Text(text.to_string().into()),
        DeValue::Integer(number) => match i64::from_str_radix(number.as_str(), number.radix()) {
            Ok(number) => Is::Whole(number),
            Err(_) => {
                faults.push(Syntax {
                    at,
                    message: "number too large to be read".to_owned(),
                });
                Is::Whole(0)
            }
        },
        DeValue::Float(number) => Is::Decimal(number.as_str().to_owned().into()),
        DeValue::Boolean(flag) => Is::Flag(*flag),
        DeValue::Datetime(date) => Is::Date(date.to_string().into()),
        DeValue::Array(items) => Is::List(
            items
                .iter()
                .map(|item| node(item.get_ref(), item.span(), lines, faults))
                .collect(),
        ),
        DeValue::Table(table) => Is::Table(rows(table, lines, faults)),
    };
    Node { at, is }
}

/// Finds line and column of a byte offset.
struct Lines<'t> {
    text: &'t str,
    starts: Vec<usize>,
    /// The offset looked up last, and its column: the next is most often further on in the line.
    last: std::cell::Cell<(usize, usize)>,
}

impl<'t> Lines<'t> {
    fn new(text: &'t str) -> Self {
        let breaks = text.bytes().enumerate().filter(|(_, byte)| *byte == b'\n');
        let starts = std::iter::once(0)
            .chain(breaks.map(|(at, _)| at + 1))
            .collect();
        let last = std::cell::Cell::new((0, 0));
        Lines { text, starts, last }
    }

    fn at(&self, span: std::ops::Range<usize>) -> At {
        let line = self
            .starts
            .partition_point(|start| *start <= span.start)
            .max(1);
        let start = self.starts.get(line - 1).copied().unwrap_or(0);
        let (from, counted) = match self.last.get() {
            (at, counted) if start <= at && at <= span.start => (at, counted),
            _ => (start, 0),
        };
        let before = self.text.get(from..span.start).unwrap_or("");
        let column = counted + before.chars().count();
        self.last.set((span.start, column));
        At {
            line: u32::try_from(line).unwrap_or(u32::MAX),
            column: u32::try_from(column + 1).unwrap_or(u32::MAX),
            length: u32::try_from(span.len().max(1)).unwrap_or(u32::MAX),
        }
    }
}
