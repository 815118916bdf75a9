//! From the bytes of a text file to rows, a line at a time.
//!
//! In: bytes. Out: rows of cells in bounded memory, whatever the bytes are. UTF-8 is read as it is; what else programs
//! write is told by a byte-order mark (Unicode Standard 17, 23.8), or else by its looks (`common practice`): every
//! second byte NUL is UTF-16; a line that is not UTF-8 is read as Windows-1252 (WHATWG Encoding Standard).
//! A quotation mark that is not closed costs its line. Not here: what cells mean, which delimiter it is (`head`).

mod decode;
mod lines;
mod replaced;

use crate::error::{Fault, LogError, Note};
use crate::mapping::Delimiter;
use crate::rows::{Row, RowSource};
use decode::Decoded;
use lines::{Line, Lines};
pub use replaced::replaced;
use std::io::Read;

/// Rows of a text whose delimiter is known.
pub(crate) struct TextRows<R> {
    lines: Lines<Decoded<R>>,
    delimiter: Delimiter,
    file: String,
    notes: Vec<Note>,
    lost: u64,
    /// Lines taken before the delimiter was known.
    waiting: std::collections::VecDeque<(u64, String)>,
    latin: bool,
}

impl<R: Read> TextRows<R> {
    /// Opens a text and looks at its first lines, at most `most` of them.
    pub(crate) fn open(
        reader: R,
        file: &str,
        most: usize,
    ) -> Result<(Self, Vec<(u64, String)>), LogError> {
        let (decoded, encoding) = Decoded::open(reader, file)?;
        let mut rows = Self {
            lines: Lines::new(decoded),
            delimiter: Delimiter::Comma,
            file: file.to_owned(),
            notes: Vec::new(),
            lost: 0,
            waiting: std::collections::VecDeque::new(),
            latin: false,
        };
        if let Some(encoding) = encoding {
            rows.notes
                .push(Note::at(1, format!("the file is in {encoding}")));
        }
        let mut head = Vec::new();
        while head.len() < most {
            let mut text = String::new();
            match rows.line(&mut text)? {
                Some(line) => head.push((line, text)),
                None => break,
            }
        }
        rows.waiting = head.iter().cloned().collect();
        Ok((rows, head))
    }

    pub(crate) fn set_delimiter(&mut self, delimiter: Delimiter) {
        self.delimiter = delimiter;
    }

    /// Takes the next line that is text; none at the end.
    fn line(&mut self, into: &mut String) -> Result<Option<u64>, LogError> {
        loop {
            let met = self.lines.next(into).map_err(|error| LogError {
                fault: Fault::Unreadable,
                file: self.file.clone(),
                line: Some(self.lines.number()),
                what: format!("reading stopped: {error}"),
                remedy: "copy the file from the meter again".into(),
            })?;
            let number = self.lines.number();
            match met {
                Line::End => return Ok(None),
                Line::Text => return Ok(Some(number)),
                Line::Latin => {
                    if !self.latin {
                        self.latin = true;
                        self.notes.push(Note::at(
                            number,
                            "bytes that are not UTF-8 were read as Windows-1252",
                        ));
                    }
                    return Ok(Some(number));
                }
                Line::Nul => self.lose(
                    number,
                    "the line holds NUL bytes, as after a power cut while writing; it was left out",
                ),
                Line::TooLong => self.lose(
                    number,
                    "the line is longer than 64 KiB and was left out: it is no row of a log",
                ),
                Line::Cut => {
                    // Text before a table is no row that was lost.
                    self.lose(
                        number,
                        "the last line has no line end and may be cut inside a number; it was left out",
                    );
                }
            }
        }
    }

    fn lose(&mut self, line: u64, what: &str) {
        self.lost += 1;
        if !self.notes.iter().any(|note| note.what == what) {
            self.notes.push(Note::at(line, what).remedied(
                "if the line is whole, end it with a line break, or copy the file from the meter again",
            ));
        }
    }
}

impl<R: Read> RowSource for TextRows<R> {
    fn next_row(&mut self, row: &mut Row) -> Result<bool, LogError> {
        if let Some((line, text)) = self.waiting.pop_front() {
            split(line, &text, self.delimiter, row);
            return Ok(true);
        }
        let mut text = std::mem::take(&mut self.lines.text);
        let line = self.line(&mut text)?;
        if let Some(line) = line {
            split(line, &text, self.delimiter, row);
        }
        self.lines.text = text;
        Ok(line.is_some())
    }

    fn bytes(&self) -> u64 {
        self.lines.bytes()
    }

    fn notes(&mut self) -> Vec<Note> {
        std::mem::take(&mut self.notes)
    }

    fn lost(&mut self) -> u64 {
        std::mem::take(&mut self.lost)
    }
}

/// Splits one line into cells.
pub(crate) fn split(line: u64, text: &str, delimiter: Delimiter, row: &mut Row) {
    if text.contains('"') && split_quoted(line, text, delimiter, row).is_some() {
        return;
    }
    row.take(line, text);
    let mut start = 0;
    if delimiter == Delimiter::Blanks {
        for word in text.split_ascii_whitespace() {
            let at = text[start..]
                .find(word)
                .map_or(start, |found| start + found);
            row.mark(at, at + word.len());
            start = at + word.len();
        }
        return;
    }
    let byte = delimiter.byte();
    for (at, _) in text.bytes().enumerate().filter(|(_, found)| *found == byte) {
        row.mark(start, at);
        start = at + 1;
    }
    row.mark(start, text.len());
}

fn split_quoted(line: u64, text: &str, delimiter: Delimiter, row: &mut Row) -> Option<()> {
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(delimiter.byte())
        .has_headers(false)
        .flexible(true)
        .buffer_capacity(text.len().max(1))
        .from_reader(text.as_bytes());
    let mut record = csv::StringRecord::new();
    row.clear(line);
    if !reader.read_record(&mut record).ok()? {
        return None;
    }
    for cell in &record {
        row.push(cell);
    }
    Some(())
}
