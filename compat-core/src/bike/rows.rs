//! The records of a CSV text, with where each cell stands.
//!
//! A record without a quote is cut where its delimiters stand; any other is left to the core of the csv
//! crate. That says nothing of places, so those are found by walking a record again, which only a fault
//! and the first of equal lines ever need.

use crate::text::{At, FileId, Place};

/// The records of a text, one after the other.
pub(super) struct Rows<'t> {
    text: &'t str,
    file: FileId,
    delimiter: u8,
    core: csv_core::Reader,
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
            core: csv_core::ReaderBuilder::new().delimiter(delimiter).build(),
            at: 0,
            blank: 0,
            output: vec![0; 4096],
            ends: vec![0; 256],
            said: Vec::new(),
            cells: 0,
            copied: false,
            start: 0,
            line: 1,
        }
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
        self.line = usize::try_from(self.core.line()).unwrap_or(0) + self.blank;
        self.said.clear();
        self.copied = !self.cut();
        !self.copied || self.parse()
    }

    /// Cuts a record at its delimiters; false where it holds a quote, and nothing is done.
    fn cut(&mut self) -> bool {
        let bytes = self.text.as_bytes().get(self.start..).unwrap_or(&[]);
        let (mut number, mut from) = (0, 0);
        let mut end = bytes.len();
        for (at, byte) in bytes.iter().enumerate() {
            if *byte == self.delimiter {
                if from != at {
                    self.said.push((number, self.start + from, self.start + at));
                }
                number += 1;
                from = at + 1;
            } else if *byte <= b'"' && matches!(byte, b'\n' | b'\r' | b'"') {
                if *byte == b'"' {
                    self.said.clear();
                    return false;
                }
                end = at;
                break;
            }
        }
        if from != end {
            self.said
                .push((number, self.start + from, self.start + end));
        }
        self.cells = number + 1;
        self.at = self.start + end;
        true
    }

    /// Has a record parsed; false where there is none.
    fn parse(&mut self) -> bool {
        let bytes = self.text.as_bytes();
        let (mut out, mut end) = (0, 0);
        loop {
            let input = bytes.get(self.at..).unwrap_or(&[]);
            let output = self.output.get_mut(out..).unwrap_or(&mut []);
            let ends = self.ends.get_mut(end..).unwrap_or(&mut []);
            let (result, read, wrote, ended) = self.core.read_record(input, output, ends);
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

    /// The line the record begins on, from 1.
    pub fn line(&self) -> u32 {
        u32::try_from(self.line).unwrap_or(u32::MAX)
    }

    /// The cells that are not empty, each with its number.
    pub fn said(&self) -> impl Iterator<Item = (usize, &[u8])> {
        let bytes = match self.copied {
            true => self.output.as_slice(),
            false => self.text.as_bytes(),
        };
        let cell = |(number, from, to): &(usize, usize, usize)| {
            bytes.get(*from..*to).map(|cell| (*number, cell))
        };
        self.said.iter().filter_map(cell)
    }

    /// The text of a cell. The whole file was read as text before, so every cell is.
    pub fn text(&self, wanted: usize) -> &str {
        let mut said = self.said();
        let found = said.find(|(number, _)| *number == wanted);
        found.map_or("", |(_, cell)| cell_text(cell))
    }

    /// True where the last record holds a quote that is opened and never closed: it swallows the
    /// rest of the file without a word from the parser.
    pub fn open_quote(&self) -> Option<Place> {
        let tail = self.text.get(self.start..).unwrap_or("");
        let odd = tail.bytes().filter(|byte| *byte == b'"').count() % 2 == 1;
        odd.then(|| self.place_of(self.start + tail.rfind('"').unwrap_or(0), 1))
    }

    /// Where a cell of the record stands.
    pub fn place(&self, wanted: usize) -> Place {
        let mut walk = self.walk();
        walk.place(wanted)
    }

    /// Walks through the record once, for the places of several of its cells.
    pub fn walk(&self) -> Walk<'_, 't> {
        Walk {
            rows: self,
            index: 0,
            begin: self.start,
        }
    }

    /// The place of a byte of the record.
    fn place_of(&self, byte: usize, length: usize) -> Place {
        let before = self.text.get(self.start..byte).unwrap_or("");
        let begin = self
            .text
            .get(..byte)
            .and_then(|text| text.rfind('\n'))
            .map_or(0, |at| at + 1);
        let column = self.text.get(begin..byte).unwrap_or("").chars().count() + 1;
        let number = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
        let line = self.line + before.matches('\n').count();
        let at = At {
            line: number(line),
            column: number(column),
            length: number(length.max(1)),
        };
        Place {
            file: self.file,
            at,
        }
    }
}

/// A walk through a record, from cell to cell.
pub(super) struct Walk<'r, 't> {
    rows: &'r Rows<'t>,
    index: usize,
    begin: usize,
}

impl Walk<'_, '_> {
    /// Where a cell stands that lies no further back than the last one asked for.
    pub fn place(&mut self, wanted: usize) -> Place {
        let text = self.rows.text;
        let mut quoted = false;
        for (at, letter) in text.bytes().enumerate().skip(self.begin) {
            let line = matches!(letter, b'\n' | b'\r');
            if letter == b'"' {
                quoted = !quoted;
            } else if !quoted && (letter == self.rows.delimiter || line) {
                if self.index == wanted {
                    return self.rows.place_of(self.begin, at - self.begin);
                }
                if line {
                    break;
                }
                self.index += 1;
                self.begin = at + 1;
            }
        }
        let length = text.len().saturating_sub(self.begin);
        self.rows.place_of(self.begin, length)
    }
}

/// The text of a cell.
pub(super) fn cell_text(cell: &[u8]) -> &str {
    match cell {
        [] => "",
        _ => std::str::from_utf8(cell).unwrap_or(""),
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::{FileId, Rows};

    proptest! {
        /// Cut or parsed, the records are those the csv crate reads.
        #[test]
        fn records_are_those_of_the_csv_crate(text in "([ab é]|[,;]|,,|\"|\"\"|\n|\r\n|\r){0,40}") {
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
            }
            let cells = |all: &[(u64, Vec<String>)]| -> Vec<Vec<String>> {
                all.iter().map(|(_, cells)| cells.clone()).collect()
            };
            prop_assert_eq!(cells(&found), cells(&wanted));
        }
    }
}
