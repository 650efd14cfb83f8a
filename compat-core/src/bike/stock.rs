//! The parts bin: a list of stock as CSV or TOML.
//!
//! Many lines are the same thing under another id, price or place. Lines with the same kind and
//! the same dimensions share one part, so that nothing is parsed or judged twice.

use std::cell::Cell;
use std::collections::HashMap;

use crate::catalog::{Catalog, Part, PartReader};
use crate::text::{
    At, Fault, FaultKind, Faults, FileId, Files, Is, Key, Node, Place, Texts, decode, nearest,
};

/// What a line may carry beside the dimensions of its part; none of it decides a fit.
const OWN: &[&str] = &[
    "kind",
    "id",
    "name",
    "quantity",
    "price",
    "place",
    "condition",
    "note",
];

/// A piece of the text the stock keeps.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Piece {
    start: u32,
    end: u32,
}

/// A line of stock.
#[derive(Clone, Copy, Debug, Default)]
pub struct Line {
    /// Its id; the number of the line where it has none.
    pub id: Piece,
    /// What it is called.
    pub name: Piece,
    /// How many there are.
    pub quantity: u32,
    /// The price, as written.
    pub price: Piece,
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
    pub makes: Vec<Part>,
    /// What was passed over, and is worth saying.
    pub warnings: Vec<Fault>,
    texts: String,
}

impl Stock {
    /// The text of a piece.
    pub fn text(&self, piece: Piece) -> &str {
        self.texts
            .get(piece.start as usize..piece.end as usize)
            .unwrap_or("")
    }

    fn keep(&mut self, text: &str) -> Piece {
        if text.is_empty() {
            return Piece::default();
        }
        let start = u32::try_from(self.texts.len()).unwrap_or(u32::MAX);
        self.texts.push_str(text.trim());
        Piece {
            start,
            end: u32::try_from(self.texts.len()).unwrap_or(u32::MAX),
        }
    }

