//! Reading a table of a file: each value is taken by name, and what nobody took is a fault.

use smallvec::SmallVec;

use super::{
    At, Fault, FaultKind, Faults, FileId, Files, Is, Key, Node, Place, decode, nearest, node,
};

/// Reads the texts of files into trees, collecting what is wrong with them.
pub struct Texts<'f> {
    /// The files, by name.
    pub files: &'f mut Files,
    /// What is wrong so far.
    pub faults: Faults,
}

impl<'f> Texts<'f> {
    /// A reader over these files.
    pub fn new(files: &'f mut Files) -> Self {
        Texts {
            files,
            faults: Faults::default(),
        }
    }

    /// Reads one TOML file. `None`, with faults, where it is not TOML.
    pub fn toml(&mut self, name: &str, bytes: &[u8]) -> Option<(FileId, Node)> {
        let text = match decode(bytes) {
            Ok(text) => text,
            Err((at, message)) => {
                let file = self.files.add(name, &String::from_utf8_lossy(bytes));
                self.faults.push(Fault::new(
                    Place { file, at },
                    FaultKind::Syntax,
                    "",
                    message,
                ));
                return None;
            }
        };
        let file = self.files.add(name, text);
        let (root, syntax) = node::parse(text);
        if syntax.is_empty() {
            return Some((file, root));
        }
        for wrong in syntax {
            let place = Place { file, at: wrong.at };
            let line = self.files.line(place).unwrap_or("");
            let hint =
                decimal_comma(line).then(|| "a decimal comma wants quotes: \"31,6\"".to_owned());
            let fault = Fault::new(place, FaultKind::Syntax, "", wrong.message);
            self.faults.push(fault.hint(hint));
        }
        None
    }
}

/// True where a bare number with a comma stands behind an equals sign.
fn decimal_comma(line: &str) -> bool {
    let value = line.split_once('=').map_or("", |(_, value)| value.trim());
    value.split_once(',').is_some_and(|(whole, rest)| {
        !whole.is_empty()
            && whole.bytes().all(|byte| byte.is_ascii_digit())
            && rest.starts_with(|c: char| c.is_ascii_digit())
    })
}

/// One table being read. Take what you know by name, then call [`Row::end`].
pub struct Row<'n> {
    file: FileId,
    at: At,
    rows: SmallVec<[(&'n Key, &'n Node); 12]>,
    known: SmallVec<[&'static str; 12]>,
}

impl<'n> Row<'n> {
    /// Starts reading a node as a table.
    pub fn new(file: FileId, node: &'n Node, faults: &mut Faults) -> Self {
        if !matches!(node.is, Is::Table(_)) {
            wrong_kind(Place { file, at: node.at }, node, "a table", faults);
        }
        let rows = node
            .rows()
            .iter()
            .map(|(key, value)| (key, value))
            .collect();
        Row {
            file,
            at: node.at,
            rows,
            known: SmallVec::new(),
        }
    }

    /// The place of a node of this file.
    pub fn place(&self, at: At) -> Place {
        Place {
            file: self.file,
            at,
        }
    }

    /// The place of the table.
    pub fn here(&self) -> Place {
        self.place(self.at)
    }

    /// Takes the value under a name.
    pub fn take(&mut self, name: &'static str) -> Option<&'n Node> {
        self.known.push(name);
        let index = self.rows.iter().position(|(key, _)| key.name == name)?;
        Some(self.rows.remove(index).1)
    }

    /// Takes a text.
    pub fn text(&mut self, name: &'static str, faults: &mut Faults) -> Option<&'n str> {
        let node = self.take(name)?;
        match &node.is {
            Is::Text(text) => Some(text),
            _ => {
                wrong_kind(self.place(node.at), node, "text", faults);
                None
            }
        }
    }

    /// Takes a text that must be there.
    pub fn must(&mut self, name: &'static str, faults: &mut Faults) -> &'n str {
        match self.text(name, faults) {
            Some(text) => text,
            None => {
                let message = format!("`{name}` is missing");
                faults.push(Fault::new(self.here(), FaultKind::Missing, "", message));
                ""
            }
        }
    }

    /// Takes true or false; false if it is not there.
    pub fn flag(&mut self, name: &'static str, faults: &mut Faults) -> bool {
        match self.take(name) {
            None => false,
            Some(Node {
                is: Is::Flag(flag), ..
            }) => *flag,
            Some(node) => {
                wrong_kind(self.place(node.at), node, "true or false", faults);
                false
            }
        }
    }

    /// Takes a list, or one value standing for a list of one.
    pub fn list(&mut self, name: &'static str) -> Vec<&'n Node> {
        match self.take(name) {
            None => Vec::new(),
            Some(Node {
                is: Is::List(items),
                ..
            }) => items.iter().collect(),
            Some(node) => vec![node],
        }
    }

    /// Takes a list of texts, or one text standing for a list of one.
    pub fn texts(&mut self, name: &'static str, faults: &mut Faults) -> Vec<(&'n str, At)> {
        let mut texts = Vec::new();
        for node in self.list(name) {
            match &node.is {
                Is::Text(text) => texts.push((&**text, node.at)),
                _ => wrong_kind(self.place(node.at), node, "text", faults),
            }
        }
        texts
    }

    /// Takes whatever is left, for tables whose names are open.
    pub fn rest(&mut self) -> Vec<(&'n Key, &'n Node)> {
        std::mem::take(&mut self.rows).into_vec()
    }

    /// Says of every name that nobody took that it means nothing here.
    pub fn end(self, faults: &mut Faults) {
        for (key, _) in &self.rows {
            let message = format!("`{}` means nothing here", key.name);
            let place = Place {
                file: self.file,
                at: key.at,
            };
            let near = nearest(&key.name, self.known.iter().copied());
            faults.push(Fault::new(place, FaultKind::UnknownName, &key.name, message).near(near));
        }
    }
}

/// Says that a value is of the wrong kind.
pub(crate) fn wrong_kind(place: Place, node: &Node, wanted: &str, faults: &mut Faults) {
    let written = node.as_written().unwrap_or_default();
    let message = format!("{} where {wanted} should stand", node.kind());
    faults.push(Fault::new(place, FaultKind::WrongKind, &written, message));
}
