//! Part kinds: the slots they go in, the dimensions they have, the ends they present.
//!
//! This is the one home of what can be known of a part and how it is measured. It knows no family.

use std::sync::OnceLock;

use super::access::Access;
use super::among::Among;
use super::bench::Bench;
use super::drags::Drags;
use super::lists::List;
use super::off::Off;
use super::shorthand::{Piece, Shorthand, Taken, shorthand, told};
use crate::dim::{Quantity, Span, read, read_span};
use crate::text::{Fault, FaultKind, Faults, FileId, Is, Node, Phrase, Row, nearest};

/// How many ways of writing a marking are shown where there are many.
const MOST_FORMS: usize = 4;

/// A part kind. What its file says is read when first needed.
#[derive(Debug)]
pub struct Kind {
    /// Its name: that of its file.
    pub name: Phrase,
    pub(super) entry: usize,
    pub(super) body: OnceLock<(Body, Faults)>,
    pub(super) bench: OnceLock<(Bench, Faults)>,
}

impl Kind {
    pub(super) fn new(name: &str, entry: usize) -> Self {
        Kind {
            name: name.into(),
            entry,
            body: OnceLock::new(),
            bench: OnceLock::new(),
        }
    }
}

/// A place on a bike where a part goes.
#[derive(Clone, Debug)]
pub struct Slot {
    /// Its name in a bike file.
    pub name: Phrase,
    /// The number of the kind that goes there.
    pub kind: usize,
    /// True where every bike has one, whether or not the file speaks of it.
    pub always: bool,
    /// True for what no remedy changes: the rider, the frame.
    pub fixed: bool,
    /// True for what is no part at all, and no swap set changes: the rider.
    pub no_part: bool,
    /// True for what a bike may do without, because another part then plays its ends: a shim.
    pub optional: bool,
    /// The slot whose part this one leaves the bike with: a freehub body goes with its hub.
    pub goes_with: Option<Phrase>,
    /// The slot that is a seat for this part and for nothing else: it tells which part belongs there.
    pub seat: Option<Phrase>,
    /// Which of two names a word stands for here that may mean both.
    pub means: Vec<Meant>,
}

/// A word that may mean two names, and in one slot means one of them: a quick release behind.
#[derive(Clone, Debug)]
pub struct Meant {
    /// The dimension.
    pub dimension: Phrase,
    /// The name that is meant, as `list.name`.
    pub name: Phrase,
    /// The name that is not.
    pub not: Phrase,
}

/// A dimension of a part kind.
#[derive(Clone, Debug)]
pub struct Dimension {
    /// The name files use.
    pub name: Phrase,
    /// In words.
    pub title: Phrase,
    /// What is measured.
    pub quantity: Quantity,
    /// The list its names come from.
    pub list: Option<usize>,
    /// What is plausible; anything else is taken for a slip of the pen.
    pub range: Span,
    /// How it is measured.
    pub how: Phrase,
    /// With what.
    pub tool: Phrase,
    /// Where one must get to.
    pub access: Access,
    /// True for a size that goes by its number in millimetres: a name in inches is not that size.
    pub listed: bool,
    /// The sizes it is made in, where they are few: a remedy names no other.
    pub made: Vec<Span>,
    /// True for what differs between two parts of one model: what is cut, set or worn.
    pub piece: bool,
}

impl Dimension {
    /// How far a measurement may lie from the marking and still confirm it: what the tool can
    /// tell in a workshop, 0.05 mm with a calliper and 1 mm with a tape.
    pub fn slack(&self) -> i64 {
        match self.quantity {
            Quantity::Length if self.tool.contains("tape") => 1_000_000,
            Quantity::Length => 50_000,
            _ => 0,
        }
    }
}

