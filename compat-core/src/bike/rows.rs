//! The records of a CSV text, with where each cell stands.
//!
//! A record without a quote is cut where its delimiters stand; any other is left to the core of the csv
//! crate. That says nothing of places, so those are found by walking a record again, which only a fault
//! and a part that is looked at ever need.

use smallvec::SmallVec;

use crate::text::{At, FileId, Place};

/// The records of a text, one after the other.
pub(super) struct Rows<'t> {
    text: &'t str,
    file: FileId,
    delimiter: u8,
    /// Made for the first record that has to be parsed.
    core: Option<csv_core::Reader>,
    at: usize,
    blank: usize,
    output: Vec<u8>,
    ends: Vec<usize>,
    /// The cells that are not empty: number, beginning and end.
    said: Vec<(usize, usize, usize)>,
    cells: usize,
    /// True where the cells stand in the output, and not in the text itself.
    copied: bool,
    start: usize,
    line: usize,
}

impl<'t> Rows<'t> {
    pub fn new(text: &'t str, file: FileId, delimiter: u8) -> Self {
        Rows {
            text,
            file,
            delimiter,
            core: None,
            at: 0,
            blank: 0,
            output: Vec::new(),
            ends: Vec::new(),
            said: Vec::new(),
            cells: 0,
            copied: false,
            start: 0,
            line: 1,
        }
    }

    /// The same from a record on that was read before: where it begins, and on which line.
    pub fn again(text: &'t str, file: FileId, delimiter: u8, (start, line): (u32, u32)) -> Self {
        let mut rows = Rows::new(text, file, delimiter);
        rows.at = start as usize;
        rows.blank = (line as usize).saturating_sub(rows.line);
        rows
    }

    /// Reads the next record; false where there is none.
    pub fn next(&mut self) -> bool {
        let bytes = self.text.as_bytes();
        while let Some(byte @ (b'\n' | b'\r')) = bytes.get(self.at) {
            self.blank += usize::from(*byte == b'\n');
            self.at += 1;
        }
        if self.at >= bytes.len() {
            return false;
        }
        self.start = self.at;
        let parsed = self.core.as_ref().map_or(1, csv_core::Reader::line);
        self.line = usize::try_from(parsed).unwrap_or(0) + self.blank;
        self.said.clear();
        self.copied = !self.cut();
        !self.copied || self.parse()
    }

