//! The catalogue: part kinds with their dimensions, the lists of names, the pages of the
//! families, the sources.
//!
//! It is compiled into the library and read piece by piece when first needed; a folder of files
//! can add to it or override it.

mod access;
mod among;
mod bands;
mod bench;
mod book;
mod drags;
mod implied;
mod kinds;
mod labour;
mod laws;
mod likes;
mod lists;
mod off;
mod page;
mod page_joints;
mod page_rows;
mod parts;
mod shorthand;
mod whole;

use std::borrow::Cow;
use std::collections::BTreeMap;
use std::sync::OnceLock;

pub use access::Access;
pub use among::Among;
pub use bench::{Allowance, Bench, Derived, Formula, Named, Seen, Told, Tool};
pub use book::{
    Adaptor, Book, Bridge, Caution, Code, Example, Implied, Joint, JointEnd, LimitInfo, Prose,
    SizeRow,
};
pub use drags::{Dragging, Drags};
pub use implied::ImpliedRows;
pub use kinds::{Body, Complaint, Dimension, End, Kind, Slot};
pub use labour::Labour;
pub(crate) use labour::money;
pub use laws::broken_laws;
pub use likes::Like;
pub use lists::{List, ListName};
pub use parts::{Part, PartReader, RESERVED};
pub use shorthand::Shorthand;

use whole::Whole;

use crate::dim::{Cases, Label};
use crate::joints::{FAMILIES, Family};
use crate::text::{Faults, FileId, Files, Is, Node, Row, Texts, unpack};
use crate::verdict::{Fact, FactId, Source};

/// A piece of a file in its compact form: its shape and its texts.
type Packed = (&'static [u8], &'static str);

/// A file of the catalogue in its compact form.
pub(crate) struct Page {
    pub folder: &'static str,
    pub name: &'static str,
    /// How it is called where it is cited.
    pub file: &'static str,
    pub pieces: [Packed; 3],
}

include!(concat!(env!("OUT_DIR"), "/pages.rs"));

/// Which piece of a file is wanted.
#[derive(Clone, Copy)]
enum Piece {
    Wiring = 0,
    Rule = 1,
    Prose = 2,
}

/// A file of the catalogue: compiled in, or read from a folder.
#[derive(Debug)]
enum Contents {
    Compiled([Packed; 3]),
    Read(Node),
}

#[derive(Debug)]
struct Entry {
    folder: Cow<'static, str>,
    name: Cow<'static, str>,
    file: FileId,
    contents: Contents,
}

impl Entry {
    fn piece(&self, piece: Piece) -> Node {
        match &self.contents {
            Contents::Compiled(pieces) => pieces
                .get(piece as usize)
                .and_then(|(shape, texts)| unpack(shape, texts))
                .unwrap_or(Node {
                    at: crate::text::At::default(),
                    is: Is::Table(Vec::new()),
                }),
            Contents::Read(node) => {
                let wanted = |name: &str| match piece {
                    Piece::Wiring => matches!(name, "joint" | "slot"),
                    Piece::Prose => matches!(name, "about" | "example" | "size" | "bench"),
                    Piece::Rule => !matches!(
                        name,
                        "joint" | "slot" | "about" | "example" | "size" | "bench"
                    ),
                };
                let rows = node
                    .rows()
                    .iter()
                    .filter(|(key, _)| wanted(&key.name))
                    .cloned()
                    .collect();
                Node {
                    at: node.at,
                    is: Is::Table(rows),
                }
            }
        }
    }
}

/// The catalogue.
#[derive(Debug)]
pub struct Catalog {
    files: Files,
    entries: Vec<Entry>,
    kinds: Vec<Kind>,
    slots: Vec<Slot>,
    lists: Vec<List>,
    joints: Vec<Vec<Joint>>,
    books: Vec<OnceLock<(Book, Faults)>>,
    prose: Vec<OnceLock<(Prose, Faults)>>,
    sources: OnceLock<(BTreeMap<String, Source>, Faults)>,
    tools: OnceLock<(Vec<Tool>, Faults)>,
    faults: Faults,
    /// What was read beforehand.
    whole: Whole,
}

impl Catalog {
    /// The catalogue compiled into the library.
    pub fn compiled() -> Catalog {
        let (files, entries) = compiled();
        Catalog::wire(files, entries)
    }

