//! Reading the page of a family: joints, limits and tables.

use super::Catalog;
use super::book::*;
use crate::dim::{Cases, Label, Quantity, Span, read, read_span};
use crate::joints::{Family, LimitRow, PairRow, PairTable, Says};
use crate::text::{Fault, FaultKind, Faults, FileId, Is, Node, Phrase, Place, Row, nearest};
use crate::verdict::{Fact, FactId, Field, Grade, Ground};

/// Reads one page; carries what every part of the reading needs.
pub(super) struct Reader<'c> {
    pub(super) family: usize,
    pub(super) definition: &'static Family,
    pub(super) file: FileId,
    pub(super) catalog: &'c Catalog,
    pub(super) faults: Faults,
    pub(super) facts: Vec<Fact>,
    pub(super) first: usize,
}

pub(super) fn rule(
    family: usize,
    definition: &'static Family,
    file: FileId,
    node: &Node,
    catalog: &Catalog,
) -> (Book, Faults) {
    let mut reader = Reader::new(family, definition, file, catalog, 0);
    let book = reader.book(node);
    (book, reader.faults)
}

pub(super) fn prose(
    family: usize,
    definition: &'static Family,
    file: FileId,
    node: &Node,
    catalog: &Catalog,
) -> (Prose, Faults) {
    let mut reader = Reader::new(family, definition, file, catalog, FIRST_OF_PROSE);
    let prose = reader.prose(node);
    (prose, reader.faults)
}

impl<'c> Reader<'c> {
    fn new(
        family: usize,
        definition: &'static Family,
        file: FileId,
        catalog: &'c Catalog,
        first: usize,
    ) -> Self {
        Reader {
            family,
            definition,
            file,
            catalog,
            faults: Faults::default(),
            facts: Vec::new(),
            first,
        }
    }