/// An end of a part: the dimensions that meet a mate there, under the names families use.
#[derive(Clone, Debug)]
pub struct End {
    /// Its name.
    pub name: Phrase,
    /// In words.
    pub title: Phrase,
    /// Field name of a family, and the number of the dimension.
    pub fields: Vec<(Phrase, usize)>,
    /// Fields of a family that this kind has nothing for: a single sprocket has no splines of a
    /// cassette. Only what the page implies may hang on them.
    pub without: Vec<Phrase>,
    /// True where a new part is not known to fit before this end was looked at.
    pub vital: bool,
    /// True where a bike may well have no mate for it: rings need no derailleur.
    pub loose: bool,
    /// True where a new part meets its mate otherwise than a worn one of the same model: a new tyre is
    /// taller.
    pub wears: bool,
    /// What sits here whether or not it is written down, and when a new part changes that.
    pub drags: Option<Drags>,
}

/// A complaint about a part: the joint it is evidence against, and what to ask first.
#[derive(Clone, Debug)]
pub struct Complaint {
    /// The word files use.
    pub word: Phrase,
    /// The ends it speaks against.
    pub ends: Vec<Phrase>,
    /// What a mechanic looks at first.
    pub ask: Phrase,
    /// True where it casts doubt on what its ends meet as well.
    pub doubts: bool,
}

/// What a kind's file says of it.
#[derive(Clone, Debug, Default)]
pub struct Body {
    /// In words.
    pub title: Phrase,
    /// Its dimensions.
    pub dimensions: Vec<Dimension>,
    /// What the trade calls a dimension beside its name, and the number of the dimension.
    pub called: Vec<(Phrase, usize)>,
    /// Its shorthands.
    pub shorthands: Vec<Shorthand>,
    /// Its ends.
    pub ends: Vec<End>,
    /// Its complaints.
    pub complaints: Vec<Complaint>,
    /// Pairs of dimensions of which the first is not the larger.
    pub order: Vec<(usize, usize)>,
    /// What a number leaves of the names that are possible beside it.
    pub among: Vec<Among>,
    /// Where the first is stated, a shorthand that gave the second what it gave the fourth meant the third
    /// for it: ((first, second), (third, fourth)).
    pub apart: Vec<((usize, usize), (usize, usize))>,
    /// Where parts of this kind are counted for an order list: the dimensions that keep two of them
    /// apart, the one it is asked for by first, and the field of the seat's end that says the same.
    pub ordered: Vec<(usize, Phrase)>,
    /// What is to be said where one comes off and none takes its place.
    pub off: Option<Off>,
}

impl Body {
    /// The words of its complaints.
    pub fn complaint_words(&self) -> Vec<&str> {
        let words = self.complaints.iter();
        words.map(|complaint| complaint.word.as_str()).collect()
    }

    /// The number of a dimension, by its name or what else the trade calls it.
    pub fn dimension(&self, name: &str) -> Option<usize> {
        let own = self.dimensions.iter();
        own.enumerate()
            .map(|(number, dimension)| (&dimension.name, number))
            .chain(self.called.iter().map(|(called, number)| (called, *number)))
            .find_map(|(known, number)| (known == name).then_some(number))
    }

    /// What the trade calls a dimension beside its name.
    pub fn called(&self, number: usize) -> Vec<&str> {
        let called = self.called.iter().filter(|(_, of)| *of == number);
        called.map(|(name, _)| name.as_str()).collect()
    }

    /// The shorthands by name, each with its forms as a person would write them: `LENGTHxSTROKE`. Those
    /// that say more behind a dimension's own value are told by [`Body::forms`].
    pub fn notations(&self) -> Vec<(&str, Vec<String>)> {
        let mut names: Vec<&str> = Vec::new();
        for short in &self.shorthands {
            let name = short.name.as_str();
            if !names.contains(&name) && self.dimension(name).is_none() {
                names.push(name);
            }
        }
        let told = names.into_iter().map(|name| (name, self.forms(name)));
        told.collect()
    }

