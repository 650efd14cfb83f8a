//! Reading a part: its name, its dimensions, its complaints. Files, stock lists and the adaptors
//! of the catalogue all come through here.

use super::Catalog;
use super::kinds::Dimension;
use super::shorthand::{Piece, Shorthand, Taken};
use crate::dim::{Cases, Entry, Origin, Quantity, Reading, Span, read, read_span, sides};
use crate::text::{
    Fault, FaultKind, Faults, FileId, Is, Key, Node, Phrase, Place, it_has, nearest,
};

/// The names every part may carry beside its dimensions.
pub const RESERVED: &[&str] = &["name", "complaint", "note"];

/// A part: what kind it is and what is known of it.
#[derive(Clone, Debug, Default)]
pub struct Part {
    /// The number of its kind.
    pub kind: usize,
    /// What people call it.
    pub name: Option<String>,
    /// The line of stock it comes from.
    pub stock: Option<String>,
    /// Where it is written.
    pub place: Place,
    /// What is known of each dimension of its kind.
    pub entries: Vec<Entry>,
    /// The numbers of the complaints about it, and where they are written.
    pub complaints: Vec<(usize, Place)>,
    /// The ends of its kind that stand in a joint somebody complains of.
    pub doubted: Vec<Phrase>,
    /// True for a new part said to be of the same make, model and size as the one that is fitted.
    pub same_as_fitted: bool,
}

/// Reads one part.
pub struct PartReader<'c> {
    catalog: &'c Catalog,
    /// The part so far.
    pub part: Part,
}

impl<'c> PartReader<'c> {
    /// Starts a part of a kind.
    pub fn new(catalog: &'c Catalog, kind: usize, place: Place) -> Self {
        let entries = vec![Entry::default(); catalog.body(kind).dimensions.len()];
        PartReader {
            catalog,
            part: Part {
                kind,
                place,
                entries,
                ..Part::default()
            },
        }
    }

    /// Reads a table of a file as a part.
    pub fn table(mut self, file: FileId, rows: &[(&Key, &Node)], faults: &mut Faults) -> Part {
        for (key, node) in rows {
            self.row(file, key, node, faults);
        }
        self.finish(faults)
    }

    fn row(&mut self, file: FileId, key: &Key, node: &Node, faults: &mut Faults) {
        let place = Place { file, at: node.at };
        match (&*key.name, &node.is) {
            ("name", Is::Text(text)) => self.part.name = Some(text.to_string()),
            ("note", Is::Text(_)) => {}
            ("complaint", Is::List(items)) => {
                for item in items {
                    self.complaint(
                        &item.as_written().unwrap_or_default(),
                        Place { file, at: item.at },
                        faults,
                    );
                }
            }
            ("complaint", Is::Text(text)) => self.complaint(text, place, faults),
            (name, Is::Table(rows)) if self.is_dimension(name) => {
                for (inner, value) in rows {
                    let measured = match &*inner.name {
                        "measured" => true,
                        "stated" => false,
                        other => {
                            let place = Place { file, at: inner.at };
                            let message = format!("`{other}` means nothing here");
                            let near = nearest(other, ["stated", "measured"]);
                            faults.push(
                                Fault::new(place, FaultKind::UnknownName, other, message)
                                    .near(near),
                            );
                            continue;
                        }
                    };
                    let place = Place { file, at: value.at };
                    match value.as_written() {
                        Some(text) if measured => {
                            self.set(&key.name, &format!("measured {text}"), place, faults)
                        }
                        Some(text) => self.set(&key.name, &text, place, faults),
                        None => wrong(place, value, faults),
                    }
                }
            }
            (name, _) => match node.as_written() {
                Some(text) if self.knows(name) => self.set(name, &text, place, faults),
                Some(_) | None if !self.knows(name) => {
                    self.unknown(&key.name, Place { file, at: key.at }, faults)
                }
                _ => wrong(place, node, faults),
            },
        }
    }

