//! The page of a family: its joints, limits, tables, adaptors, codes, sizes and examples.

use super::parts::{Part, PartReader};
use super::{Catalog, laws};
use crate::dim::{Cases, Label, Origin, Quantity, Reading, Span, read, read_span};
use crate::joints::{Family, LimitRow, PairRow, PairTable, Says, Sheet};
use crate::text::{Fault, FaultKind, Faults, FileId, Is, Node, Place, Row, nearest};
use crate::verdict::{Fact, FactId, Field, Grade, Ground};

/// Facts of the prose piece are numbered from here, so that both pieces can be read apart.
pub(super) const FIRST_OF_PROSE: usize = 32_768;

/// Which end of which slot plays which end of the family.
#[derive(Clone, Debug)]
pub struct JointEnd {
    /// The number of the slot.
    pub slot: usize,
    /// The end of the kind that goes there.
    pub end: String,
}

/// A joint: the ends of slots that meet.
#[derive(Clone, Debug)]
pub struct Joint {
    /// In words: "seatpost in seat tube".
    pub title: String,
    /// For each end of the family, the slot and its end; `None` where this joint has none.
    pub ends: Vec<Option<JointEnd>>,
}

/// What a family's name for something implies: a dimension that the catalogue knows.
#[derive(Clone, Debug)]
pub struct Implied {
    /// The end it is about.
    pub end: usize,
    /// The fields and what must stand there: one of these names, or a number inside these spans.
    pub when: Vec<(Field, Cases)>,
    /// The fields it gives, and what.
    pub gives: Vec<(Field, Cases)>,
    /// Who says so.
    pub fact: FactId,
    /// How good that is.
    pub grade: Grade,
}

/// How a kind of part bridges the two ends of a family.
#[derive(Clone, Debug)]
pub struct Bridge {
    /// The number of the kind.
    pub kind: usize,
    /// For each end of the family, the end of the bridging part that plays it.
    pub ends: Vec<String>,
}

/// An adaptor of the catalogue: a part that bridges.
#[derive(Clone, Debug)]
pub struct Adaptor {
    /// The part.
    pub part: Part,
    /// Who says it exists.
    pub fact: FactId,
    /// How good that is.
    pub grade: Grade,
}

/// What a code means.
#[derive(Clone, Debug, Default)]
pub struct Code {
    /// Its name.
    pub name: String,
    /// Why it would not fit.
    pub ground: Option<Ground>,
    /// What is said where it does not hold.
    pub fails: String,
    /// What is said where it holds.
    pub holds: String,
    /// What is said where it must be found out.
    pub open: String,
    /// What to do where it does not hold.
    pub advice: String,
}

/// A limit as the page gives it.
#[derive(Clone, Debug)]
pub struct LimitInfo {
    /// Its name.
    pub name: String,
    /// Its quantity.
    pub quantity: Quantity,
    /// The limit.
    pub row: LimitRow,
}

/// What a family's rule compares with, and the words for it.
#[derive(Clone, Debug, Default)]
pub struct Book {
    /// In words.
    pub title: String,
    /// The figures, in the order the rule knows them.
    pub sheet: Sheet,
    /// The limits by name.
    pub limits: Vec<LimitInfo>,
    /// What names imply.
    pub implied: Vec<Implied>,
    /// The kinds that bridge its ends.
    pub bridges: Vec<Bridge>,
    /// How many adaptors may stand one after the other.
    pub most_adaptors: usize,
    /// The adaptors known.
    pub adaptors: Vec<Adaptor>,
    /// The codes, in the order the rule knows them.
    pub codes: Vec<Code>,
    /// The cautions shown with every finding.
    pub cautions: Vec<(String, FactId)>,
    /// The list each name field of each end takes its names from.
    pub lists: Vec<Vec<Option<usize>>>,
    /// Every cited fact.
    pub facts: Vec<Fact>,
}

/// A size of a closed series.
#[derive(Clone, Debug)]
pub struct SizeRow {
    /// What the trade calls it.
    pub title: String,
    /// For each end, the fields it fixes.
    pub fields: Vec<(Field, Cases)>,
    /// Who says so.
    pub fact: FactId,
}

/// An example, shown and run.
#[derive(Clone, Debug)]
pub struct Example {
    /// What it shows.
    pub title: String,
    /// Which codes it shows; each must be among the claims, and not merely hold where the verdict
    /// is not a fit.
    pub shows: Vec<String>,
    /// The verdict expected, in words.
    pub verdict: String,
    /// The ends that are there.
    pub ends: Vec<usize>,
    /// What is known.
    pub fields: Vec<(Field, Reading)>,
    /// Where it is written.
    pub place: Place,
    /// The publication it is taken from, if any.
    pub source: Option<String>,
}

