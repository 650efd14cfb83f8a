//! Trade notation that states several dimensions at once, and the forms it is written in.

use super::kinds::{Dimension, number_of};
use crate::text::{Faults, FileId, Node, Phrase, Row};

/// Trade notation that states several dimensions at once: `210x55`.
#[derive(Clone, Debug)]
pub struct Shorthand {
    /// The name files use.
    pub name: Phrase,
    /// The forms it is written in, tried in order.
    pub forms: Vec<Vec<Piece>>,
    /// The forms as the catalogue writes them.
    pub written: Vec<Phrase>,
    /// What is said by using it at all: the number of a dimension, and its text.
    pub also: Vec<(usize, Phrase)>,
}

/// What stands for a value in a form: `{width}`, or `{width:in}` where a bare number is in inches, or
/// `{width:in.}` where it is one with a decimal point. `{_}` takes what is not read: a name in brackets.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Taken {
    /// The numbers of the dimensions that take the value.
    pub numbers: Vec<usize>,
    /// The unit of a number that is written without one.
    pub unit: Option<Phrase>,
}

impl Taken {
    /// The value as its dimension reads it.
    pub fn text(&self, value: &str) -> String {
        let bare = value.ends_with(|c: char| c.is_ascii_digit());
        let point = value.contains(['.', ',']);
        match &self.unit {
            // What has no point is of another form: with the point in its unit it cannot be read.
            Some(unit) if unit.ends_with('.') && !point => format!("{value} {unit}"),
            Some(unit) if bare => format!("{value} {}", unit.trim_end_matches('.')),
            _ => value.to_owned(),
        }
    }
}

/// A piece of a form: letters that stand there, or dimensions to be filled.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Piece {
    /// Letters.
    Letters(Phrase),
    /// The dimensions that take a value.
    Value(Taken),
}

/// A form as a person reads it: `WIDTH-BEAD_SEAT`.
pub(super) fn told(form: &str) -> String {
    let mut out = String::new();
    let mut rest = form;
    while let Some((letters, after)) = rest.split_once('{') {
        let (name, after) = after.split_once('}').unwrap_or((after, ""));
        // What one number says of several dimensions is told by the first of them.
        let name = match name.split_once(',') {
            Some((first, _)) => first,
            None => name,
        };
        out.push_str(letters);
        match name.split_once(':') {
            Some((name, unit)) => {
                let unit = unit.trim_end_matches('.');
                out.push_str(&format!("{} ({unit})", name.to_uppercase()));
            }
            None if name == "_" => out.push('…'),
            None => out.push_str(&name.to_uppercase()),
        }
        rest = after;
    }
    out + rest
}

/// The letters of a form, an `x` between numbers by itself: people write it with and without room about
/// it, and as `×`.
fn letters_of(text: &str) -> Vec<Piece> {
    let word = |c: Option<char>| c.is_some_and(char::is_alphabetic);
    let between = |at: usize| {
        let before = text.get(..at).and_then(|text| text.chars().next_back());
        let after = text.get(at + 1..).and_then(|text| text.chars().next());
        !(word(before) && word(after))
    };
    let mut pieces = Vec::new();
    let mut push = |letters: &str| {
        if !letters.is_empty() {
            pieces.push(Piece::Letters(letters.into()));
        }
    };
    let mut from = 0;
    for (at, x) in text.match_indices('x').filter(|(at, _)| between(*at)) {
        push(text.get(from..at).unwrap_or("").trim());
        push(x);
        from = at + x.len();
    }
    let rest = text.get(from..).unwrap_or("");
    push(if from == 0 { rest } else { rest.trim() });
    pieces
}

pub(super) fn shorthand(
    file: FileId,
    node: &Node,
    dimensions: &[Dimension],
    faults: &mut Faults,
) -> Shorthand {
    let mut row = Row::new(file, node, faults);
    let here = row.here();
    let name = row.must("name", faults).into();
    let mut written = Vec::new();
    let mut forms = Vec::new();
    for (text, _) in row.texts("forms", faults) {
        written.push(text.into());
        let mut pieces = Vec::new();
        let mut rest = text;
        while let Some((letters, after)) = rest.split_once('{') {
            pieces.extend(letters_of(letters));
            let (names, after) = after.split_once('}').unwrap_or((after, ""));
            let (names, unit) = names
                .split_once(':')
                .map_or((names, None), |(names, unit)| (names, Some(unit.into())));
            let numbers = names
                .split(',')
                .filter(|name| name.trim() != "_")
                .filter_map(|name| number_of(name.trim(), dimensions, here, faults))
                .collect();
            pieces.push(Piece::Value(Taken { numbers, unit }));
            rest = after;
        }
        pieces.extend(letters_of(rest));
        forms.push(pieces);
    }
    let mut also = Vec::new();
    if let Some(node) = row.take("also") {
        for (key, value) in node.rows() {
            let number = number_of(&key.name, dimensions, here, faults);
            also.extend(number.zip(value.as_written().map(Phrase::from)));
        }
    }
    row.end(faults);
    Shorthand {
        name,
        forms,
        written,
        also,
    }
}
