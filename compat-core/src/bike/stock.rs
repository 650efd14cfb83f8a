//! The parts bin: a list of stock as CSV or TOML.
//!
//! Many lines are the same thing under another id, price or place. Lines with the same kind and
//! the same dimensions share one part, so that nothing is parsed or judged twice.

use foldhash::{HashMap, HashMapExt};
use smallvec::SmallVec;

use super::condition::odd_condition;
use super::ids::twice;
use super::makes::{Maker, Makes, Said, Told};
use super::rows::Rows;
use super::taken::kind_number;
use crate::catalog::{Catalog, Part, PartReader};
use crate::dim::read_money;
use crate::text::{
    Fault, FaultKind, Faults, FileId, Files, Place, decode, is_plain, is_plain_but, nearest,
    trimmed,
};

/// What a line may carry beside the dimensions of its part; none of it decides a fit, but that a new
/// part is not worn.
pub const STOCK_COLUMNS: [&str; 8] = [
    "kind",
    "id",
    "name",
    "quantity",
    "price",
    "place",
    "condition",
    "note",
];

/// The number of the column of prices.
const PRICE: usize = 4;

/// The number of the column that says whether a part is new.
const CONDITION: usize = 6;

/// A piece of the text the stock keeps.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Piece {
    start: u32,
    end: u32,
}

impl Piece {
    fn of(start: usize, end: usize) -> Piece {
        let number = |at: usize| u32::try_from(at).unwrap_or(u32::MAX);
        Piece {
            start: number(start),
            end: number(end),
        }
    }
}

/// A line of stock.
#[derive(Clone, Copy, Debug, Default)]
pub struct Line {
    /// Its id; the number of the line where it has none.
    pub id: Piece,
    /// What it is called.
    pub name: Piece,
    /// How many there are; one where nobody says.
    pub quantity: u32,
    /// True where somebody says.
    pub counted: bool,
    /// The price, as written.
    pub price: Piece,
    /// The price in hundredths, where prices count and one is written.
    pub amount: Option<i64>,
    /// Where it lies.
    pub place: Piece,
    /// Its condition.
    pub condition: Piece,
    /// The line of the file it begins on.
    pub line: u32,
    /// The number of its part among the distinct ones.
    pub make: u32,
}

/// A list of stock.
#[derive(Clone, Debug, Default)]
pub struct Stock {
    /// The file.
    pub file: FileId,
    /// Its lines.
    pub lines: Vec<Line>,
    /// The distinct parts.
    pub makes: Makes,
    /// What was passed over, and is worth saying.
    pub warnings: Vec<Fault>,
    /// What is kept beside the list itself, and where its pieces begin: behind those of the list.
    more: String,
    behind: usize,
}

impl Stock {
    /// The text of a piece.
    pub fn text(&self, piece: Piece) -> &str {
        let (start, end) = (piece.start as usize, piece.end as usize);
        let text = match start.checked_sub(self.behind) {
            Some(start) => self.more.get(start..end.saturating_sub(self.behind)),
            None => self.makes.list.get(start..end),
        };
        text.unwrap_or("")
    }

    /// True where nothing in it must be shown otherwise than it is written.
    pub fn is_plain(&self) -> bool {
        // No cell that stands in the list itself goes over the end of a line, or holds what divides it.
        let Makes { list, divides, .. } = &self.makes;
        is_plain_but(list, &[b'\n', b'\r', *divides]) && is_plain(&self.more)
    }

    /// Adds a warning, if nothing was said of the same text before.
    pub(super) fn warn(&mut self, warning: Option<Fault>) {
        let new = warning.filter(|warning| {
            let mut known = self.warnings.iter();
            !known.any(|known| known.message == warning.message)
        });
        self.warnings.extend(new);
    }

    pub(super) fn keep(&mut self, text: &str) -> Piece {
        if text.is_empty() {
            return Piece::default();
        }
        let text = text.trim();
        let from = self.behind + self.more.len();
        self.more.push_str(text);
        Piece::of(from, self.behind + self.more.len())
    }

    /// Keeps a piece of the list itself.
    fn keep_of(&mut self, whole: &str, text: &str) -> Piece {
        let text = trimmed(text);
        if text.is_empty() {
            return Piece::default();
        }
        let from = text.as_ptr().addr().wrapping_sub(whole.as_ptr().addr());
        match from.checked_add(text.len()) {
            Some(to) if to <= whole.len() => Piece::of(from, to),
            // A cell that was put together stands elsewhere.
            _ => self.keep(text),
        }
    }