    /// The forms of the shorthand of a name as a person would write them, each once, however it is
    /// spaced or written large; none where it has none.
    pub fn forms(&self, name: &str) -> Vec<String> {
        let named = self.shorthands.iter().filter(|short| short.name == name);
        let mut bare: Vec<String> = Vec::new();
        let mut all = Vec::new();
        for form in named.flat_map(|short| &short.written) {
            let told = told(form);
            let again = told.replace(' ', "").to_uppercase();
            if !bare.contains(&again) {
                bare.push(again);
                all.push(told);
            }
        }
        all
    }

    /// The first of these forms, and that there are others where there are many.
    pub fn some_forms(&self, name: &str) -> String {
        let mut forms = self.forms(name);
        let many = forms.len() > MOST_FORMS;
        // What is passed over in a marking is shown where there is room for it.
        forms.retain(|form| !many || !form.contains('…'));
        forms.truncate(MOST_FORMS);
        let others = if many { " and others" } else { "" };
        format!("{}{others}", forms.join(" or "))
    }

    /// The first shorthand of which every figure is shown by `shown`, filled in.
    pub(crate) fn in_shorthand(&self, shown: impl Fn(usize) -> Option<String>) -> Option<String> {
        let value = |taken: &Taken| -> Option<String> {
            let mut all = taken.numbers.iter().map(|number| shown(*number));
            let first = all.next()??;
            let same = taken.unit.is_none() && all.all(|other| other.as_ref() == Some(&first));
            same.then_some(first)
        };
        let form = |pieces: &Vec<Piece>| -> Option<String> {
            let filled = pieces.iter().any(|piece| matches!(piece, Piece::Value(_)));
            let text = pieces.iter().map(|piece| match piece {
                Piece::Letters(letters) => Some(letters.to_string()),
                Piece::Value(taken) => value(taken),
            });
            text.collect::<Option<String>>().filter(|_| filled)
        };
        let also = |(at, text): &(usize, Phrase)| shown(*at).as_deref() == Some(text.as_str());
        let mut said = self.shorthands.iter();
        said.find_map(|short| {
            let holds = short.also.iter().all(also);
            short.forms.iter().find_map(form).filter(|_| holds)
        })
    }

    /// An end by name.
    pub fn end(&self, name: &str) -> Option<&End> {
        self.ends.iter().find(|end| end.name == name)
    }
}

pub(super) fn slots(file: FileId, kind: usize, node: &Node, faults: &mut Faults) -> Vec<Slot> {
    let mut row = Row::new(file, node, faults);
    let slots = row.list("slot");
    slots
        .into_iter()
        .map(|node| {
            let mut row = Row::new(file, node, faults);
            let slot = Slot {
                name: row.must("name", faults).into(),
                kind,
                always: row.flag("always", faults),
                fixed: row.flag("fixed", faults),
                no_part: row.flag("no_part", faults),
                optional: row.flag("optional", faults),
                goes_with: row.text("goes_with", faults).map(Phrase::from),
                seat: row.text("seat", faults).map(Phrase::from),
                means: row
                    .list("means")
                    .into_iter()
                    .map(|node| meant(file, node, faults))
                    .collect(),
            };
            row.end(faults);
            slot
        })
        .collect()
}

fn meant(file: FileId, node: &Node, faults: &mut Faults) -> Meant {
    let mut row = Row::new(file, node, faults);
    let meant = Meant {
        dimension: row.must("dimension", faults).into(),
        name: row.must("name", faults).into(),
        not: row.must("not", faults).into(),
    };
    row.end(faults);
    meant
}

