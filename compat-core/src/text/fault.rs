//! What is wrong with a file, and where.

use super::{Files, Place, clean_line};

/// What sort of thing is wrong.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum FaultKind {
    /// The text is not of the language it should be in.
    Syntax,
    /// A name that means nothing here.
    UnknownName,
    /// A value of the wrong kind: text where a list should be.
    WrongKind,
    /// A value of the right kind that cannot be: a length that is no length.
    BadValue,
    /// The same thing said twice.
    Duplicate,
    /// Something that must be there and is not.
    Missing,
    /// Data that nothing uses.
    Unused,
}

impl FaultKind {
    /// The kind in a word or two.
    pub fn name(self) -> &'static str {
        match self {
            FaultKind::Syntax => "syntax",
            FaultKind::UnknownName => "unknown name",
            FaultKind::WrongKind => "wrong kind of value",
            FaultKind::BadValue => "bad value",
            FaultKind::Duplicate => "said twice",
            FaultKind::Missing => "missing",
            FaultKind::Unused => "not used",
        }
    }
}

/// One thing wrong with a file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// Where.
    pub place: Place,
    /// What sort.
    pub kind: FaultKind,
    /// The text that is wrong, as written.
    pub text: String,
    /// What is wrong, in a sentence that begins in lower case.
    pub message: String,
    /// The nearest valid name.
    pub nearest: Option<String>,
    /// What was probably meant.
    pub hint: Option<String>,
}

impl Fault {
    /// A fault with neither a nearest name nor a hint.
    pub fn new(place: Place, kind: FaultKind, text: &str, message: impl Into<String>) -> Self {
        Fault {
            place,
            kind,
            text: text.to_owned(),
            message: message.into(),
            nearest: None,
            hint: None,
        }
    }

    /// The same, with the nearest valid name.
    #[must_use]
    pub fn near(mut self, nearest: Option<&str>) -> Self {
        self.nearest = nearest.map(str::to_owned);
        self
    }

    /// The same, with what was probably meant.
    #[must_use]
    pub fn hint(mut self, hint: Option<String>) -> Self {
        self.hint = hint;
        self
    }

    /// The fault on one line: place, message, nearest name, hint; safe to print.
    pub fn show(&self, files: &Files) -> String {
        let mut line = format!("{}: {}", files.show(self.place), clean_line(&self.message));
        if let Some(nearest) = &self.nearest {
            line.push_str(&format!("; nearest: `{}`", clean_line(nearest)));
        }
        if let Some(hint) = &self.hint {
            line.push_str(&format!("; {}", clean_line(hint)));
        }
        line
    }
}

/// All that is wrong, in the order of the files.
#[derive(Clone, Debug, Default, PartialEq, Eq, thiserror::Error)]
#[error("{} faults in the files given", .0.len())]
pub struct Faults(pub Vec<Fault>);

impl Faults {
    /// Adds one.
    pub fn push(&mut self, fault: Fault) {
        self.0.push(fault);
    }

    /// True where nothing is wrong.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The faults by file, line and column.
    #[must_use]
    pub fn sorted(mut self) -> Self {
        self.0
            .sort_by(|a, b| (a.place, a.kind, &a.message).cmp(&(b.place, b.kind, &b.message)));
        self.0.dedup();
        self
    }

    /// The value, or the faults if there are any.
    pub fn or<T>(self, value: T) -> Result<T, Faults> {
        if self.is_empty() {
            Ok(value)
        } else {
            Err(self.sorted())
        }
    }
}