    /// The part of a line, with its name and id.
    pub fn part(&self, line: &Line) -> Option<Part> {
        let mut part = self.makes.part(line.make as usize)?.clone();
        let name = self.text(line.name);
        part.name = (!name.is_empty()).then(|| name.to_owned());
        part.stock = Some(self.text(line.id).to_owned());
        Some(part)
    }

    /// The part of the line with an id.
    pub fn part_by_id(&self, id: &str) -> Option<Part> {
        self.lines
            .iter()
            .find(|line| self.text(line.id) == id)
            .and_then(|line| self.part(line))
    }
}

/// Reads a list of stock: TOML where the name ends so, else CSV with a header line; comma,
/// semicolon or tab; columns in any order.
///
/// # Errors
///
/// Every fault of the file, each with its place. A column nobody knows is only a warning.
pub fn read_stock(
    catalog: &Catalog,
    files: &mut Files,
    name: &str,
    bytes: Vec<u8>,
) -> Result<Stock, Faults> {
    read(catalog, files, name, bytes, false)
}

/// Reads a list of stock whose prices count: every price that is none is a fault of its cell.
///
/// # Errors
///
/// Every fault of the file, each with its place.
pub fn read_prices(
    catalog: &Catalog,
    files: &mut Files,
    name: &str,
    bytes: Vec<u8>,
) -> Result<Stock, Faults> {
    read(catalog, files, name, bytes, true)
}

fn read(
    catalog: &Catalog,
    files: &mut Files,
    name: &str,
    bytes: Vec<u8>,
    priced: bool,
) -> Result<Stock, Faults> {
    if name.ends_with(".toml") {
        return super::stock_toml::read(catalog, files, name, &bytes, priced);
    }
    // Spreadsheets begin a file with a byte-order mark; it is no part of the first column's name.
    const MARK: char = '\u{feff}';
    let text = match String::from_utf8(bytes) {
        Ok(mut text) => {
            if text.starts_with(MARK) {
                text.drain(..MARK.len_utf8());
            }
            text
        }
        Err(error) => {
            let bytes = error.as_bytes();
            let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
            let file = files.add(name, &String::from_utf8_lossy(bytes));
            let fault = decode(bytes).err().map(|(at, message)| {
                let place = Place { file, at };
                Fault::new(place, FaultKind::Syntax, "", message)
            });
            return Err(Faults(fault.into_iter().collect()));
        }
    };
    let file = files.add_name(name);
    let stock = Stock {
        file,
        behind: text.len(),
        ..Stock::default()
    };
    let faults = Faults::default();
    let mut reader = Reader {
        catalog,
        stock,
        faults,
        maker: Maker::new(catalog, file),
        kinds: HashMap::new(),
        priced,
    };
    let divides = delimiter(&text);
    reader.read(&text, divides);
    let makes = &mut reader.stock.makes;
    *makes = reader.maker.makes;
    (makes.list, makes.divides) = (text, divides);
    twice(&reader.stock, &mut reader.faults);
    // A long list is only shown for its faults.
    if !reader.faults.is_empty() {
        files.keep_text(file, &reader.stock.makes.list);
    }
    reader.faults.or(reader.stock)
}

/// A price that is written is one.
pub(super) fn sound_price(
    written: &str,
    place: impl FnOnce() -> Place,
    faults: &mut Faults,
) -> Option<i64> {
    let written = trimmed(written);
    if written.is_empty() {
        return None;
    }
    let refuse = |message| {
        faults.push(Fault::new(place(), FaultKind::BadValue, written, message));
    };
    read_money(written).map_err(refuse).ok()
}

/// The delimiter that stands most often in the header line.
fn delimiter(text: &str) -> u8 {
    let header = text.lines().next().unwrap_or("");
    let count = |delimiter: &u8| header.bytes().filter(|byte| byte == delimiter).count();
    [b',', b';', b'\t']
        .into_iter()
        .rev()
        .max_by_key(count)
        .unwrap_or(b',')
}

/// What a column holds.
#[derive(Clone, Debug, PartialEq, Eq)]
enum Column {
    Own(usize),
    Dimension(String),
    Unknown,
}

/// What a column is to a line, small enough to be looked at for every cell.
#[derive(Clone, Copy)]
enum Role<'c> {
    /// One of a line's own columns.
    Own(usize),
    /// A dimension, which tells one part from another.
    Tells(&'c str),
    Nothing,
}

