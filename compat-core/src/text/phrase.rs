//! Texts and values of the catalogue: compiled into the library, or read from a file.

use std::borrow::{Borrow, Cow};
use std::ops::Deref;
use std::sync::OnceLock;

use serde::{Serialize, Serializer};

use super::packed::{Packed, Packer, Unpacker};

/// A text of the catalogue; one that is compiled in is not copied.
#[derive(Clone, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Phrase(Cow<'static, str>);

impl Phrase {
    /// As a text.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl Deref for Phrase {
    type Target = str;

    fn deref(&self) -> &str {
        &self.0
    }
}

impl Borrow<str> for Phrase {
    fn borrow(&self) -> &str {
        self
    }
}

impl From<Phrase> for String {
    fn from(phrase: Phrase) -> Self {
        phrase.0.into_owned()
    }
}

impl From<&str> for Phrase {
    fn from(text: &str) -> Self {
        Phrase(Cow::Owned(text.to_owned()))
    }
}

impl From<String> for Phrase {
    fn from(text: String) -> Self {
        Phrase(Cow::Owned(text))
    }
}

impl PartialEq<str> for Phrase {
    fn eq(&self, other: &str) -> bool {
        self.as_str() == other
    }
}

impl PartialEq<&str> for Phrase {
    fn eq(&self, other: &&str) -> bool {
        self.as_str() == *other
    }
}

impl PartialEq<String> for Phrase {
    fn eq(&self, other: &String) -> bool {
        self.as_str() == other
    }
}

impl PartialEq<Phrase> for &str {
    fn eq(&self, other: &Phrase) -> bool {
        *self == other.as_str()
    }
}

impl PartialEq<Phrase> for String {
    fn eq(&self, other: &Phrase) -> bool {
        self == other.as_str()
    }
}

impl std::fmt::Display for Phrase {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        self.as_str().fmt(f)
    }
}

impl std::fmt::Debug for Phrase {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        self.as_str().fmt(f)
    }
}

impl Serialize for Phrase {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self)
    }
}

impl Packed for Phrase {
    fn pack(&self, into: &mut Packer) {
        self.0.pack(into);
    }

    fn unpack(from: &mut Unpacker) -> Option<Self> {
        Packed::unpack(from).map(Phrase)
    }
}

/// Of a part, that it has: "a cassette has", "an electronic derailleur has", "chainrings have".
pub fn it_has(title: &str) -> String {
    let vowel = title.starts_with(['a', 'e', 'i', 'o', 'A', 'E', 'I', 'O']);
    match () {
        () if title.ends_with('s') && !title.ends_with("ss") => format!("{title} have"),
        () if vowel => format!("an {title} has"),
        () => format!("a {title} has"),
    }
}

/// A value that is unpacked when it is first asked for.
#[derive(Clone, Default)]
pub struct Later<T> {
    from: Option<Unpacker>,
    value: OnceLock<T>,
}

impl<T: Packed> Later<T> {
    /// The value; `other`, where nothing was packed.
    pub fn or(&self, other: impl FnOnce() -> T) -> &T {
        let unpacked = || T::unpack(&mut self.from?);
        self.value.get_or_init(|| unpacked().unwrap_or_else(other))
    }
}

impl<T: Packed + Default> Deref for Later<T> {
    type Target = T;

    fn deref(&self) -> &T {
        self.or(T::default)
    }
}

impl<T> From<T> for Later<T> {
    fn from(value: T) -> Self {
        Later {
            from: None,
            value: OnceLock::from(value),
        }
    }
}

impl<T: Packed + Default + std::fmt::Debug> std::fmt::Debug for Later<T> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        (**self).fmt(f)
    }
}

impl<T: Packed + Default> Packed for Later<T> {
    fn pack(&self, into: &mut Packer) {
        into.piece(&**self);
    }

    fn unpack(from: &mut Unpacker) -> Option<Self> {
        Some(Later {
            from: Some(from.piece()?),
            value: OnceLock::new(),
        })
    }
}