pub(super) fn body(file: FileId, node: &Node, lists: &[List]) -> (Body, Faults) {
    let mut faults = Faults::default();
    let mut row = Row::new(file, node, &mut faults);
    let title = row.must("title", &mut faults).into();
    let dimensions: Vec<Dimension> = row
        .list("dimension")
        .into_iter()
        .map(|node| dimension(file, node, lists, &mut faults))
        .collect();
    let mut called = Vec::new();
    if let Some(node) = row.take("called") {
        for (key, value) in node.rows() {
            let name = value.as_written().unwrap_or_default();
            let number = number_of(&name, &dimensions, row.here(), &mut faults);
            called.extend(number.map(|number| (Phrase::from(&*key.name), number)));
        }
    }
    let shorthands = row
        .list("shorthand")
        .into_iter()
        .map(|node| shorthand(file, node, &dimensions, &mut faults))
        .collect();
    let mut ends = Vec::new();
    if let Some(node) = row.take("end") {
        for (key, value) in node.rows() {
            ends.push(end(
                file,
                &key.name,
                value,
                (&dimensions, lists),
                &mut faults,
            ));
        }
    }
    let complaints = row
        .list("complaint")
        .into_iter()
        .map(|node| complaint(file, node, &ends, &mut faults))
        .collect();
    let mut order = Vec::new();
    let here = row.here();
    for (pair, _) in row.texts("order", &mut faults) {
        let (low, high) = pair.split_once(" <= ").unwrap_or((pair, ""));
        let low = number_of(low, &dimensions, here, &mut faults);
        let high = number_of(high, &dimensions, here, &mut faults);
        order.extend(low.zip(high));
    }
    let label = |list: usize, name: &str| lists.get(list)?.label(list, name);
    let among = row
        .list("among")
        .into_iter()
        .filter_map(|node| Among::read(file, node, &dimensions, label, &mut faults))
        .collect();
    let mut apart = Vec::new();
    for (text, _) in row.texts("apart", &mut faults) {
        let (stated, rest) = text.split_once(": ").unwrap_or((text, ""));
        let (of, rest) = rest.split_once(" is ").unwrap_or((rest, ""));
        let (is, not) = rest.split_once(", not ").unwrap_or((rest, ""));
        let mut number = |name| number_of(name, &dimensions, here, &mut faults);
        let (when, then) = (number(stated).zip(number(of)), number(is).zip(number(not)));
        apart.extend(when.zip(then));
    }
    let mut ordered = Vec::new();
    if let Some(node) = row.take("ordered") {
        for (key, value) in node.rows() {
            let number = number_of(&key.name, &dimensions, here, &mut faults);
            ordered.extend(number.zip(value.as_written().map(Phrase::from)));
        }
    }
    let off = row.take("off");
    let off = off.map(|node| Off::read(file, node, &mut faults));
    row.end(&mut faults);
    (
        Body {
            title,
            dimensions,
            called,
            shorthands,
            ends,
            complaints,
            order,
            among,
            apart,
            ordered,
            off,
        },
        faults,
    )
}

pub(super) fn dimension(
    file: FileId,
    node: &Node,
    lists: &[List],
    faults: &mut Faults,
) -> Dimension {
    let mut row = Row::new(file, node, faults);
    let here = row.here();
    let name = row.must("name", faults).into();
    let title = row.must("title", faults).into();
    let word = row.must("quantity", faults);
    let quantity = Quantity::from_word(word).unwrap_or_else(|| {
        let near = nearest(word, Quantity::ALL.iter().map(|(_, word)| *word));
        let message = format!("`{word}` is no quantity");
        faults.push(Fault::new(here, FaultKind::UnknownName, word, message).near(near));
        Quantity::Length
    });
    let mut list = None;
    let mut range = Span::ALL;
    if quantity == Quantity::Name {
        let wanted = row.must("list", faults);
        list = lists.iter().position(|list| list.name == wanted);
        if list.is_none() {
            let near = nearest(wanted, lists.iter().map(|list| list.name.as_str()));
            let message = format!("`{wanted}` is no list of names");
            faults.push(Fault::new(here, FaultKind::UnknownName, wanted, message).near(near));
        }
    } else {
        let text = row.must("range", faults);
        match read_span(quantity, text) {
            Ok(span) => range = span,
            Err(wrong) => faults.push(Fault::new(here, FaultKind::BadValue, text, wrong.message)),
        }
    }
    let how = row.must("how", faults).into();
    let tool = row.must("tool", faults).into();
    let word = row.must("access", faults);
    let access = Access::ALL
        .iter()
        .find(|(_, words)| *words == word)
        .map(|(access, _)| *access)
        .unwrap_or_else(|| {
            let near = nearest(word, Access::ALL.iter().map(|(_, words)| *words));
            faults.push(
                Fault::new(
                    here,
                    FaultKind::UnknownName,
                    word,
                    format!("`{word}` is no way to get there"),
                )
                .near(near),
            );
            Access::Assembled
        });
    let listed = row.flag("millimetres", faults);
    let piece = row.flag("piece", faults);
    let made = match row
        .text("made", faults)
        .map(|text| (text, read(quantity, text)))
    {
        None => Vec::new(),
        Some((_, Ok((Some(sizes), _)))) => sizes,
        Some((text, _)) => {
            let message = "no sizes are named here".to_owned();
            faults.push(Fault::new(here, FaultKind::BadValue, text, message));
            Vec::new()
        }
    };
    row.end(faults);
    Dimension {
        name,
        title,
        quantity,
        list,
        range,
        how,
        tool,
        access,
        listed,
        made,
        piece,
    }
}

