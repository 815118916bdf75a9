//! Lines of bytes, each no longer than a row of a log can be.
//!
//! In: a reader. Out: one line at a time, and whether it is text. A line that is too long is read past without being
//! kept, so memory stays bounded for a file without line ends. Not here: cells.

use encoding_rs::WINDOWS_1252;
use std::borrow::Cow;
use std::io::{self, BufRead, BufReader, Read};

/// Longest line that is kept, in bytes.
pub(crate) const LONGEST_LINE: usize = 65_536;

/// Bytes that tell which line end the file has.
const BUFFER: usize = 131_072;

/// What a line is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Line {
    /// UTF-8.
    Text,
    /// Not UTF-8, read as Windows-1252.
    Latin,
    /// With NUL bytes.
    Nul,
    /// Longer than is kept.
    TooLong,
    /// The last one, without a line end.
    Cut,
    /// None is left.
    End,
}

/// Lines of a reader.
pub(super) struct Lines<R> {
    reader: BufReader<R>,
    end: Option<u8>,
    line: Vec<u8>,
    number: u64,
    bytes: u64,
    /// A buffer for the text of a line, kept between lines.
    pub(super) text: String,
}

impl<R: Read> Lines<R> {
    pub(super) fn new(reader: R) -> Self {
        Self {
            reader: BufReader::with_capacity(BUFFER, reader),
            end: None,
            line: Vec::new(),
            number: 0,
            bytes: 0,
            text: String::new(),
        }
    }

    /// Returns the number of the line that was taken last, from 1.
    pub(super) fn number(&self) -> u64 {
        self.number
    }

    pub(super) fn bytes(&self) -> u64 {
        self.bytes
    }

    /// Takes the next line without its end.
    pub(super) fn next(&mut self, into: &mut String) -> io::Result<Line> {
        into.clear();
        self.line.clear();
        let end = self.line_end()?;
        let (mut read, mut ended, mut too_long) = (0_u64, false, false);
        while !ended {
            let buffer = match self.reader.fill_buf() {
                Ok(buffer) => buffer,
                Err(error) if error.kind() == io::ErrorKind::Interrupted => continue,
                Err(error) => return Err(error),
            };
            if buffer.is_empty() {
                break;
            }
            let found = buffer.iter().position(|byte| *byte == end);
            let taken = found.map_or(buffer.len(), |at| at + 1);
            ended = found.is_some();
            too_long |= self.line.len() + taken > LONGEST_LINE;
            if !too_long {
                self.line.extend_from_slice(&buffer[..taken]);
            }
            self.reader.consume(taken);
            read += taken as u64;
        }
        self.bytes += read;
        if read == 0 {
            return Ok(Line::End);
        }
        self.number += 1;
        if too_long {
            return Ok(Line::TooLong);
        }
        if ended {
            self.line.pop();
        }
        if self.line.last() == Some(&b'\r') {
            self.line.pop();
        }
        if self.line.contains(&0) {
            return Ok(Line::Nul);
        }
        if !ended && !self.line.trim_ascii().is_empty() {
            return Ok(Line::Cut);
        }
        let (text, is_utf8) = text_of(&self.line);
        into.push_str(&text);
        Ok(if is_utf8 { Line::Text } else { Line::Latin })
    }

    /// A carriage return ends lines where there is no line feed at the beginning of the file.
    fn line_end(&mut self) -> io::Result<u8> {
        if let Some(end) = self.end {
            return Ok(end);
        }
        let buffer = self.reader.fill_buf()?;
        let end = if !buffer.contains(&b'\n') && buffer.contains(&b'\r') {
            b'\r'
        } else {
            b'\n'
        };
        self.end = Some(end);
        Ok(end)
    }
}

/// Returns a line as text, and whether it is UTF-8; what is not is Windows-1252.
pub(super) fn text_of(line: &[u8]) -> (Cow<'_, str>, bool) {
    match std::str::from_utf8(line) {
        Ok(text) => (Cow::Borrowed(text), true),
        Err(_) => (WINDOWS_1252.decode_without_bom_handling(line).0, false),
    }
}
