//! Texts from outside: where a thing was written, what is wrong with it, and how it is shown.
//!
//! Knows nothing of bikes or joints.

mod clean;
mod fault;
mod near;
pub mod node;
mod packed;
mod phrase;
mod reader;

pub use clean::{clean, clean_line, is_plain, is_plain_but, safe_line};
pub use fault::{Fault, FaultKind, Faults};
pub use near::nearest;
pub use node::{At, Is, Key, Node};
pub(crate) use packed::{Packed, Packer, Unpacker, pack, unpack};
pub use phrase::{Later, Phrase, it_has};
pub use reader::{Row, Texts};

/// A file the program was given, or one of its own catalogue.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FileId(pub(crate) u16);

/// A place in a file.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Place {
    /// Which file.
    pub file: FileId,
    /// Where in it.
    pub at: At,
}

impl Place {
    /// The beginning of a file: where something is missing from all of it.
    pub fn start(file: FileId) -> Place {
        Place {
            file,
            at: At {
                line: 1,
                column: 1,
                length: 1,
            },
        }
    }
}

/// The files read so far, by name; texts are kept so that a fault can show its line.
#[derive(Clone, Debug, Default)]
pub struct Files {
    files: Vec<(String, Option<Text>)>,
}

/// A text, and where its lines begin, once that was asked.
#[derive(Clone, Debug)]
struct Text {
    text: String,
    starts: std::sync::OnceLock<Vec<usize>>,
}

impl Text {
    fn new(text: &str) -> Self {
        Text {
            text: text.to_owned(),
            starts: std::sync::OnceLock::new(),
        }
    }

    fn line(&self, index: usize) -> Option<&str> {
        let starts = self.starts.get_or_init(|| {
            let breaks = self.text.match_indices('\n').map(|(at, _)| at + 1);
            std::iter::once(0).chain(breaks).collect()
        });
        self.text.get(*starts.get(index)?..)?.lines().next()
    }
}

impl Files {
    /// Adds a file by name and text.
    pub fn add(&mut self, name: &str, text: &str) -> FileId {
        self.push(name, Some(Text::new(text)))
    }

    /// Keeps the text of a file after all.
    pub fn keep_text(&mut self, file: FileId, text: &str) {
        if let Some((_, place)) = self.files.get_mut(usize::from(file.0)) {
            *place = Some(Text::new(text));
        }
    }

    /// Adds the name of a file whose text is not kept.
    pub fn add_name(&mut self, name: &str) -> FileId {
        self.push(name, None)
    }

    fn push(&mut self, name: &str, text: Option<Text>) -> FileId {
        let id = FileId(u16::try_from(self.files.len()).unwrap_or(u16::MAX));
        self.files.push((name.to_owned(), text));
        id
    }

    /// The name of a file as it was given.
    pub fn name(&self, file: FileId) -> &str {
        self.files
            .get(usize::from(file.0))
            .map_or("", |(name, _)| name.as_str())
    }

    /// The text of a file, where it is kept.
    pub fn text(&self, file: FileId) -> Option<&str> {
        Some(&self.kept(file)?.text)
    }

    /// One line of a file, where its text is kept.
    pub fn line(&self, place: Place) -> Option<&str> {
        let index = usize::try_from(place.at.line).ok()?.checked_sub(1)?;
        self.kept(place.file)?.line(index)
    }

    fn kept(&self, file: FileId) -> Option<&Text> {
        self.files.get(usize::from(file.0))?.1.as_ref()
    }

    /// `name:line:column`, made safe to print.
    pub fn show(&self, place: Place) -> String {
        format!(
            "{}:{}:{}",
            clean_line(self.name(place.file)),
            place.at.line,
            place.at.column
        )
    }
}

/// A text without the white space around it: most have none.
pub(crate) fn trimmed(text: &str) -> &str {
    let bare = |byte: Option<&u8>| byte.is_some_and(u8::is_ascii_graphic);
    match bare(text.as_bytes().first()) && bare(text.as_bytes().last()) {
        true => text,
        false => text.trim(),
    }
}

/// Reads bytes as UTF-8 text; where they are not, says at which line and column.
pub fn decode(bytes: &[u8]) -> Result<&str, (At, String)> {
    std::str::from_utf8(bytes).map_err(|error| {
        let valid = bytes.get(..error.valid_up_to()).unwrap_or(&[]);
        let text = String::from_utf8_lossy(valid);
        let line = text.matches('\n').count() + 1;
        let column = text.rsplit('\n').next().unwrap_or("").chars().count() + 1;
        let at = At {
            line: u32::try_from(line).unwrap_or(u32::MAX),
            column: u32::try_from(column).unwrap_or(u32::MAX),
            length: 1,
        };
        (at, "not UTF-8 text".to_owned())
    })
}