    fn is_dimension(&self, name: &str) -> bool {
        self.catalog.body(self.part.kind).dimension(name).is_some()
    }

    /// True for a dimension or a shorthand of the kind, or a name every part may carry.
    pub fn knows(&self, name: &str) -> bool {
        let body = self.catalog.body(self.part.kind);
        self.is_dimension(name)
            || body.shorthands.iter().any(|short| short.name == name)
            || RESERVED.contains(&name)
    }

    fn unknown(&self, name: &str, place: Place, faults: &mut Faults) {
        let body = self.catalog.body(self.part.kind);
        let names = body
            .dimensions
            .iter()
            .map(|dimension| dimension.name.as_str());
        let names = names
            .chain(body.shorthands.iter().map(|short| short.name.as_str()))
            .chain(RESERVED.iter().copied());
        let message = format!("{} no `{name}`", it_has(&body.title));
        let slot = self.catalog.slot_named(name).map(|_| {
            "a part on one line must stand above the first [table] of the file".to_owned()
        });
        faults.push(
            Fault::new(place, FaultKind::UnknownName, name, message)
                .near(nearest(name, names))
                .hint(slot),
        );
    }

    fn complaint(&mut self, word: &str, place: Place, faults: &mut Faults) {
        let complaints = &self.catalog.body(self.part.kind).complaints;
        match complaints
            .iter()
            .position(|complaint| complaint.word == word)
        {
            Some(number) => self.part.complaints.push((number, place)),
            None => {
                let words = complaints.iter().map(|complaint| complaint.word.as_str());
                let known: Vec<&str> = words.clone().collect();
                let message = format!(
                    "`{word}` is no complaint known of this part; known are: {}",
                    known.join(", ")
                );
                faults.push(
                    Fault::new(place, FaultKind::UnknownName, word, message)
                        .near(nearest(word, words)),
                );
            }
        }
    }

    /// Sets a dimension or a shorthand from its text.
    pub fn set(&mut self, name: &str, text: &str, place: Place, faults: &mut Faults) {
        let body = self.catalog.body(self.part.kind);
        match name {
            "name" => self.part.name = Some(text.to_owned()),
            "complaint" => {
                for word in text.split(',') {
                    self.complaint(word.trim(), place, faults);
                }
            }
            "note" => {}
            _ => {
                let short = body.shorthands.iter().any(|short| short.name == name);
                match body.dimension(name) {
                    // A number may have more behind it (`6902 2RS MAX`), which says other dimensions.
                    Some(_) if short && self.form(name, text, place) => {}
                    Some(number) => self.dimension(number, text, place, faults),
                    None if short => self.shorthand(name, text, place, faults),
                    None => self.unknown(name, place, faults),
                }
            }
        }
    }

    fn dimension(&mut self, number: usize, text: &str, place: Place, faults: &mut Faults) {
        let Some(dimension) = self.catalog.body(self.part.kind).dimensions.get(number) else {
            return;
        };
        let before = faults.0.len();
        let (stated, measured) = self.said(dimension, text, place, faults);
        let Some(entry) = self.part.entries.get_mut(number) else {
            return;
        };
        // A shorthand may say more than one case (26 x 1.75 is sold for six bead seats, a mark is found
        // on several flanges); what is said beside it narrows that down, and must be among it.
        let narrower = |before: Option<&Reading>, cases: Option<Cases>| match (before, cases) {
            (Some(before), Some(cases)) => before.cases.meet(&cases).ok_or(()).map(Some),
            (_, cases) => Ok(cases),
        };
        let stated = narrower(entry.stated.as_ref(), stated);
        let measured = narrower(entry.measured.as_ref(), measured);
        let (Ok(stated), Ok(measured)) = (stated, measured) else {
            if faults.0.len() == before {
                let message = format!("`{}` is said twice, and differently", dimension.name);
                faults.push(Fault::new(place, FaultKind::Duplicate, text, message));
            }
            return;
        };
        if let Some(cases) = stated {
            entry.stated = Some(Reading {
                cases,
                origin: Origin::Stated(place),
            });
        }
        let slack = dimension.slack();
        if let Some(cases) = measured {
            entry.measured = Some(Reading {
                cases,
                origin: Origin::Measured(place),
            });
        }
        entry.compare(slack);
    }