    /// The part of a line, with its name and id.
    pub fn part(&self, line: &Line) -> Option<Part> {
        let mut part = self.makes.get(line.make as usize)?.clone();
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
    bytes: &[u8],
) -> Result<Stock, Faults> {
    if name.ends_with(".toml") {
        return toml(catalog, files, name, bytes);
    }
    // Spreadsheets begin a file with a byte-order mark; it is no part of the first column's name.
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    let text = match decode(bytes) {
        Ok(text) => text,
        Err((at, message)) => {
            let file = files.add(name, &String::from_utf8_lossy(bytes));
            return Err(Faults(vec![Fault::new(
                Place { file, at },
                FaultKind::Syntax,
                "",
                message,
            )]));
        }
    };
    let file = files.add(name, text);
    let mut reader = Reader {
        catalog,
        file,
        text,
        delimiter: delimiter(text),
        stock: Stock {
            file,
            ..Stock::default()
        },
        faults: Faults::default(),
        seen: HashMap::new(),
        near: Cell::new((0, 1)),
    };
    reader.read();
    reader.faults.or(reader.stock)
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
struct Role {
    own: Option<u8>,
    /// True where the cell tells one part from another.
    tells: bool,
}

impl Role {
    fn of(column: &Column) -> Role {
        match column {
            Column::Own(own) => Role {
                own: u8::try_from(*own).ok(),
                tells: *own == 0,
            },
            Column::Dimension(_) => Role {
                own: None,
                tells: true,
            },
            Column::Unknown => Role {
                own: None,
                tells: false,
            },
        }
    }
}

struct Reader<'c, 't> {
    catalog: &'c Catalog,
    file: FileId,
    text: &'t str,
    delimiter: u8,
    stock: Stock,
    faults: Faults,
    seen: HashMap<Vec<u8>, u32>,
    /// A byte that begins a record and the line it is on: where to count lines from.
    near: Cell<(usize, usize)>,
}

impl Reader<'_, '_> {
    fn read(&mut self) {
        let mut reader = csv::ReaderBuilder::new()
            .delimiter(self.delimiter)
            .flexible(true)
            .has_headers(true)
            .from_reader(self.text.as_bytes());
        let columns = match reader.headers() {
            Ok(headers) => headers.clone(),
            Err(wrong) => return self.syntax(0, &wrong.to_string()),
        };
        let columns = self.columns(&columns);
        let roles: Vec<Role> = columns.iter().map(Role::of).collect();
        let lines = self.text.len() / 64;
        self.stock.lines.reserve(lines);
        self.stock.texts.reserve(self.text.len() / 3);
        let mut record = csv::ByteRecord::new();
        let mut key = Vec::new();
        let mut last = 0;
        loop {
            let start = reader.position().clone();
            match reader.read_byte_record(&mut record) {
                Ok(false) => break,
                Ok(true) => {
                    last = usize::try_from(start.byte()).unwrap_or(0);
                    self.line((&columns, &roles), &record, &start, &mut key);
                }
                Err(wrong) => {
                    self.syntax(start.byte(), &wrong.to_string());
                    break;
                }
            }
        }
        // An open quote swallows the rest of the file without a word from the parser, so it can
        // only stand in the last record.
        let tail = self.text.get(last..).unwrap_or("");
        if tail.bytes().filter(|byte| *byte == b'"').count() % 2 == 1 {
            let quote = last + tail.rfind('"').unwrap_or(0);
            self.syntax(
                u64::try_from(quote).unwrap_or(0),
                "a quote is opened and never closed",
            );
        }
    }

    fn syntax(&mut self, byte: u64, message: &str) {
        let place = self.place_of(usize::try_from(byte).unwrap_or(0), 1);
        self.faults
            .push(Fault::new(place, FaultKind::Syntax, "", message));
    }

    fn place_of(&self, byte: usize, length: usize) -> Place {
        let (start, line) = self.near.get();
        let (start, line) = if start <= byte { (start, line) } else { (0, 1) };
        let before = self.text.get(start..byte).unwrap_or("");
        let begin = self
            .text
            .get(..byte)
            .and_then(|text| text.rfind('\n'))
            .map_or(0, |at| at + 1);
        let column = self.text.get(begin..byte).unwrap_or("").chars().count() + 1;
        let number = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
        let line = line + before.matches('\n').count();
        Place {
            file: self.file,
            at: At {
                line: number(line),
                column: number(column),
                length: number(length.max(1)),
            },
        }
    }

    /// Where a cell stands, found by walking its record.
    fn cell(&self, start: u64, wanted: usize) -> Place {
        let mut byte = usize::try_from(start).unwrap_or(0);
        // Blank lines before the record belong to the position the parser gives.
        while self
            .text
            .as_bytes()
            .get(byte)
            .is_some_and(|byte| matches!(byte, b'\n' | b'\r'))
        {
            byte += 1;
        }
        let (mut index, mut quoted, mut begin) = (0, false, byte);
        for (at, letter) in self.text.bytes().enumerate().skip(byte) {
            let ends = !quoted && (letter == self.delimiter || matches!(letter, b'\n' | b'\r'));
            if letter == b'"' {
                quoted = !quoted;
            } else if ends {
                if index == wanted {
                    return self.place_of(begin, at - begin);
                }
                if letter != self.delimiter {
                    break;
                }
                index += 1;
                begin = at + 1;
            }
        }
        self.place_of(begin, self.text.len().saturating_sub(begin))
    }

    fn columns(&mut self, headers: &csv::StringRecord) -> Vec<Column> {
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
        }
        let mut columns: Vec<Column> = Vec::new();
        for (index, header) in headers.iter().enumerate() {
            let name = header.trim().to_lowercase().replace([' ', '-'], "_");
            let own = OWN.iter().position(|own| *own == name).map(Column::Own);
            let known = || {
                dimensions
                    .contains(&name.as_str())
                    .then(|| Column::Dimension(name.clone()))
            };
            let column = own.or_else(known).unwrap_or(Column::Unknown);
            let place = self.cell(0, index);
            if column == Column::Unknown {
                let message = format!(
                    "nothing reads the column `{}`; it is passed over",
                    header.trim()
                );
                let near = nearest(&name, OWN.iter().copied().chain(dimensions.iter().copied()));
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
        if !columns.contains(&Column::Own(0)) {
            let place = self.place_of(0, 1);
            self.faults.push(Fault::new(
                place,
                FaultKind::Missing,
                "",
                "there is no column `kind`",
            ));
        }
        columns
    }

    fn line(
        &mut self,
        (columns, roles): (&[Column], &[Role]),
        record: &csv::ByteRecord,
        start: &csv::Position,
        key: &mut Vec<u8>,
    ) {
        if record.len() != columns.len() {
            let message = format!(
                "{} cells in a line where the header has {}",
                record.len(),
                columns.len()
            );
            let place = self.cell(start.byte(), 0);
            self.faults
                .push(Fault::new(place, FaultKind::WrongKind, "", message));
            return;
        }
        let mut own_cells: [&[u8]; 8] = [b""; 8];
        key.clear();
        // Most cells of a line are empty; only what is said tells one part from another.
        let said = roles
            .iter()
            .zip(record)
            .enumerate()
            .filter(|(_, (_, cell))| !cell.is_empty());
        for (number, (role, cell)) in said {
            if let Some(place) = role.own.and_then(|own| own_cells.get_mut(usize::from(own))) {
                *place = cell;
            }
            if role.tells {
                key.extend_from_slice(&u16::try_from(number).unwrap_or(u16::MAX).to_le_bytes());
                key.extend_from_slice(&u16::try_from(cell.len()).unwrap_or(u16::MAX).to_le_bytes());
                key.extend_from_slice(cell);
            }
        }
        let make = match self.seen.get(key.as_slice()) {
            Some(make) => *make,
            None => {
                let Some(part) = self.make(columns, record, start) else {
                    return;
                };
                let make = u32::try_from(self.stock.makes.len()).unwrap_or(u32::MAX);
                self.stock.makes.push(part);
                self.seen.insert(key.clone(), make);
                make
            }
        };
        let [_, id, name, quantity, price, place, condition, _] = own_cells.map(cell_text);
        let line = u32::try_from(start.line()).unwrap_or(u32::MAX);
        let count = quantity.trim();
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
            let place = self.cell(start.byte(), index);
            self.faults.push(Fault::new(
                place,
                FaultKind::BadValue,
                count,
                format!("`{count}` is no quantity"),
            ));
        }
        let id = if id.trim().is_empty() {
            self.stock.keep(&format!("line {line}"))
        } else {
            self.stock.keep(id)
        };
        let line = Line {
            id,
            name: self.stock.keep(name),
            quantity: quantity.unwrap_or(0),
            price: self.stock.keep(price),
            place: self.stock.keep(place),
            condition: self.stock.keep(condition),
            line,
            make,
        };
        self.stock.lines.push(line);
    }

    /// Reads the part of a line; only for the first of lines that say the same.
    fn make(
        &mut self,
        columns: &[Column],
        record: &csv::ByteRecord,
        start: &csv::Position,
    ) -> Option<Part> {
        let line = usize::try_from(start.line()).unwrap_or(1);
        self.near
            .set((usize::try_from(start.byte()).unwrap_or(0), line));
        let index = columns
            .iter()
            .position(|column| *column == Column::Own(0))?;
        let kind = record.get(index).map_or("", cell_text).trim();
        let place = self.cell(start.byte(), index);
        let number = kind_number(self.catalog, kind, place, &mut self.faults)?;
        let mut reader = PartReader::new(self.catalog, number, place);
        for (index, (column, cell)) in columns.iter().zip(record).enumerate() {
            let Column::Dimension(name) = column else {
                continue;
            };
            let cell = cell_text(cell).trim();
            if cell.is_empty() {
                continue;
            }
            let place = self.cell(start.byte(), index);
            reader.set(name, cell, place, &mut self.faults);
        }
        Some(reader.part)
    }
}

/// The kind a name or title means.
fn kind_number(
    catalog: &Catalog,
    written: &str,
    place: Place,
    faults: &mut Faults,
) -> Option<usize> {
    let wanted = written.to_lowercase().replace([' ', '-'], "_");
    let found = catalog.kind_named(&wanted);
    if found.is_none() {
        let near = nearest(
            &wanted,
            catalog.kinds().iter().map(|kind| kind.name.as_str()),
        );
        let message = format!("`{written}` is no kind of part");
        faults.push(Fault::new(place, FaultKind::UnknownName, written, message).near(near));
    }
    found
}

/// Reads stock as TOML: one `[[part]]` after the other.
fn toml(catalog: &Catalog, files: &mut Files, name: &str, bytes: &[u8]) -> Result<Stock, Faults> {
    let mut texts = Texts::new(files);
    let read = texts.toml(name, bytes);
    let mut faults = texts.faults;
    let mut stock = Stock::default();
    let Some((file, root)) = read else {
        return faults.or(stock);
    };
    stock.file = file;
    for (key, node) in root.rows() {
        let parts = match (&node.is, &*key.name) {
            (Is::List(items), "part") => items.as_slice(),
            _ => {
                let place = Place { file, at: key.at };
                let message = format!(
                    "`{}` means nothing here; parts stand under `[[part]]`",
                    key.name
                );
                faults.push(
                    Fault::new(place, FaultKind::UnknownName, &key.name, message)
                        .near(Some("part")),
                );
                continue;
            }
        };
        for item in parts {
            toml_part(catalog, &mut stock, item, &mut faults);
        }
    }
    faults.or(stock)
}

fn toml_part(catalog: &Catalog, stock: &mut Stock, item: &Node, faults: &mut Faults) {
    let here = Place {
        file: stock.file,
        at: item.at,
    };
    let (own, rest): (Vec<_>, Vec<_>) = item
        .rows()
        .iter()
        .partition(|(key, _)| OWN.contains(&&*key.name));
    let text = |name: &str| {
        own.iter()
            .find(|(key, _)| key.name == name)
            .and_then(|(_, node)| node.as_written())
            .unwrap_or_default()
    };
    if !matches!(item.is, Is::Table(_)) {
        faults.push(Fault::new(
            here,
            FaultKind::WrongKind,
            "",
            format!("{} where a part should stand", item.kind()),
        ));
        return;
    }
    let place = own
        .iter()
        .find(|(key, _)| key.name == "kind")
        .map_or(here, |(_, node)| Place {
            file: stock.file,
            at: node.at,
        });
    let Some(kind) = kind_number(catalog, &text("kind"), place, faults) else {
        return;
    };
    let rows: Vec<(&Key, &Node)> = rest.into_iter().map(|(key, node)| (key, node)).collect();
    let part = PartReader::new(catalog, kind, here).table(stock.file, &rows, faults);
    let count = text("quantity");
    let quantity = if count.is_empty() {
        Some(1)
    } else {
        count.parse().ok()
    };
    if quantity.is_none() {
        faults.push(Fault::new(
            here,
            FaultKind::BadValue,
            &count,
            format!("`{count}` is no quantity"),
        ));
    }
    let id = text("id");
    let id = if id.is_empty() {
        format!("line {}", here.at.line)
    } else {
        id
    };
    let line = Line {
        id: stock.keep(&id),
        name: stock.keep(&text("name")),
        quantity: quantity.unwrap_or(0),
        price: stock.keep(&text("price")),
        place: stock.keep(&text("place")),
        condition: stock.keep(&text("condition")),
        line: here.at.line,
        make: u32::try_from(stock.makes.len()).unwrap_or(u32::MAX),
    };
    stock.makes.push(part);
    stock.lines.push(line);
}

/// The text of a cell. The whole file was read as text before, so every cell is.
fn cell_text(cell: &[u8]) -> &str {
    std::str::from_utf8(cell).unwrap_or("")
}
