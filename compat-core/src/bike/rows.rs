//! The records of a CSV text, with where each cell stands.
//!
//! The parser is the core of the csv crate; it says nothing of places, so those are found by
//! walking a record again, which only a fault and the first of equal lines ever need.

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
    cells: usize,
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
            cells: 0,
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
        let ends = self.ends.get(..self.cells).unwrap_or(&[]);
        let all = ends.last().copied().unwrap_or(0);
        let mut begin = 0;
        // Behind the last cell that says something there is nothing to look at.
        let spans = ends.iter().enumerate().map_while(move |(number, end)| {
            let from = std::mem::replace(&mut begin, *end);
            (from < all).then_some((number, from, *end))
        });
        spans
            .filter(|(_, from, to)| from != to)
            .filter_map(|(number, from, to)| Some((number, self.output.get(from..to)?)))
    }

    /// The text of a cell. The whole file was read as text before, so every cell is.
    pub fn text(&self, number: usize) -> &str {
        let begin = match number.checked_sub(1) {
            Some(before) => self.ends.get(before).copied().unwrap_or(0),
            None => 0,
        };
        let end = self
            .ends
            .get(number)
            .filter(|_| number < self.cells)
            .copied()
            .unwrap_or(begin);
        self.output.get(begin..end).map_or("", cell_text)
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