/// The prose of a family.
#[derive(Clone, Debug, Default)]
pub struct Prose {
    /// What it is about.
    pub about: String,
    /// How to look at it.
    pub measure: String,
    /// Its sizes.
    pub sizes: Vec<SizeRow>,
    /// Its examples.
    pub examples: Vec<Example>,
    /// The facts its sizes cite.
    pub facts: Vec<Fact>,
}

/// Reads one page; carries what every part of the reading needs.
pub(super) struct Reader<'c> {
    family: usize,
    pub(super) definition: &'static Family,
    pub(super) file: FileId,
    catalog: &'c Catalog,
    pub(super) faults: Faults,
    facts: Vec<Fact>,
    first: usize,
}

pub(super) fn joints(
    family: &Family,
    file: FileId,
    node: &Node,
    catalog: &Catalog,
    faults: &mut Faults,
) -> Vec<Joint> {
    let mut row = Row::new(file, node, faults);
    let nodes = row.list("joint");
    let mut joints = Vec::new();
    for node in nodes {
        let mut row = Row::new(file, node, faults);
        let title = row.must("title", faults).to_owned();
        let mut ends = Vec::new();
        for end in family.ends {
            let written = row.text(end.name, faults);
            if written.is_none() && !end.optional {
                let message = format!("the joint does not say what plays `{}`", end.name);
                faults.push(Fault::new(row.here(), FaultKind::Missing, "", message));
            }
            ends.push(written.and_then(|text| {
                let (slot, end) = text.split_once('.').unwrap_or((text, ""));
                let found = catalog.slot_named(slot);
                if found.is_none() {
                    let near = nearest(slot, catalog.slots().iter().map(|slot| slot.name.as_str()));
                    let message = format!("`{slot}` is no slot");
                    faults.push(
                        Fault::new(row.here(), FaultKind::UnknownName, slot, message).near(near),
                    );
                }
                found.map(|slot| JointEnd {
                    slot,
                    end: end.to_owned(),
                })
            }));
        }
        row.end(faults);
        joints.push(Joint { title, ends });
    }
    joints
}

pub(super) fn rule(
    family: usize,
    definition: &'static Family,
    file: FileId,
    node: &Node,
    catalog: &Catalog,
) -> (Book, Faults) {
    let mut reader = Reader {
        family,
        definition,
        file,
        catalog,
        faults: Faults::default(),
        facts: Vec::new(),
        first: 0,
    };
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
    let mut reader = Reader {
        family,
        definition,
        file,
        catalog,
        faults: Faults::default(),
        facts: Vec::new(),
        first: FIRST_OF_PROSE,
    };
    let prose = reader.prose(node);
    (prose, reader.faults)
}