pub(super) fn number_of(
    name: &str,
    dimensions: &[Dimension],
    here: crate::text::Place,
    faults: &mut Faults,
) -> Option<usize> {
    let found = dimensions
        .iter()
        .position(|dimension| dimension.name == name);
    if found.is_none() {
        let near = nearest(
            name,
            dimensions.iter().map(|dimension| dimension.name.as_str()),
        );
        let message = format!("`{name}` is no dimension of this kind");
        faults.push(Fault::new(here, FaultKind::UnknownName, name, message).near(near));
    }
    found
}

fn end(
    file: FileId,
    name: &str,
    node: &Node,
    (dimensions, lists): (&[Dimension], &[List]),
    faults: &mut Faults,
) -> End {
    let mut row = Row::new(file, node, faults);
    let here = row.here();
    let title = row.must("title", faults).into();
    let mut fields: Vec<(Phrase, usize)> = Vec::new();
    for (name, _) in row.texts("fields", faults) {
        if let Some(number) = number_of(name, dimensions, here, faults) {
            fields.push((name.into(), number));
        }
    }
    if let Some(node) = row.take("as") {
        for (key, value) in node.rows() {
            let Is::Text(name) = &value.is else { continue };
            if let Some(number) = number_of(name, dimensions, here, faults) {
                fields.push(((*key.name).into(), number));
            }
        }
    }
    let without = row.texts("without", faults).into_iter();
    let without = without.map(|(name, _)| name.into()).collect();
    let vital = row.flag("vital", faults);
    let loose = row.flag("loose", faults);
    let wears = row.flag("wears", faults);
    let drags = row.take("drags");
    let drags = drags.map(|node| Drags::read(file, node, (dimensions, lists), faults));
    row.end(faults);
    End {
        name: name.into(),
        title,
        fields,
        without,
        vital,
        loose,
        wears,
        drags,
    }
}

fn complaint(file: FileId, node: &Node, ends: &[End], faults: &mut Faults) -> Complaint {
    let mut row = Row::new(file, node, faults);
    let here = row.here();
    let word = row.must("word", faults).into();
    let named: Vec<Phrase> = row
        .texts("ends", faults)
        .into_iter()
        .map(|(text, _)| text.into())
        .collect();
    for name in &named {
        if !ends.iter().any(|end| end.name == *name) {
            let near = nearest(name, ends.iter().map(|end| end.name.as_str()));
            faults.push(
                Fault::new(
                    here,
                    FaultKind::UnknownName,
                    name,
                    format!("`{name}` is no end of this kind"),
                )
                .near(near),
            );
        }
    }
    let ask = row.must("ask", faults).into();
    let doubts = row.flag("doubts", faults);
    row.end(faults);
    Complaint {
        word,
        ends: named,
        ask,
        doubts,
    }
}