    /// Cuts a record at its delimiters; false where it holds a quote that is more than the marks around
    /// a cell on one line, and nothing is done.
    fn cut(&mut self) -> bool {
        let bytes = self.text.as_bytes();
        let divides = self.delimiter;
        let (mut number, mut from) = (0, self.start);
        let mut at = self.start;
        // Eight bytes at a time: most of them mean nothing, or are empty cells.
        let end = 'record: loop {
            let word = word(bytes, at);
            if word == of_eight(divides) {
                if from < at {
                    self.said.push((number, from, at));
                }
                number += 8;
                at += 8;
                from = at;
                continue;
            }
            let mut marks = is_any(word, [divides, b'"', b'\n', b'\r']);
            while marks != 0 {
                let here = at + marks.trailing_zeros() as usize / 8;
                marks &= marks - 1;
                // The text ends as a line does.
                let byte = bytes.get(here).copied().unwrap_or(b'\n');
                if byte == b'"' {
                    let cell = (here == from).then(|| marked(bytes, here + 1, divides));
                    let Some(to) = cell.flatten() else {
                        self.said.clear();
                        return false;
                    };
                    if to > here + 1 {
                        self.said.push((number, here + 1, to));
                    }
                    from = to + 1;
                    at = from;
                    continue 'record;
                }
                if from < here {
                    self.said.push((number, from, here));
                }
                number += 1;
                if byte != divides {
                    break 'record here;
                }
                from = here + 1;
            }
            at += 8;
        };
        self.cells = number;
        self.at = end;
        true
    }

    /// Has a record parsed; false where there is none.
    fn parse(&mut self) -> bool {
        let bytes = self.text.as_bytes();
        let core = self.core.get_or_insert_with(|| {
            self.output.resize(4096, 0);
            self.ends.resize(256, 0);
            csv_core::ReaderBuilder::new()
                .delimiter(self.delimiter)
                .build()
        });
        let (mut out, mut end) = (0, 0);
        loop {
            let input = bytes.get(self.at..).unwrap_or(&[]);
            let output = self.output.get_mut(out..).unwrap_or(&mut []);
            let ends = self.ends.get_mut(end..).unwrap_or(&mut []);
            let (result, read, wrote, ended) = core.read_record(input, output, ends);
            self.at += read;
            out += wrote;
            end += ended;
            match result {
                csv_core::ReadRecordResult::InputEmpty => {}
                csv_core::ReadRecordResult::OutputFull => {
                    self.output.resize(self.output.len() * 2, 0)
                }
                csv_core::ReadRecordResult::OutputEndsFull => {
                    self.ends.resize(self.ends.len() * 2, 0)
                }
                csv_core::ReadRecordResult::Record => {
                    let mut begin = 0;
                    for (number, end) in self.ends.iter().take(end).enumerate() {
                        let from = std::mem::replace(&mut begin, *end);
                        if from != *end {
                            self.said.push((number, from, *end));
                        }
                    }
                    self.cells = end;
                    return true;
                }
                csv_core::ReadRecordResult::End => return false,
            }
        }
    }

    /// How many cells the record has.
    pub fn len(&self) -> usize {
        self.cells
    }

    /// Where the record begins in the text.
    pub fn start(&self) -> u32 {
        u32::try_from(self.start).unwrap_or(u32::MAX)
    }

    /// The line the record begins on, from 1.
    pub fn line(&self) -> u32 {
        u32::try_from(self.line).unwrap_or(u32::MAX)
    }

    /// The cells that are not empty, each with its number. The whole file was read as text before, so
    /// every cell is.
    pub fn said(&self) -> impl Iterator<Item = (usize, &str)> {
        let cell = |(number, from, to): &(usize, usize, usize)| {
            let text = match self.copied {
                true => std::str::from_utf8(self.output.get(*from..*to)?).ok()?,
                false => self.text.get(*from..*to)?,
            };
            Some((*number, text))
        };
        self.said.iter().filter_map(cell)
    }

    /// The text of a cell.
    pub fn text(&self, wanted: usize) -> &str {
        let mut said = self.said();
        let found = said.find(|(number, _)| *number == wanted);
        found.map_or("", |(_, cell)| cell)
    }

    /// Where the last record holds a quote that is opened and never closed: it swallows the rest of the
    /// file without a word from the parser.
    pub fn open_quote(&self) -> Option<Place> {
        let tail = self.text.as_bytes().get(self.start..).unwrap_or(&[]);
        let mut stand = Stand::Begin;
        let mut opened = self.start;
        for (at, byte) in (self.start..).zip(tail.iter().copied()) {
            if stand == Stand::Begin && byte == b'"' {
                opened = at;
            }
            stand = stand.past(byte, self.delimiter);
        }
        (stand == Stand::Inside).then(|| self.place_of(opened, 1))
    }

    /// Where a cell of the record stands.
    pub fn place(&self, wanted: usize) -> Place {
        self.walk().place(wanted)
    }

    /// Where every cell of the record stands that is not empty, in their order.
    pub fn places(&self) -> Places {
        let record = self.text.get(self.start..self.at).unwrap_or("");
        let number = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
        let mut places = Places::new();
        if !self.copied {
            let line = self.line();
            let ascii = record.is_ascii();
            for (_, from, to) in &self.said {
                // The marks around a cell belong to it.
                let before = from.saturating_sub(1);
                let marked =
                    before >= self.start && self.text.as_bytes().get(before) == Some(&b'"');
                let (from, to) = match marked {
                    true => (before, to + 1),
                    false => (*from, *to),
                };
                let before = from - self.start;
                let column = match ascii {
                    true => before,
                    false => record.get(..before).unwrap_or("").chars().count(),
                };
                let at = At {
                    line,
                    column: number(column + 1),
                    length: number(to - from),
                };
                places.push(at);
            }
            return places;
        }
        let mut walk = self.walk();
        let cells = self.said.iter();
        places.extend(cells.map(|(cell, _, _)| walk.place(*cell).at));
        places
    }

    /// Walks through the record once, for the places of several of its cells.
    pub fn walk(&self) -> Walk<'_, 't> {
        Walk {
            rows: self,
            index: 0,
            begin: self.start,
            line: self.line,
            column: 1,
        }
    }

    /// The place of a byte of the record.
    fn place_of(&self, byte: usize, length: usize) -> Place {
        let before = self.text.get(self.start..byte).unwrap_or("");
        // A record begins with a line; what a quote holds may have more of them.
        let line = self.line + before.bytes().filter(|byte| *byte == b'\n').count();
        let on_line = before
            .rfind('\n')
            .map_or(before, |at| before.get(at + 1..).unwrap_or(""));
        let number = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
        let at = At {
            line: number(line),
            column: number(on_line.chars().count() + 1),
            length: number(length.max(1)),
        };
        Place {
            file: self.file,
            at,
        }
    }
}

/// Where the cells of a record stand that are not empty, in their order.
pub(super) type Places = SmallVec<[At; 24]>;

/// Where a reader stands in a cell.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Stand {
    Begin,
    Plain,
    /// Behind a quote that opened the cell.
    Inside,
    /// Behind the quote that closed it, or the first of two that stand for one.
    Shut,
}

impl Stand {
    fn past(self, byte: u8, delimiter: u8) -> Stand {
        match (self, byte) {
            (Stand::Begin | Stand::Shut, b'"') => Stand::Inside,
            (Stand::Inside, b'"') => Stand::Shut,
            (Stand::Inside, _) => Stand::Inside,
            (_, byte) if byte == delimiter || matches!(byte, b'\n' | b'\r') => Stand::Begin,
            _ => Stand::Plain,
        }
    }
}