    /// What a text says of a dimension, stated and measured; every fault in it.
    pub(crate) fn said(
        &self,
        dimension: &Dimension,
        text: &str,
        place: Place,
        faults: &mut Faults,
    ) -> (Option<Cases>, Option<Cases>) {
        if dimension.quantity == Quantity::Name {
            return self.names(dimension, text, place, faults);
        }
        if dimension.listed && text.contains(['"', '″', '”', 'i']) {
            let message = format!(
                "`{}`: `{text}` is a name in inches, which stands for several sizes; write the ISO number in millimetres",
                dimension.name
            );
            faults.push(Fault::new(place, FaultKind::BadValue, text, message));
            return (None, None);
        }
        match read(dimension.quantity, text) {
            Ok((stated, measured)) => {
                for span in stated.iter().chain(&measured).flatten() {
                    plausible(dimension, *span, text, place, faults);
                }
                (stated.map(Cases::Numbers), measured.map(Cases::Numbers))
            }
            Err(wrong) => {
                let message = format!(
                    "`{}`: `{text}` cannot be read: {}",
                    dimension.name, wrong.message
                );
                let fault = Fault::new(place, FaultKind::BadValue, text, message);
                faults.push(fault.hint(empty(text)));
                (None, None)
            }
        }
    }

    fn names(
        &self,
        dimension: &Dimension,
        text: &str,
        place: Place,
        faults: &mut Faults,
    ) -> (Option<Cases>, Option<Cases>) {
        let Some(index) = dimension.list else {
            return (None, None);
        };
        let Some(list) = self.catalog.lists().get(index) else {
            return (None, None);
        };
        let mut said = (None, None);
        for (measured, body) in sides(text) {
            if body == "?" || body.is_empty() {
                continue;
            }
            let mut labels = Vec::new();
            for word in list.words(index, body) {
                let found = list.find(index, word);
                if found.is_empty() {
                    let message = format!(
                        "`{}`: `{word}` is none of the {} names known; `compat explain {}` lists them",
                        dimension.name,
                        list.names.len(),
                        list.name
                    );
                    let fault = Fault::new(place, FaultKind::UnknownName, word, message);
                    let hint = empty(word);
                    let near = list.near(word).filter(|_| hint.is_none());
                    faults.push(fault.near(near).hint(hint));
                }
                for label in found {
                    if !labels.contains(&label) {
                        labels.push(label);
                    }
                }
            }
            let cases = (!labels.is_empty()).then_some(Cases::Names(labels));
            if measured {
                said.1 = cases;
            } else {
                said.0 = cases;
            }
        }
        said
    }

    /// Reads a text as a form of a shorthand, if it is one; says nothing if it is not.
    fn form(&mut self, name: &str, text: &str, place: Place) -> bool {
        let mut trial = Faults::default();
        let mut copy = PartReader {
            catalog: self.catalog,
            part: self.part.clone(),
        };
        copy.shorthand(name, text, place, &mut trial);
        if trial.is_empty() {
            self.part = copy.part;
        }
        trial.is_empty()
    }