    /// The compiled catalogue with files of a folder added or put in the place of its own: each is
    /// a path inside the folder (`joints/seatpost.toml`) and its bytes.
    ///
    /// # Errors
    ///
    /// Every fault of the files, with its place.
    pub fn with_files(added: &[(String, Vec<u8>)]) -> Result<Catalog, (Files, Faults)> {
        let (mut files, mut entries) = compiled();
        let mut texts = Texts::new(&mut files);
        for (path, bytes) in added {
            let stem = path.strip_suffix(".toml").unwrap_or(path);
            let (folder, name) = stem.rsplit_once('/').unwrap_or(("", stem));
            let Some((file, node)) = texts.toml(path, bytes) else {
                continue;
            };
            let entry = Entry {
                folder: folder.to_owned().into(),
                name: name.to_owned().into(),
                file,
                contents: Contents::Read(node),
            };
            match entries
                .iter_mut()
                .find(|known| known.folder == folder && known.name == name)
            {
                Some(known) => *known = entry,
                None => entries.push(entry),
            }
        }
        let mut faults = texts.faults;
        let catalog = Catalog::wire(files, entries);
        faults.0.extend(catalog.all_faults().0);
        match faults.or(()) {
            Ok(()) => Ok(catalog),
            Err(faults) => Err((catalog.files, faults)),
        }
    }

    /// The catalogue before anything of it is read.
    fn unread(files: Files, entries: Vec<Entry>) -> Catalog {
        let pages = entries.iter().enumerate();
        let kinds = pages.filter(|(_, entry)| entry.folder == "parts");
        Catalog {
            kinds: kinds
                .map(|(index, entry)| Kind::new(&entry.name, index))
                .collect(),
            files,
            entries,
            slots: Vec::new(),
            lists: Vec::new(),
            joints: Vec::new(),
            books: FAMILIES.iter().map(|_| OnceLock::new()).collect(),
            prose: FAMILIES.iter().map(|_| OnceLock::new()).collect(),
            sources: OnceLock::new(),
            tools: OnceLock::new(),
            faults: Faults::default(),
            whole: Whole::default(),
        }
    }

    fn wire(files: Files, entries: Vec<Entry>) -> Catalog {
        let mut catalog = Catalog::unread(files, entries);
        let mut faults = Faults::default();
        catalog.lists = catalog
            .page("", "labels")
            .map(|entry| lists::read(entry.file, &entry.piece(Piece::Rule), &mut faults))
            .unwrap_or_default();
        for (number, kind) in catalog.kinds.iter().enumerate() {
            let Some(entry) = catalog.entries.get(kind.entry) else {
                continue;
            };
            catalog.slots.extend(kinds::slots(
                entry.file,
                number,
                &entry.piece(Piece::Wiring),
                &mut faults,
            ));
        }
        catalog.joints = FAMILIES
            .iter()
            .map(|family| match catalog.page("joints", family.name) {
                Some(entry) => page_joints::joints(
                    family,
                    entry.file,
                    &entry.piece(Piece::Wiring),
                    &catalog,
                    &mut faults,
                ),
                None => Vec::new(),
            })
            .collect();
        catalog.faults = faults;
        catalog
    }

    fn page(&self, folder: &str, name: &str) -> Option<&Entry> {
        self.entries
            .iter()
            .find(|entry| entry.folder == folder && entry.name == name)
    }

    /// The names of the catalogue's files; add the files of a job to a copy of it.
    pub fn files(&self) -> &Files {
        &self.files
    }

    /// Every part kind.
    pub fn kinds(&self) -> &[Kind] {
        &self.kinds
    }

    /// A part kind by number.
    pub fn kind(&self, index: usize) -> Option<&Kind> {
        self.kinds.get(index)
    }

    /// A part kind by name.
    pub fn kind_named(&self, name: &str) -> Option<usize> {
        self.kinds.iter().position(|kind| kind.name == name)
    }

    /// What a kind's file says of it.
    pub fn body(&self, kind: usize) -> &Body {
        if let Some(body) = self.whole.bodies.get(kind) {
            return body;
        }
        static NOTHING: OnceLock<Body> = OnceLock::new();
        let Some(kind) = self.kinds.get(kind) else {
            return NOTHING.get_or_init(Body::default);
        };
        let (body, _) = kind
            .body
            .get_or_init(|| match self.entries.get(kind.entry) {
                Some(entry) => kinds::body(entry.file, &entry.piece(Piece::Rule), &self.lists),
                None => Default::default(),
            });
        body
    }

    /// Every slot a bike can have.
    pub fn slots(&self) -> &[Slot] {
        &self.slots
    }