impl<'c> Role<'c> {
    fn of(column: &'c Column) -> Role<'c> {
        match column {
            Column::Own(own) => Role::Own(*own),
            Column::Dimension(name) => Role::Tells(name),
            Column::Unknown => Role::Nothing,
        }
    }
}

/// The cells of a line that tell its part from others: which of its cells that are not empty, the number
/// of the column, its name but for the condition, and the text.
type Tells<'t> = SmallVec<[(usize, usize, Option<&'t str>, &'t str); 24]>;

struct Reader<'c> {
    catalog: &'c Catalog,
    stock: Stock,
    faults: Faults,
    maker: Maker<'c>,
    /// The kinds that were named.
    kinds: HashMap<Box<str>, usize>,
    /// True where the prices count.
    priced: bool,
}

impl Reader<'_> {
    fn read(&mut self, text: &str, delimiter: u8) {
        let mut rows = Rows::new(text, self.stock.file, delimiter);
        let columns = if rows.next() {
            self.columns(&rows)
        } else {
            Vec::new()
        };
        if !columns.contains(&Column::Own(0)) {
            let place = Place::start(self.stock.file);
            self.faults.push(Fault::new(
                place,
                FaultKind::Missing,
                "",
                "there is no column `kind`: every line says what it is, such as seatpost, cassette or chain",
            ));
        }
        let roles: Vec<Role<'_>> = columns.iter().map(Role::of).collect();
        self.stock.lines.reserve(text.len() / 64);
        let mut said = Said::new();
        while rows.next() {
            self.line(text, (&columns, &roles), &rows, &mut said);
        }
        if let Some(place) = rows.open_quote() {
            let message = "a quote is opened and never closed";
            self.faults
                .push(Fault::new(place, FaultKind::Syntax, "", message));
        }
    }

    fn columns(&mut self, rows: &Rows<'_>) -> Vec<Column> {
        let catalog = self.catalog;
        let bodies = (0..catalog.kinds().len()).map(|kind| catalog.body(kind));
        let mut dimensions: Vec<&str> = vec!["complaint"];
        for body in bodies {
            dimensions.extend(
                body.dimensions
                    .iter()
                    .map(|dimension| dimension.name.as_str()),
            );
            dimensions.extend(body.shorthands.iter().map(|short| short.name.as_str()));
            dimensions.extend(body.called.iter().map(|(name, _)| name.as_str()));
        }
        let mut columns: Vec<Column> = Vec::new();
        for (index, header) in (0..rows.len()).map(|index| (index, rows.text(index))) {
            let name = header.trim().to_lowercase().replace([' ', '-'], "_");
            let own = STOCK_COLUMNS
                .iter()
                .position(|own| *own == name)
                .map(Column::Own);
            let known = || {
                dimensions
                    .contains(&name.as_str())
                    .then(|| Column::Dimension(name.clone()))
            };
            let column = own.or_else(known).unwrap_or(Column::Unknown);
            let place = rows.place(index);
            if column == Column::Unknown {
                let message = format!(
                    "nothing reads the column `{}`; it is passed over",
                    header.trim()
                );
                let near = nearest(
                    &name,
                    STOCK_COLUMNS
                        .iter()
                        .copied()
                        .chain(dimensions.iter().copied()),
                );
                self.stock
                    .warnings
                    .push(Fault::new(place, FaultKind::Unused, header, message).near(near));
            } else if columns.contains(&column) {
                let message = format!("there are two columns `{}`", header.trim());
                self.faults
                    .push(Fault::new(place, FaultKind::Duplicate, header, message));
            }
            columns.push(column);
        }
        columns
    }

    fn line(
        &mut self,
        whole: &str,
        (columns, roles): (&[Column], &[Role<'_>]),
        rows: &Rows<'_>,
        said: &mut Said,
    ) {
        // A spreadsheet writes the empty rows under a list, too.
        if rows.said().all(|(_, cell)| cell.trim().is_empty()) {
            return;
        }
        if rows.len() != columns.len() {
            let cells = if rows.len() == 1 { "cell" } else { "cells" };
            let message = format!(
                "{} {cells} in a line where the header has {}",
                rows.len(),
                columns.len()
            );
            self.faults
                .push(Fault::new(rows.place(0), FaultKind::WrongKind, "", message));
            return;
        }
        let mut own = [""; 8];
        let mut named = None;
        let mut told = Tells::new();
        // Most cells of a line are empty.
        for (index, (number, cell)) in rows.said().enumerate() {
            match roles.get(number) {
                Some(Role::Own(which)) => {
                    if let Some(place) = own.get_mut(*which) {
                        *place = cell;
                    }
                    match *which {
                        0 => named = named.or(Some((index, number))),
                        CONDITION => told.push((index, number, None, trimmed(cell))),
                        _ => {}
                    }
                }
                Some(Role::Tells(name)) => told.push((index, number, Some(name), trimmed(cell))),
                _ => {}
            }
        }
        let Some(make) = self.make(columns, rows, named, &told, said) else {
            return;
        };
        let [_, id, name, quantity, price, place, condition, _] = own;
        let line = rows.line();
        let count = trimmed(quantity);
        let quantity = if count.is_empty() {
            Some(1)
        } else {
            count.parse().ok()
        };
        if quantity.is_none() {
            let index = columns
                .iter()
                .position(|column| *column == Column::Own(3))
                .unwrap_or(0);
            let place = rows.place(index);
            self.faults.push(Fault::new(
                place,
                FaultKind::BadValue,
                count,
                format!("`{count}` is no quantity"),
            ));
        }
        let at = || {
            let own = |column: &Column| *column == Column::Own(PRICE);
            rows.place(columns.iter().position(own).unwrap_or(0))
        };
        let amount = match self.priced {
            true => sound_price(price, at, &mut self.faults),
            false => None,
        };
        let stock = &mut self.stock;
        let id = if trimmed(id).is_empty() {
            stock.keep(&format!("line {line}"))
        } else {
            stock.keep_of(whole, id)
        };
        let line = Line {
            id,
            name: stock.keep_of(whole, name),
            quantity: quantity.unwrap_or(0),
            counted: !count.is_empty(),
            price: stock.keep_of(whole, price),
            amount,
            place: stock.keep_of(whole, place),
            condition: stock.keep_of(whole, condition),
            line,
            make,
        };
        self.stock.lines.push(line);
    }

    /// The number of the part of a line.
    fn make(
        &mut self,
        columns: &[Column],
        rows: &Rows<'_>,
        named: Option<(usize, usize)>,
        told: &Tells<'_>,
        said: &mut Said,
    ) -> Option<u32> {
        let of_kind = |column: &Column| *column == Column::Own(0);
        let (named, column) = named.or_else(|| Some((0, columns.iter().position(of_kind)?)))?;
        let kind = self.kind(rows, column)?;
        let small = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
        let named = small(named);
        said.clear();
        let mut condition = None;
        for (index, number, name, text) in told {
            if text.is_empty() {
                continue;
            }
            let known = self.maker.makes.cells();
            let cell = self.maker.cell(kind, *number, *name, text);
            match name {
                Some(_) => said.push((cell, small(*index))),
                None => {
                    condition = Some(cell);
                    if known < self.maker.makes.cells() {
                        self.stock.warn(odd_condition(text, rows.place(*number)));
                    }
                }
            }
        }
        // What the condition means yields to what is said of a dimension, wherever it stands.
        said.extend(condition.map(|cell| (cell, named)));
        let line = Told {
            start: rows.start(),
            line: rows.line(),
            named,
        };
        let whole = || {
            whole(
                self.catalog,
                (kind, column),
                columns,
                rows,
                &mut self.faults,
            )
        };
        Some(self.maker.make(kind, line, said, whole))
    }

    /// The kind of a line.
    fn kind(&mut self, rows: &Rows<'_>, column: usize) -> Option<usize> {
        let written = trimmed(rows.text(column));
        if let Some(kind) = self.kinds.get(written) {
            return Some(*kind);
        }
        let kind = kind_number(self.catalog, written, rows.place(column), &mut self.faults)?;
        self.kinds.insert(written.into(), kind);
        Some(kind)
    }
}

/// Reads the part of a line as a whole, and says every fault in it.
fn whole(
    catalog: &Catalog,
    (kind, column): (usize, usize),
    columns: &[Column],
    rows: &Rows<'_>,
    faults: &mut Faults,
) -> Part {
    let place = rows.place(column);
    let mut reader = PartReader::new(catalog, kind, place);
    let mut walk = rows.walk();
    let mut condition = "";
    for (index, cell) in rows.said() {
        let cell = cell.trim();
        match columns.get(index) {
            Some(Column::Dimension(name)) if !cell.is_empty() => {
                reader.set(name, cell, walk.place(index), faults);
            }
            Some(Column::Own(CONDITION)) => condition = cell,
            _ => {}
        }
    }
    let part = reader.finish(faults);
    PartReader::conditioned(catalog, part, condition, place, faults)
}