    fn shorthand(&mut self, name: &str, text: &str, place: Place, faults: &mut Faults) {
        if text.trim() == "?" || text.trim().is_empty() {
            return;
        }
        let body = self.catalog.body(self.part.kind);
        let named = || body.shorthands.iter().filter(|short| short.name == name);
        let forms: Vec<(&Shorthand, &Vec<Piece>)> = named()
            .flat_map(|short| short.forms.iter().map(move |form| (short, form)))
            .collect();
        // The forms are tried in order; the first whose letters are there and whose values can be
        // read as what they stand for is meant.
        let mut twice = None;
        for (short, form) in &forms {
            let Some(values) = split(form, text) else {
                continue;
            };
            let mut trial = Faults::default();
            let mut copy = PartReader {
                catalog: self.catalog,
                part: self.part.clone(),
            };
            for (taken, value) in values {
                for number in &taken.numbers {
                    copy.dimension(*number, &taken.text(value), place, &mut trial);
                }
            }
            for (number, text) in &short.also {
                copy.dimension(*number, text, place, &mut trial);
            }
            if trial.is_empty() || forms.len() == 1 {
                self.part = copy.part;
                faults.0.extend(trial.0);
                return;
            }
            // It is of this form, and says otherwise than what stands before it.
            let said = |fault: &Fault| fault.kind == FaultKind::Duplicate;
            if twice.is_none() && trial.0.iter().all(said) {
                twice = Some(trial);
            }
        }
        if let Some(twice) = twice {
            faults.0.extend(twice.0);
            return;
        }
        let forms = body.some_forms(name);
        let mut message = format!("`{name}`: `{text}` is not of the form {forms}");
        if body.forms(name).len() > forms.split(" or ").count() {
            let kind = self.catalog.kind(self.part.kind);
            let kind = kind.map_or("", |kind| kind.name.as_str());
            message.push_str(&format!("; `compat explain {kind}` lists them"));
        }
        faults.push(Fault::new(place, FaultKind::BadValue, text, message).hint(empty(text)));
    }

    /// A part of stock whose condition is told beside it: where the kind says what that means of a
    /// dimension (a new chain has no wear), it is so unless the part says otherwise.
    pub fn conditioned(
        catalog: &'c Catalog,
        part: Part,
        text: &str,
        place: Place,
        faults: &mut Faults,
    ) -> Part {
        let wanted = text.trim().to_lowercase();
        let mut reader = PartReader { catalog, part };
        let shorthands = catalog.body(reader.part.kind).shorthands.iter();
        let said = shorthands.filter(|short| short.name == "condition");
        for short in said.filter(|short| short.written.iter().any(|form| *form == wanted)) {
            for (number, text) in &short.also {
                let entry = reader.part.entries.get(*number);
                if entry.is_some_and(|entry| entry.stated.is_none() && entry.measured.is_none()) {
                    reader.dimension(*number, text, place, faults);
                }
            }
        }
        reader.part
    }

    /// Says of pairs that must stand in order, the smaller first, where they do not.
    fn in_order(&self, faults: &mut Faults) {
        let body = self.catalog.body(self.part.kind);
        for (low, high) in &body.order {
            let span = |number: &usize| self.part.entries.get(*number)?.deciding()?.cases.span();
            let (Some(small), Some(large)) = (span(low), span(high)) else {
                continue;
            };
            if small.low > large.high {
                let title = |number: &usize| {
                    body.dimensions
                        .get(*number)
                        .map_or("", |dimension| dimension.title.as_str())
                };
                let message = format!("the {} is larger than the {}", title(low), title(high));
                faults.push(Fault::new(
                    self.part.place,
                    FaultKind::BadValue,
                    "",
                    message,
                ));
            }
        }
    }

    /// Of two rings on two circles each has its own: what a shorthand gave by one rule is given by the
    /// other where the part says that there are two.
    fn set_apart(&mut self) {
        for ((stated, of), (is, not)) in &self.catalog.body(self.part.kind).apart {
            let said = |number: &usize| self.part.entries.get(*number)?.stated.clone();
            let (Some(_), Some(now), Some(same), Some(other)) =
                (said(stated), said(of), said(not), said(is))
            else {
                continue;
            };
            let one_text = now.origin == same.origin && now.origin == other.origin;
            if let Some(entry) = self.part.entries.get_mut(*of)
                && one_text
                && now.cases == same.cases
            {
                entry.stated = Some(other);
            }
        }
    }