    /// The slots whose parts leave the bike with the part of this one.
    pub fn carried(&self, slot: usize) -> impl Iterator<Item = usize> + '_ {
        let name = self.slots.get(slot).map(|slot| slot.name.as_str());
        let goes =
            move |other: &Slot| other.goes_with.is_some() && other.goes_with.as_deref() == name;
        let all = self.slots.iter().enumerate();
        all.filter(move |(_, other)| goes(other))
            .map(|(number, _)| number)
    }

    /// Reads a part as its slot means it: where a word was written that stands for two names, the
    /// one that goes there; and of names that may all be meant those that go with what is counted.
    pub fn meant_in(&self, slot: usize, part: &mut Part) {
        for among in &self.body(part.kind).among {
            among.narrow(part);
        }
        let Some(slot) = self.slots.get(slot).filter(|slot| slot.kind == part.kind) else {
            return;
        };
        for meant in &slot.means {
            let names = self.label_at(&meant.name).zip(self.label_at(&meant.not));
            let number = self.body(part.kind).dimension(&meant.dimension);
            let entry = number.and_then(|number| part.entries.get_mut(number));
            let (Some((name, not)), Some(entry)) = (names, entry) else {
                continue;
            };
            for reading in [&mut entry.stated, &mut entry.measured]
                .into_iter()
                .flatten()
            {
                match &mut reading.cases {
                    Cases::Names(labels) if labels.contains(&name) => {
                        labels.retain(|label| *label != not);
                    }
                    _ => {}
                }
            }
        }
    }

    /// A slot by name.
    pub fn slot_named(&self, name: &str) -> Option<usize> {
        self.slots.iter().position(|slot| slot.name == name)
    }

    /// Every list of names.
    pub fn lists(&self) -> &[List] {
        &self.lists
    }

    /// A list by name.
    pub fn list_named(&self, name: &str) -> Option<usize> {
        self.lists.iter().position(|list| list.name == name)
    }

    /// A name of a list, as `list.name`.
    pub fn label_at(&self, path: &str) -> Option<Label> {
        let (list, name) = path.split_once('.')?;
        let list = self.list_named(list)?;
        let name = self
            .lists
            .get(list)?
            .names
            .iter()
            .position(|known| known.name == name)?;
        Some(Label {
            list: u16::try_from(list).ok()?,
            name: u16::try_from(name).ok()?,
        })
    }

    /// The entry of a name in its list.
    pub fn label(&self, label: Label) -> Option<&ListName> {
        self.lists
            .get(usize::from(label.list))?
            .names
            .get(usize::from(label.name))
    }

    /// The name in words.
    pub fn label_title(&self, label: Label) -> String {
        self.label(label)
            .map_or_else(|| "?".to_owned(), |name| name.title.to_string())
    }

    /// True for a name that says that there is nothing.
    pub fn is_none(&self, label: Label) -> bool {
        self.label(label).is_some_and(|name| name.name == "none")
    }

    /// The joints of a family: which ends of which slots meet.
    pub fn joints(&self, family: usize) -> &[Joint] {
        self.joints.get(family).map_or(&[], Vec::as_slice)
    }

    /// The page of a family: what its rule compares with.
    pub fn book(&self, family: usize) -> &Book {
        if let Some(book) = self.whole.books.get(family) {
            return book;
        }
        static NOTHING: OnceLock<Book> = OnceLock::new();
        let (Some(cell), Some(definition)) = (self.books.get(family), FAMILIES.get(family)) else {
            return NOTHING.get_or_init(Book::default);
        };
        let (book, _) = cell.get_or_init(|| match self.page("joints", definition.name) {
            Some(entry) => page::rule(
                family,
                definition,
                entry.file,
                &entry.piece(Piece::Rule),
                self,
            ),
            None => (Book::default(), missing(definition, &self.files)),
        });
        book
    }

    /// The prose of a family: what it is about, its sizes and its examples.
    pub fn prose(&self, family: usize) -> &Prose {
        static NOTHING: OnceLock<Prose> = OnceLock::new();
        let (Some(cell), Some(definition)) = (self.prose.get(family), FAMILIES.get(family)) else {
            return NOTHING.get_or_init(Prose::default);
        };
        let (prose, _) = cell.get_or_init(|| match self.page("joints", definition.name) {
            Some(entry) => page::prose(
                family,
                definition,
                entry.file,
                &entry.piece(Piece::Prose),
                self,
            ),
            None => Default::default(),
        });
        prose
    }

    /// The kinds of bike a page can be begun with.
    pub fn likes(&self) -> Vec<Like> {
        likes::likes(self, &self.entries).0
    }

    /// A cited fact.
    pub fn fact(&self, id: FactId) -> Option<&Fact> {
        let sizes = usize::from(id.fact) >= book::FIRST_OF_PROSE;
        let family = usize::from(id.family);
        if sizes {
            self.prose(family)
                .facts
                .get(usize::from(id.fact) - book::FIRST_OF_PROSE)
        } else {
            self.book(family).facts.get(usize::from(id.fact))
        }
    }

    /// A publication by its key.
    pub fn source(&self, key: &str) -> Option<&Source> {
        let known = &self.whole.sources;
        match known.binary_search_by(|(known, _)| known.as_str().cmp(key)) {
            Ok(at) => known.get(at)?.1.as_ref(),
            Err(_) => self.sources().get(key),
        }
    }

    /// The publications, by key.
    pub fn sources(&self) -> &BTreeMap<String, Source> {
        let (sources, _) = self.sources.get_or_init(|| match self.page("", "sources") {
            Some(entry) => read_sources(entry.file, &entry.piece(Piece::Rule)),
            None => Default::default(),
        });
        sources
    }

    /// The table of what work takes.
    pub(crate) fn labour(&self) -> Option<(FileId, Node)> {
        let entry = self.page("", "labour")?;
        Some((entry.file, entry.piece(Piece::Rule)))
    }

    /// What a kind's file says of the bench.
    pub fn bench(&self, kind: usize) -> &Bench {
        static NOTHING: OnceLock<Bench> = OnceLock::new();
        let Some(known) = self.kinds.get(kind) else {
            return NOTHING.get_or_init(Bench::default);
        };
        let (bench, _) = known
            .bench
            .get_or_init(|| match self.entries.get(known.entry) {
                Some(entry) => bench::read(self, kind, entry.file, &entry.piece(Piece::Prose)),
                None => Default::default(),
            });
        bench
    }

    /// The tools, and what each can tell.
    pub fn tools(&self) -> &[Tool] {
        let (tools, _) = self.tools.get_or_init(|| match self.page("", "tools") {
            Some(entry) => bench::tools(entry.file, &entry.piece(Piece::Rule)),
            None => Default::default(),
        });
        tools
    }

    /// Everything wrong with the catalogue; nothing for the one compiled in, which tests prove.
    pub fn all_faults(&self) -> Faults {
        let mut faults = self.faults.clone();
        for kind in 0..self.kinds.len() {
            self.body(kind);
            self.bench(kind);
        }
        self.tools();
        let tools = self.tools.get().into_iter();
        faults
            .0
            .extend(tools.flat_map(|(_, wrong)| wrong.0.clone()));
        for kind in &self.kinds {
            let bench = kind.bench.get().into_iter();
            faults
                .0
                .extend(bench.flat_map(|(_, wrong)| wrong.0.clone()));
            faults.0.extend(
                kind.body
                    .get()
                    .into_iter()
                    .flat_map(|(_, wrong)| wrong.0.clone()),
            );
        }
        self.sources();
        faults.0.extend(
            self.sources
                .get()
                .into_iter()
                .flat_map(|(_, wrong)| wrong.0.clone()),
        );
        for family in 0..FAMILIES.len() {
            self.book(family);
            self.prose(family);
        }
        faults.0.extend(
            self.books
                .iter()
                .filter_map(OnceLock::get)
                .flat_map(|(_, wrong)| wrong.0.clone()),
        );
        faults.0.extend(
            self.prose
                .iter()
                .filter_map(OnceLock::get)
                .flat_map(|(_, wrong)| wrong.0.clone()),
        );
        for entry in &self.entries {
            let known = match &*entry.folder {
                "joints" => FAMILIES.iter().any(|family| family.name == entry.name),
                "parts" | "likes" => true,
                "" => matches!(&*entry.name, "labels" | "sources" | "labour" | "tools"),
                _ => false,
            };
            if !known {
                laws::unused_file(entry.file, &entry.name, &mut faults);
            }
        }
        if let Some((file, node)) = self.labour() {
            Labour::default().take(self, file, &node, &mut faults);
        }
        faults.0.extend(likes::likes(self, &self.entries).1.0);
        faults.0.extend(broken_laws(self).0);
        faults.sorted()
    }
}

/// The files that are compiled in, and their names.
fn compiled() -> (Files, Vec<Entry>) {
    let mut files = Files::default();
    let entry = |page: &Page| Entry {
        folder: page.folder.into(),
        name: page.name.into(),
        file: files.add_name(page.file),
        contents: Contents::Compiled(page.pieces),
    };
    let entries = PAGES.iter().map(entry).collect();
    (files, entries)
}

fn missing(family: &Family, files: &Files) -> Faults {
    let _ = files;
    laws::no_page(family)
}

fn read_sources(file: FileId, node: &Node) -> (BTreeMap<String, Source>, Faults) {
    let mut faults = Faults::default();
    let mut sources = BTreeMap::new();
    for (key, value) in node.rows() {
        let mut row = Row::new(file, value, &mut faults);
        let source = Source {
            key: (&*key.name).into(),
            title: row.must("title", &mut faults).into(),
            publisher: row.must("publisher", &mut faults).into(),
            address: row.must("address", &mut faults).into(),
        };
        row.end(&mut faults);
        sources.insert(key.name.to_string(), source);
    }
    (sources, faults)
}
