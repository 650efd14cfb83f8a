//! Closed lists of names: splines, mounts, kinds of cable. A name may have trade aliases, and an
//! alias may stand for several names: then it is read as one of them, and nobody guesses which.

use crate::dim::Label;
use crate::text::{Faults, FileId, Later, Node, Phrase, Row, nearest};

/// A closed list of names.
#[derive(Clone, Debug, Default)]
pub struct List {
    /// The name of the list.
    pub name: Phrase,
    /// Its names.
    pub names: Later<Vec<ListName>>,
}

/// A name of a list.
#[derive(Clone, Debug, Default)]
pub struct ListName {
    /// The name files use.
    pub name: Phrase,
    /// The name in words.
    pub title: Phrase,
    /// What else the trade calls it.
    pub aliases: Vec<Phrase>,
}

pub(super) fn read(file: FileId, node: &Node, faults: &mut Faults) -> Vec<List> {
    node.rows()
        .iter()
        .map(|(key, value)| List {
            name: (&*key.name).into(),
            names: value
                .rows()
                .iter()
                .map(|(key, value)| name(file, &key.name, value, faults))
                .collect::<Vec<_>>()
                .into(),
        })
        .collect()
}

fn name(file: FileId, name: &str, node: &Node, faults: &mut Faults) -> ListName {
    let mut row = Row::new(file, node, faults);
    let read = ListName {
        name: name.into(),
        title: row.must("title", faults).into(),
        aliases: row
            .texts("alias", faults)
            .into_iter()
            .map(|(text, _)| text.into())
            .collect(),
    };
    row.end(faults);
    read
}

/// Letters and digits only, in lower case: "Micro-Spline" and "micro spline" are one name.
fn plain(text: &str) -> impl Iterator<Item = char> + '_ {
    text.chars()
        .filter(|c| c.is_alphanumeric() || *c == '.')
        .flat_map(char::to_lowercase)
}

/// True where two texts are one name; nearly all are ASCII, whose letters are told faster.
fn one_name(a: &str, b: &str) -> bool {
    if !(a.is_ascii() && b.is_ascii()) {
        return plain(a).eq(plain(b));
    }
    let counts = |byte: &u8| byte.is_ascii_alphanumeric() || *byte == b'.';
    let lower = |byte: u8| byte.to_ascii_lowercase();
    let (a, b) = (a.bytes().filter(counts), b.bytes().filter(counts));
    a.map(lower).eq(b.map(lower))
}

fn label(list: usize, name: usize) -> Label {
    Label {
        list: u16::try_from(list).unwrap_or(u16::MAX),
        name: u16::try_from(name).unwrap_or(u16::MAX),
    }
}

/// What stands between the cases of an either-or.
const OR: &str = " or ";

impl List {
    /// Every name of the list.
    pub fn labels(&self, list: usize) -> Vec<Label> {
        (0..self.names.len())
            .map(|name| label(list, name))
            .collect()
    }

    /// A name of the list by what files call it.
    pub fn label(&self, list: usize, wanted: &str) -> Option<Label> {
        let name = self.names.iter().position(|name| name.name == wanted)?;
        Some(label(list, name))
    }

    /// The names a text may mean: one for a name or title, several for an ambiguous alias.
    pub fn find(&self, list: usize, text: &str) -> Vec<Label> {
        if plain(text).next().is_none() {
            return Vec::new();
        }
        let wanted = |name: &str| one_name(name, text);
        let own = |name: &ListName| wanted(&name.name) || wanted(&name.title);
        let by = |test: &dyn Fn(&ListName) -> bool| -> Vec<Label> {
            let found = self.names.iter().enumerate().filter(|(_, name)| test(name));
            found.map(|(name, _)| label(list, name)).collect()
        };
        let exact = by(&own);
        if exact.is_empty() {
            by(&|name| name.aliases.iter().any(|alias| wanted(alias)))
        } else {
            exact
        }
    }

    /// The words of an either-or: what stands between its "or", and a whole title or alias where one has
    /// an "or" of its own.
    pub fn words<'t>(&self, list: usize, text: &'t str) -> Vec<&'t str> {
        let mut words = Vec::new();
        let mut rest = text.trim();
        while !rest.is_empty() {
            let ends = rest.match_indices(OR).map(|(at, _)| at);
            let mut ends: Vec<usize> = ends.chain([rest.len()]).collect();
            let first = ends.first().copied().unwrap_or(rest.len());
            ends.retain(|end| {
                *end == first
                    || rest
                        .get(..*end)
                        .is_some_and(|whole| !self.find(list, whole).is_empty())
            });
            let end = ends.last().copied().unwrap_or(first);
            words.push(rest.get(..end).unwrap_or(rest).trim());
            rest = rest.get(end..).unwrap_or("");
            rest = rest.strip_prefix(OR).unwrap_or(rest).trim_start();
        }
        words
    }

    /// The name nearest to a mistyped one.
    pub fn near(&self, text: &str) -> Option<&str> {
        let names = self.names.iter();
        nearest(
            text,
            names.flat_map(|name| {
                std::iter::once(name.name.as_str())
                    .chain(std::iter::once(name.title.as_str()))
                    .chain(name.aliases.iter().map(Phrase::as_str))
            }),
        )
    }
}