    /// The part, once everything that is written of it has been read.
    pub fn finish(mut self, faults: &mut Faults) -> Part {
        self.set_apart();
        self.in_order(faults);
        self.part
    }
}

fn wrong(place: Place, node: &Node, faults: &mut Faults) {
    let message = format!(
        "{} where a dimension should stand: a number, or a text such as \"31.6 mm\"",
        node.kind()
    );
    faults.push(Fault::new(place, FaultKind::WrongKind, "", message));
}

/// The values of a form in a text; `None` where its letters are not there.
fn split<'t, 'f>(form: &'f [Piece], text: &'t str) -> Option<Vec<(&'f Taken, &'t str)>> {
    let mut rest = text.trim();
    let mut values = Vec::new();
    let mut open: Option<&Taken> = None;
    for piece in form {
        match piece {
            Piece::Value(taken) => open = Some(taken),
            Piece::Letters(letters) => {
                let at = position(rest, letters)?;
                if let Some(taken) = open.take() {
                    values.push((taken, rest.get(..at)?.trim()));
                } else if !rest.get(..at)?.trim().is_empty() {
                    return None;
                }
                rest = rest.get(at..)?;
                let mut letters = letters.chars();
                rest = rest.trim_start_matches(|_: char| letters.next().is_some());
            }
        }
    }
    match open {
        Some(taken) => values.push((taken, rest.trim())),
        None if !rest.trim().is_empty() => return None,
        None => {}
    }
    values
        .iter()
        .all(|(_, value)| !value.is_empty())
        .then_some(values)
}

/// Where letters stand, `x` also as `X` and `×`.
fn position(text: &str, letters: &str) -> Option<usize> {
    if letters == "x" {
        text.find(['x', 'X', '×'])
    } else {
        text.find(letters)
    }
}

/// A value far outside what such a part can have is a slip of the pen; a wrong unit is named.
fn plausible(dimension: &Dimension, span: Span, text: &str, place: Place, faults: &mut Faults) {
    let range = dimension.range;
    let bounded = Span {
        low: if span.low == Span::LEAST {
            range.low
        } else {
            span.low
        },
        high: if span.high == Span::MOST {
            range.high
        } else {
            span.high
        },
    };
    if range.holds(bounded) {
        return;
    }
    let shown = crate::dim::show_span(dimension.quantity, span);
    let usual = crate::dim::show_span(dimension.quantity, range);
    let message = format!(
        "`{}`: {shown} is no {}; usual is {usual}",
        dimension.name, dimension.title
    );
    let fault = Fault::new(place, FaultKind::BadValue, text, message);
    faults.push(fault.hint(slip(dimension, text)));
}

/// The same digits in another unit, where that is plausible.
fn slip(dimension: &Dimension, text: &str) -> Option<String> {
    if dimension.quantity != Quantity::Length {
        return None;
    }
    let text = text.trim().trim_start_matches("measured ");
    let end = text.rfind(|c: char| c.is_ascii_digit())? + 1;
    let digits = text.get(..end)?;
    for unit in ["mm", "in", "cm"] {
        let meant = format!("{digits} {unit}");
        if let Ok(span) = read_span(dimension.quantity, &meant)
            && dimension.range.holds(span)
        {
            return Some(format!("was `{meant}` meant?"));
        }
    }
    None
}

/// What people write where there is nothing to say.
fn empty(text: &str) -> Option<String> {
    let text = text.trim().to_lowercase();
    let empty = [
        "n/a", "na", "n.a.", "-", "--", "–", "—", "tbd", "??", "unknown", "none", "null",
    ];
    empty
        .contains(&text.as_str())
        .then(|| "write `?` for what is not known, or leave it out".to_owned())
}