impl Reader<'_> {
    fn place(&self, node: &Node) -> Place {
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
        let sources: Vec<String> = row
            .texts("source", &mut self.faults)
            .into_iter()
            .map(|(text, _)| text.to_owned())
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
        let note = row.text("note", &mut self.faults).map(str::to_owned);
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

    fn book(&mut self, node: &Node) -> Book {
        let mut book = Book {
            lists: self.lists(),
            most_adaptors: 1,
            ..Book::default()
        };
        let mut row = Row::new(self.file, node, &mut self.faults);
        book.title = row.must("title", &mut self.faults).to_owned();
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
        book.facts = std::mem::take(&mut self.facts);
        book
    }

    /// The list each name field takes its names from, by way of the first joint that has the end.
    fn lists(&self) -> Vec<Vec<Option<usize>>> {
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

    fn limits(&mut self, node: Option<&Node>, book: &mut Book) {
        let mut rows = node.map(|node| Row::new(self.file, node, &mut self.faults));
        for (name, quantity) in self.definition.limits {
            let given = rows.as_mut().and_then(|rows| rows.take(name));
            let Some(given) = given else {
                let place = node.map_or_else(Place::default, |node| self.place(node));
                self.fault(
                    Place {
                        file: self.file,
                        ..place
                    },
                    FaultKind::Missing,
                    "",
                    format!("the limit `{name}` is missing"),
                    None,
                );
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
                name: (*name).to_owned(),
                quantity: *quantity,
                row: limit,
            });
        }
        if let Some(rows) = rows {
            rows.end(&mut self.faults);
        }
    }

    fn tables(&mut self, node: Option<&Node>, pairs: &[&Node], book: &mut Book) {
        let mut rows = node.map(|node| Row::new(self.file, node, &mut self.faults));
        let mut lists = Vec::new();
        for name in self.definition.tables {
            let Some(given) = rows.as_mut().and_then(|rows| rows.take(name)) else {
                let place = Place {
                    file: self.file,
                    ..Place::default()
                };
                self.fault(
                    place,
                    FaultKind::Missing,
                    "",
                    format!("the table `{name}` is missing"),
                    None,
                );
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
                table.rows.push(PairRow {
                    a,
                    b,
                    says,
                    fact,
                    grade,
                });
            }
        }
    }

    fn labels(&mut self, row: &mut Row<'_>, side: &'static str, list: usize) -> Vec<Label> {
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
                Some(_) => labels.extend(names.find(list, text)),
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

    fn says(&mut self, row: &mut Row<'_>, key: &'static str) -> Says {
        let words = row.must(key, &mut self.faults);
        let with: Vec<String> = row
            .texts("with", &mut self.faults)
            .into_iter()
            .map(|(text, _)| text.to_owned())
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

    fn names(&mut self) -> Vec<Label> {
        let mut labels = Vec::new();
        for path in self.definition.names {
            match self.catalog.label_at(path) {
                Some(label) => labels.push(label),
                None => {
                    let place = Place {
                        file: self.file,
                        ..Place::default()
                    };
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
    fn fields(
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
                let found: Vec<Label> = text
                    .split(" or ")
                    .flat_map(|word| {
                        list.map_or_else(Vec::new, |(index, list)| list.find(index, word))
                    })
                    .collect();
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

    fn implied(&mut self, node: &Node, lists: &[Vec<Option<usize>>]) -> Option<Implied> {
        let mut row = Row::new(self.file, node, &mut self.faults);
        let name = row.must("end", &mut self.faults);
        let when = row.take("when")?;
        let gives = row.take("gives")?;
        let (fact, grade) = self.fact(&mut row);
        row.end(&mut self.faults);
        let Some(end) = self.definition.end_index(name) else {
            let near = nearest(name, self.definition.ends.iter().map(|end| end.name));
            self.fault(
                self.place(node),
                FaultKind::UnknownName,
                name,
                format!("`{name}` is no end of this family"),
                near,
            );
            return None;
        };
        let when = self
            .fields(end, when, lists)
            .into_iter()
            .map(|(field, cases, _)| (field, cases))
            .collect();
        let gives = self
            .fields(end, gives, lists)
            .into_iter()
            .map(|(field, cases, _)| (field, cases))
            .collect();
        Some(Implied {
            end,
            when,
            gives,
            fact,
            grade,
        })
    }

    fn bridge(&mut self, node: &Node) -> Option<Bridge> {
        let mut row = Row::new(self.file, node, &mut self.faults);
        let name = row.must("kind", &mut self.faults);
        let mut ends = Vec::new();
        for end in self.definition.ends {
            ends.push(row.must(end.name, &mut self.faults).to_owned());
        }
        row.end(&mut self.faults);
        let Some(kind) = self.catalog.kind_named(name) else {
            let near = nearest(
                name,
                self.catalog.kinds().iter().map(|kind| kind.name.as_str()),
            );
            self.fault(
                self.place(node),
                FaultKind::UnknownName,
                name,
                format!("`{name}` is no kind of part"),
                near,
            );
            return None;
        };
        Some(Bridge { kind, ends })
    }

    fn adaptor(&mut self, node: &Node, bridges: &[Bridge]) -> Option<Adaptor> {
        let mut row = Row::new(self.file, node, &mut self.faults);
        let name = row.must("kind", &mut self.faults);
        let (fact, grade) = self.fact(&mut row);
        let rest = row.rest();
        let kind = self
            .catalog
            .kind_named(name)
            .filter(|kind| bridges.iter().any(|bridge| bridge.kind == *kind));
        let Some(kind) = kind else {
            self.fault(
                self.place(node),
                FaultKind::UnknownName,
                name,
                format!("`{name}` is no kind that bridges this joint"),
                None,
            );
            return None;
        };
        let reader = PartReader::new(self.catalog, kind, self.place(node));
        let mut part = reader.table(self.file, &rest, &mut self.faults);
        for entry in &mut part.entries {
            if let Some(reading) = &mut entry.stated {
                reading.origin = Origin::Catalogue(fact.packed());
            }
        }
        Some(Adaptor { part, fact, grade })
    }

    fn codes(&mut self, node: Option<&Node>) -> Vec<Code> {
        let mut rows = node.map(|node| Row::new(self.file, node, &mut self.faults));
        let mut codes = Vec::new();
        for name in self.definition.codes {
            let Some(given) = rows.as_mut().and_then(|rows| rows.take(name)) else {
                let place = Place {
                    file: self.file,
                    ..Place::default()
                };
                self.fault(
                    place,
                    FaultKind::Missing,
                    "",
                    format!("the code `{name}` is missing"),
                    None,
                );
                codes.push(Code::default());
                continue;
            };
            let mut row = Row::new(self.file, given, &mut self.faults);
            let mut text = |name: &'static str, faults: &mut Faults| {
                row.text(name, faults).unwrap_or("").to_owned()
            };
            let ground = text("ground", &mut self.faults);
            let code = Code {
                name: (*name).to_owned(),
                ground: Ground::from_words(&ground),
                fails: text("fails", &mut self.faults),
                holds: text("holds", &mut self.faults),
                open: text("open", &mut self.faults),
                advice: text("advice", &mut self.faults),
            };
            let here = row.here();
            row.end(&mut self.faults);
            if !ground.is_empty() && code.ground.is_none() {
                let near = nearest(&ground, Ground::ALL.iter().map(|(_, words)| *words));
                self.fault(
                    here,
                    FaultKind::UnknownName,
                    &ground,
                    format!("`{ground}` is no ground"),
                    near,
                );
            }
            codes.push(code);
        }
        if let Some(rows) = rows {
            rows.end(&mut self.faults);
        }
        codes
    }

    fn caution(&mut self, node: &Node) -> (String, FactId) {
        let mut row = Row::new(self.file, node, &mut self.faults);
        let say = row.must("say", &mut self.faults).to_owned();
        let (fact, _) = self.fact(&mut row);
        row.end(&mut self.faults);
        (say, fact)
    }

    fn prose(&mut self, node: &Node) -> Prose {
        let lists = self.lists();
        let mut prose = Prose::default();
        let mut row = Row::new(self.file, node, &mut self.faults);
        let about = row.take("about");
        let sizes = row.list("size");
        let examples = row.list("example");
        row.end(&mut self.faults);
        match about {
            Some(about) => {
                let mut row = Row::new(self.file, about, &mut self.faults);
                prose.about = row.must("what", &mut self.faults).to_owned();
                prose.measure = row.must("measure", &mut self.faults).to_owned();
                row.end(&mut self.faults);
            }
            None => {
                let place = Place {
                    file: self.file,
                    ..Place::default()
                };
                self.fault(
                    place,
                    FaultKind::Missing,
                    "",
                    "`[about]` is missing".to_owned(),
                    None,
                );
            }
        }
        prose.sizes = sizes
            .into_iter()
            .map(|node| self.size(node, &lists))
            .collect();
        prose.examples = examples
            .into_iter()
            .map(|node| self.example(node, &lists))
            .collect();
        prose.facts = std::mem::take(&mut self.facts);
        prose
    }

    fn size(&mut self, node: &Node, lists: &[Vec<Option<usize>>]) -> SizeRow {
        let mut row = Row::new(self.file, node, &mut self.faults);
        let title = row.must("title", &mut self.faults).to_owned();
        let mut fields = Vec::new();
        for (index, end) in self.definition.ends.iter().enumerate() {
            if let Some(node) = row.take(end.name) {
                fields.extend(
                    self.fields(index, node, lists)
                        .into_iter()
                        .map(|(field, cases, _)| (field, cases)),
                );
            }
        }
        let (fact, _) = self.fact(&mut row);
        row.end(&mut self.faults);
        SizeRow {
            title,
            fields,
            fact,
        }
    }

    fn example(&mut self, node: &Node, lists: &[Vec<Option<usize>>]) -> Example {
        let mut row = Row::new(self.file, node, &mut self.faults);
        let place = row.here();
        let title = row.must("title", &mut self.faults).to_owned();
        let shows: Vec<String> = row
            .texts("shows", &mut self.faults)
            .into_iter()
            .map(|(text, _)| text.to_owned())
            .collect();
        let verdict = row.must("verdict", &mut self.faults).to_owned();
        let source = row.text("source", &mut self.faults).map(str::to_owned);
        let mut ends = Vec::new();
        let mut fields = Vec::new();
        for (index, end) in self.definition.ends.iter().enumerate() {
            if let Some(node) = row.take(end.name) {
                ends.push(index);
                for (field, cases, _) in self.fields(index, node, lists) {
                    fields.push((
                        field,
                        Reading {
                            cases,
                            origin: Origin::Stated(place),
                        },
                    ));
                }
            }
        }
        row.end(&mut self.faults);
        for code in &shows {
            if !self.definition.codes.contains(&code.as_str()) {
                let near = nearest(code, self.definition.codes.iter().copied());
                self.fault(
                    place,
                    FaultKind::UnknownName,
                    code,
                    format!("`{code}` is no code of this family"),
                    near,
                );
            }
        }
        laws::known_verdict(&verdict, place, &mut self.faults);
        Example {
            title,
            shows,
            verdict,
            ends,
            fields,
            place,
            source,
        }
    }
}