    /// What a page must say of one name of the family; a fault where it does not.
    pub(super) fn given<'n>(
        &mut self,
        rows: &mut Option<Row<'n>>,
        what: &str,
        name: &'static str,
    ) -> Option<&'n Node> {
        let given = rows.as_mut().and_then(|rows| rows.take(name));
        if given.is_none() {
            let place = Place::start(self.file);
            let message = format!("the {what} `{name}` is missing");
            self.fault(place, FaultKind::Missing, "", message, None);
        }
        given
    }

    pub(super) fn place(&self, node: &Node) -> Place {
        Place {
            file: self.file,
            at: node.at,
        }
    }

    pub(super) fn fault(
        &mut self,
        place: Place,
        kind: FaultKind,
        text: &str,
        message: String,
        near: Option<&str>,
    ) {
        self.faults
            .push(Fault::new(place, kind, text, message).near(near));
    }

    /// Reads who says so.
    pub(super) fn fact(&mut self, row: &mut Row<'_>) -> (FactId, Grade) {
        let place = row.here();
        let sources: Vec<Phrase> = row
            .texts("source", &mut self.faults)
            .into_iter()
            .map(|(text, _)| text.into())
            .collect();
        let word = row.must("grade", &mut self.faults);
        let grade = Grade::from_word(word).unwrap_or_else(|| {
            if !word.is_empty() {
                let near = nearest(word, Grade::ALL.iter().map(|(_, word)| *word));
                self.faults.push(
                    Fault::new(
                        place,
                        FaultKind::UnknownName,
                        word,
                        format!("`{word}` is no grade"),
                    )
                    .near(near),
                );
            }
            Grade::Memory
        });
        let note = row.text("note", &mut self.faults).map(Phrase::from);
        let id = FactId {
            family: u16::try_from(self.family).unwrap_or(u16::MAX),
            fact: u16::try_from(self.first + self.facts.len()).unwrap_or(u16::MAX),
        };
        self.facts.push(Fact {
            place,
            sources,
            grade,
            note,
        });
        (id, grade)
    }

    pub(super) fn book(&mut self, node: &Node) -> Book {
        let mut book = Book {
            lists: self.lists(),
            most_adaptors: 1,
            ..Book::default()
        };
        let mut row = Row::new(self.file, node, &mut self.faults);
        book.title = row.must("title", &mut self.faults).into();
        let limits = row.take("limit");
        let tables = row.take("table");
        let pairs = row.list("pair");
        let bands = row.list("band");
        let implied = row.list("implied");
        let bridges = row.list("bridge");
        let adaptors = row.list("adaptor");
        let codes = row.take("code");
        let cautions = row.list("caution");
        if let Some(Node {
            is: Is::Whole(most),
            ..
        }) = row.take("most_adaptors")
        {
            book.most_adaptors = usize::try_from(*most).unwrap_or(1);
        }
        row.end(&mut self.faults);
        self.limits(limits, &mut book);
        self.tables(tables, &pairs, &mut book);
        book.sheet.bands = self.bands(&bands);
        book.sheet.names = self.names();
        book.implied = implied
            .into_iter()
            .filter_map(|node| self.implied(node, &book.lists))
            .collect();
        book.bridges = bridges
            .into_iter()
            .filter_map(|node| self.bridge(node))
            .collect();
        book.adaptors = adaptors
            .into_iter()
            .filter_map(|node| self.adaptor(node, &book.bridges))
            .collect();
        book.codes = self.codes(codes);
        book.cautions = cautions
            .into_iter()
            .map(|node| self.caution(node))
            .collect();
        book.facts = std::mem::take(&mut self.facts).into();
        book
    }

    /// The list each name field takes its names from, by way of the first joint that has the end.
    pub(super) fn lists(&self) -> Vec<Vec<Option<usize>>> {
        let joints = self.catalog.joints(self.family);
        let ends = self.definition.ends.iter().enumerate();
        ends.map(|(index, end)| {
            let joined = joints
                .iter()
                .find_map(|joint| joint.ends.get(index)?.as_ref());
            let body = joined.and_then(|joined| {
                let kind = self.catalog.slots().get(joined.slot)?.kind;
                Some((self.catalog.body(kind), joined))
            });
            let list = |name: &str| {
                let (body, joined) = body?;
                let (_, number) = body
                    .end(&joined.end)?
                    .fields
                    .iter()
                    .find(|(field, _)| field == name)?;
                body.dimensions.get(*number)?.list
            };
            end.fields.iter().map(|field| list(field.name)).collect()
        })
        .collect()
    }

    pub(super) fn limits(&mut self, node: Option<&Node>, book: &mut Book) {
        let mut rows = node.map(|node| Row::new(self.file, node, &mut self.faults));
        for (name, quantity) in self.definition.limits {
            let Some(given) = self.given(&mut rows, "limit", name) else {
                continue;
            };
            let mut row = Row::new(self.file, given, &mut self.faults);
            let here = row.here();
            let text = row.must("value", &mut self.faults);
            let span = read_span(*quantity, text).unwrap_or_else(|wrong| {
                self.faults
                    .push(Fault::new(here, FaultKind::BadValue, text, wrong.message));
                Span::ALL
            });
            let (fact, grade) = self.fact(&mut row);
            row.end(&mut self.faults);
            let limit = LimitRow { span, fact, grade };
            book.sheet.limits.push(limit);
            book.limits.push(LimitInfo {
                name: (*name).into(),
                quantity: *quantity,
                row: limit,
            });
        }
        if let Some(rows) = rows {
            rows.end(&mut self.faults);
        }
    }

    pub(super) fn tables(&mut self, node: Option<&Node>, pairs: &[&Node], book: &mut Book) {
        let mut rows = node.map(|node| Row::new(self.file, node, &mut self.faults));
        let mut lists = Vec::new();
        for name in self.definition.tables {
            let Some(given) = self.given(&mut rows, "table", name) else {
                continue;
            };
            let mut row = Row::new(self.file, given, &mut self.faults);
            let sides: Vec<usize> = ["a", "b"]
                .into_iter()
                .filter_map(|side| {
                    let list = row.must(side, &mut self.faults);
                    let found = self.catalog.list_named(list);
                    if found.is_none() {
                        let near = nearest(
                            list,
                            self.catalog.lists().iter().map(|list| list.name.as_str()),
                        );
                        let fault = Fault::new(
                            row.here(),
                            FaultKind::UnknownName,
                            list,
                            format!("`{list}` is no list of names"),
                        );
                        self.faults.push(fault.near(near));
                    }
                    found
                })
                .collect();
            let otherwise = self.says(&mut row, "otherwise");
            let (fact, grade) = self.fact(&mut row);
            row.end(&mut self.faults);
            let all = |side: usize| {
                let list = sides.get(side).copied()?;
                self.catalog
                    .lists()
                    .get(list)
                    .map(|names| names.labels(list))
            };
            let (all_a, all_b) = (all(0).unwrap_or_default(), all(1).unwrap_or_default());
            lists.push((*name, sides));
            book.sheet.tables.push(PairTable {
                rows: Vec::new(),
                otherwise,
                fact,
                grade,
                all_a,
                all_b,
                speaks: Vec::new(),
            });
        }
        if let Some(rows) = rows {
            rows.end(&mut self.faults);
        }
        for node in pairs {
            let mut row = Row::new(self.file, node, &mut self.faults);
            let table = row.must("table", &mut self.faults);
            let index = lists.iter().position(|(name, _)| *name == table);
            let (a, b) = match index
                .and_then(|index| lists.get(index))
                .map(|(_, sides)| sides.as_slice())
            {
                Some([a, b]) => (*a, *b),
                _ => {
                    let near = nearest(table, lists.iter().map(|(name, _)| *name));
                    let fault = Fault::new(
                        row.here(),
                        FaultKind::UnknownName,
                        table,
                        format!("`{table}` is no table of this family"),
                    );
                    self.faults.push(fault.near(near));
                    continue;
                }
            };
            let a = self.labels(&mut row, "a", a);
            let b = self.labels(&mut row, "b", b);
            let says = self.says(&mut row, "verdict");
            let (fact, grade) = self.fact(&mut row);
            row.end(&mut self.faults);
            if let Some(table) = index.and_then(|index| book.sheet.tables.get_mut(index)) {
                table.push(PairRow {
                    a,
                    b,
                    says,
                    fact,
                    grade,
                });
            }
        }
    }

    pub(super) fn labels(
        &mut self,
        row: &mut Row<'_>,
        side: &'static str,
        list: usize,
    ) -> Vec<Label> {
        let Some(names) = self.catalog.lists().get(list) else {
            return Vec::new();
        };
        let mut labels = Vec::new();
        for (text, at) in row.texts(side, &mut self.faults) {
            if text == "any" {
                labels.extend(names.labels(list));
                continue;
            }
            match names.names.iter().position(|name| name.name == text) {
                Some(name) => labels.push(Label {
                    list: u16::try_from(list).unwrap_or(u16::MAX),
                    name: u16::try_from(name).unwrap_or(u16::MAX),
                }),
                None => {
                    let place = row.place(at);
                    let near = nearest(text, names.names.iter().map(|name| name.name.as_str()));
                    let fault = Fault::new(
                        place,
                        FaultKind::UnknownName,
                        text,
                        format!("`{text}` is not in the list `{}`", names.name),
                    );
                    self.faults.push(fault.near(near));
                }
            }
        }
        labels
    }

    pub(super) fn says(&mut self, row: &mut Row<'_>, key: &'static str) -> Says {
        let words = row.must(key, &mut self.faults);
        let with: Vec<Phrase> = row
            .texts("with", &mut self.faults)
            .into_iter()
            .map(|(text, _)| text.into())
            .collect();
        match words {
            "fits" => Says::Fits,
            "fits with" => Says::With(with),
            "measure first" => Says::Ask,
            _ => Says::Not(Ground::from_words(words).unwrap_or_else(|| {
                let known = ["fits", "fits with", "measure first"]
                    .into_iter()
                    .chain(Ground::ALL.iter().map(|(_, words)| *words));
                let fault = Fault::new(
                    row.here(),
                    FaultKind::UnknownName,
                    words,
                    format!("`{words}` is no verdict and no ground"),
                );
                self.faults.push(fault.near(nearest(words, known)));
                Ground::CannotJoin
            })),
        }
    }

    pub(super) fn names(&mut self) -> Vec<Label> {
        let mut labels = Vec::new();
        for path in self.definition.names {
            match self.catalog.label_at(path) {
                Some(label) => labels.push(label),
                None => {
                    let place = Place::start(self.file);
                    self.fault(
                        place,
                        FaultKind::Missing,
                        path,
                        format!("the rule speaks of `{path}`, which is in no list"),
                        None,
                    );
                }
            }
        }
        labels
    }

    /// Reads `{ field = value }` of an end.
    pub(super) fn fields(
        &mut self,
        end: usize,
        node: &Node,
        lists: &[Vec<Option<usize>>],
    ) -> Vec<(Field, Cases, Option<Cases>)> {
        let Some(definition) = self.definition.ends.get(end) else {
            return Vec::new();
        };
        let mut read_fields = Vec::new();
        for (key, value) in node.rows() {
            let place = self.place(value);
            let Some(index) = definition
                .fields
                .iter()
                .position(|field| field.name == key.name)
            else {
                let near = nearest(&key.name, definition.fields.iter().map(|field| field.name));
                let place = Place {
                    file: self.file,
                    at: key.at,
                };
                self.fault(
                    place,
                    FaultKind::UnknownName,
                    &key.name,
                    format!("`{}` has no field `{}`", definition.name, key.name),
                    near,
                );
                continue;
            };
            let Some(field) = definition.fields.get(index) else {
                continue;
            };
            let text = value.as_written().unwrap_or_default();
            let list = lists
                .get(end)
                .and_then(|lists| lists.get(index))
                .copied()
                .flatten();
            let id = Field {
                end: u8::try_from(end).unwrap_or(u8::MAX),
                field: u8::try_from(index).unwrap_or(u8::MAX),
            };
            if field.quantity == Quantity::Name {
                let list = list.and_then(|list| Some((list, self.catalog.lists().get(list)?)));
                let found: Vec<Label> = list.map_or_else(Vec::new, |(index, list)| {
                    let words = list.words(index, &text);
                    let found = words.into_iter().flat_map(|word| list.find(index, word));
                    found.collect()
                });
                if found.is_empty() {
                    let near = list.and_then(|(_, list)| list.near(&text));
                    self.fault(
                        place,
                        FaultKind::UnknownName,
                        &text,
                        format!("`{text}` is not in the list of `{}`", key.name),
                        near,
                    );
                } else {
                    read_fields.push((id, Cases::Names(found), None));
                }
                continue;
            }
            match read(field.quantity, &text) {
                Ok((Some(spans), None)) => read_fields.push((id, Cases::Numbers(spans), None)),
                Ok((stated, Some(spans))) => {
                    let stated = stated.map(Cases::Numbers);
                    read_fields.push((id, Cases::Numbers(spans), stated));
                }
                Ok((None, None)) => {}
                Err(wrong) => self.fault(place, FaultKind::BadValue, &text, wrong.message, None),
            }
        }
        read_fields
    }
}