/// A walk through a record, from cell to cell.
pub(super) struct Walk<'r, 't> {
    rows: &'r Rows<'t>,
    /// The number of the cell, its first byte, and the line and column that stands on.
    index: usize,
    begin: usize,
    line: usize,
    column: usize,
}

impl Walk<'_, '_> {
    /// Where a cell stands that lies no further back than the last one asked for.
    pub fn place(&mut self, wanted: usize) -> Place {
        let bytes = self.rows.text.as_bytes();
        let (mut line, mut column) = (self.line, self.column);
        let mut stand = Stand::Begin;
        let mut end = bytes.len();
        let rest = bytes.get(self.begin..).unwrap_or(&[]);
        for (at, byte) in (self.begin..).zip(rest.iter().copied()) {
            let over = matches!(byte, b'\n' | b'\r');
            if stand != Stand::Inside && (byte == self.rows.delimiter || over) {
                if self.index == wanted || over {
                    end = at;
                    break;
                }
                self.index += 1;
                self.begin = at + 1;
                (self.line, self.column) = (line, column + 1);
            }
            stand = stand.past(byte, self.rows.delimiter);
            // A character is counted by its first byte.
            column += usize::from(byte & 0xC0 != 0x80);
            if byte == b'\n' {
                line += 1;
                column = 1;
            }
        }
        let number = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
        let at = At {
            line: number(self.line),
            column: number(self.column),
            length: number(end.saturating_sub(self.begin).max(1)),
        };
        Place {
            file: self.rows.file,
            at,
        }
    }
}

/// Where a cell ends that begins behind a mark: at the mark before the delimiter or the end of the
/// line. Nothing where there is another mark in it, or where it goes on on the next line.
fn marked(bytes: &[u8], from: usize, delimiter: u8) -> Option<usize> {
    let mut rest = bytes.get(from..)?.iter();
    let long = rest.position(|byte| matches!(byte, b'"' | b'\n' | b'\r'))?;
    let end = from + long;
    let last = bytes.get(end) == Some(&b'"');
    let behind = bytes.get(end + 1);
    let over = behind.is_none_or(|byte| *byte == delimiter || matches!(byte, b'\n' | b'\r'));
    (last && over).then_some(end)
}

/// Eight bytes of a text, the first lowest; behind its end stand ends of lines.
fn word(bytes: &[u8], at: usize) -> u64 {
    let rest = bytes.get(at..).unwrap_or(&[]);
    if let Some(eight) = rest.first_chunk() {
        return u64::from_le_bytes(*eight);
    }
    let mut eight = [b'\n'; 8];
    for (to, byte) in eight.iter_mut().zip(rest) {
        *to = *byte;
    }
    u64::from_le_bytes(eight)
}

/// A byte eight times.
fn of_eight(byte: u8) -> u64 {
    u64::from_le_bytes([byte; 8])
}

/// Which of eight bytes is one of these, as the high bit of each.
fn is_any(word: u64, wanted: [u8; 4]) -> u64 {
    let low = of_eight(0x7F);
    wanted.iter().fold(0, |found, byte| {
        let differs = word ^ of_eight(*byte);
        // The high bit is set by the sum where any lower one is.
        found | !(((differs & low) + low) | differs | low)
    })
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::{FileId, Rows};

    proptest! {
        /// Cut or parsed, the records are those the csv crate reads.
        #[test]
        fn records_are_those_of_the_csv_crate(text in "([ab é]|abcdefghi|[,;]|,,|,{9}|\"|\"\"|\n|\r\n|\r){0,40}") {
            let mut reader = csv::ReaderBuilder::new();
            let mut reader = reader.has_headers(false).flexible(true).from_reader(text.as_bytes());
            let wanted: Vec<(u64, Vec<String>)> = reader
                .records()
                .map(|record| {
                    let record = record.unwrap();
                    let line = record.position().unwrap().line();
                    (line, record.iter().map(str::to_owned).collect())
                })
                .collect();
            let mut rows = Rows::new(&text, FileId::default(), b',');
            let mut found = Vec::new();
            while rows.next() {
                let cells = (0..rows.len()).map(|number| rows.text(number).to_owned());
                found.push((u64::from(rows.line()), cells.collect::<Vec<String>>()));
                prop_assert_eq!(rows.places().len(), rows.said().count());
                for ((number, _), at) in rows.said().zip(rows.places()) {
                    prop_assert_eq!(at, rows.place(number).at);
                }
                // A record that is read again stands where it stood.
                let from = (rows.start(), rows.line());
                let mut again = Rows::again(&text, FileId::default(), b',', from);
                prop_assert!(again.next());
                prop_assert_eq!(again.places(), rows.places());
                prop_assert_eq!(again.line(), rows.line());
            }
            let cells = |all: &[(u64, Vec<String>)]| -> Vec<Vec<String>> {
                all.iter().map(|(_, cells)| cells.clone()).collect()
            };
            prop_assert_eq!(cells(&found), cells(&wanted));
        }
    }
}
