//! Reading the rows of a family's page: what names imply, adaptors, codes, sizes, examples.

use super::book::*;
use super::laws;
use super::page::Reader;
use super::parts::PartReader;
use crate::dim::{Origin, Reading};
use crate::text::{FaultKind, Faults, Node, Phrase, Place, Row, nearest};
use crate::verdict::{Ground, Need};

impl Reader<'_> {
    pub(super) fn implied(&mut self, node: &Node, lists: &[Vec<Option<usize>>]) -> Option<Implied> {
        let mut row = Row::new(self.file, node, &mut self.faults);
        let name = row.must("end", &mut self.faults);
        let when = row.take("when");
        let gives = row.take("gives")?;
        let sound = row.flag("sound", &mut self.faults);
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
        let when = when.map_or_else(Vec::new, |when| self.fields(end, when, lists));
        let when = when
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
            sound,
            fact,
            grade,
        })
    }

    pub(super) fn bridge(&mut self, node: &Node) -> Option<Bridge> {
        let mut row = Row::new(self.file, node, &mut self.faults);
        let name = row.must("kind", &mut self.faults);
        let mut ends = Vec::new();
        // A part may also stand in the place of an end that a joint has or has not.
        let between = self.definition.ends.iter().any(|end| end.optional);
        for end in self.definition.ends {
            let named = match (between, end.optional) {
                (true, false) => "",
                (true, true) => row.text(end.name, &mut self.faults).unwrap_or(""),
                (false, _) => row.must(end.name, &mut self.faults),
            };
            ends.push(named.into());
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

    pub(super) fn adaptor(&mut self, node: &Node, bridges: &[Bridge]) -> Option<Adaptor> {
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

    pub(super) fn codes(&mut self, node: Option<&Node>) -> Vec<Code> {
        let mut rows = node.map(|node| Row::new(self.file, node, &mut self.faults));
        let mut codes = Vec::new();
        for name in self.definition.codes {
            let Some(given) = self.given(&mut rows, "code", name) else {
                codes.push(Code::default());
                continue;
            };
            let mut row = Row::new(self.file, given, &mut self.faults);
            let mut text = |name: &'static str, faults: &mut Faults| -> Phrase {
                row.text(name, faults).unwrap_or("").into()
            };
            let ground = text("ground", &mut self.faults);
            let mut code = Code {
                name: (*name).into(),
                ground: Ground::from_words(&ground),
                fails: text("fails", &mut self.faults),
                holds: text("holds", &mut self.faults),
                open: text("open", &mut self.faults),
                advice: text("advice", &mut self.faults),
                with: Vec::new(),
                plays: None,
            };
            let plays = text("plays", &mut self.faults);
            code.with = self.with(&mut row);
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
            if !plays.is_empty() {
                code.plays = self.optional_end(&plays, here);
            }
            codes.push(code);
        }
        if let Some(rows) = rows {
            rows.end(&mut self.faults);
        }
        codes
    }

    /// The end that a joint may do without of that name.
    fn optional_end(&mut self, name: &str, here: Place) -> Option<usize> {
        let optional = |end: &&crate::joints::EndDef| end.optional;
        let mut ends = self.definition.ends.iter();
        let found = ends.position(|end| end.name == name && end.optional);
        if found.is_none() {
            let names = self.definition.ends.iter().filter(optional);
            let near = nearest(name, names.map(|end| end.name));
            let message = format!("`{name}` is no end that this joint may do without");
            self.fault(here, FaultKind::UnknownName, name, message, near);
        }
        found
    }

    /// Reads what makes a code hold; where something does, the code says who says so.
    fn with(&mut self, row: &mut Row<'_>) -> Vec<Need> {
        let things = row.texts("with", &mut self.faults);
        if things.is_empty() {
            return Vec::new();
        }
        let (fact, _) = self.fact(row);
        let need = |(what, _): (&str, _)| Need {
            what: what.into(),
            fact: Some(fact),
        };
        things.into_iter().map(need).collect()
    }

    pub(super) fn caution(&mut self, node: &Node) -> Caution {
        let mut row = Row::new(self.file, node, &mut self.faults);
        let say = row.must("say", &mut self.faults).into();
        let adaptor = row.flag("adaptor", &mut self.faults);
        let (fact, _) = self.fact(&mut row);
        row.end(&mut self.faults);
        Caution { say, fact, adaptor }
    }

    pub(super) fn prose(&mut self, node: &Node) -> Prose {
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
                let place = Place::start(self.file);
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

    pub(super) fn size(&mut self, node: &Node, lists: &[Vec<Option<usize>>]) -> SizeRow {
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

    pub(super) fn example(&mut self, node: &Node, lists: &[Vec<Option<usize>>]) -> Example {
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
