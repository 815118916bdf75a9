//! Bytes in any encoding that meters write, as bytes of UTF-8 or Windows-1252.
//!
//! In: a reader. Out: a reader without byte-order mark, UTF-16 decoded as it goes. Not here: lines.

use crate::error::{Fault, LogError};
use encoding_rs::{CoderResult, Decoder, UTF_16BE, UTF_16LE};
use std::io::{self, Read};

/// Bytes from the beginning that tell the encoding.
const LOOKED_AT: usize = 4096;

/// Bytes taken from the reader at a time.
const TAKEN: usize = 65_536;

/// A reader of decoded bytes.
pub(super) struct Decoded<R> {
    reader: R,
    decoder: Option<Decoder>,
    /// Bytes as they came and were not given yet.
    raw: Vec<u8>,
    raw_at: usize,
    text: String,
    text_at: usize,
    ended: bool,
}

/// Beginnings of files that people hand in by mistake, and what they are.
const NOT_TEXT: [(&[u8], &str); 6] = [
    (b"PK\x03\x04", "a workbook or another ZIP archive"),
    (b"\xd0\xcf\x11\xe0", "an old workbook"),
    (b"\x1f\x8b", "a gzip archive"),
    (b"%PDF", "a PDF"),
    (b"\x89PNG", "a picture"),
    (b"\x89HDF", "an HDF5 file"),
];

impl<R: Read> Decoded<R> {
    /// Looks at the first bytes; returns the name of an encoding that is worth telling.
    pub(super) fn open(
        mut reader: R,
        file: &str,
    ) -> Result<(Self, Option<&'static str>), LogError> {
        let refused = |fault, what: String, remedy: &str| LogError {
            fault,
            file: file.to_owned(),
            line: None,
            what,
            remedy: remedy.to_owned(),
        };
        let mut raw = vec![0; LOOKED_AT];
        let mut filled = 0;
        while filled < LOOKED_AT {
            match reader.read(&mut raw[filled..]) {
                Ok(0) => break,
                Ok(read) => filled += read,
                Err(error) if error.kind() == io::ErrorKind::Interrupted => {}
                Err(error) => {
                    return Err(refused(
                        Fault::Unreadable,
                        format!("reading stopped: {error}"),
                        "copy the file from the meter again",
                    ));
                }
            }
        }
        raw.truncate(filled);
        if raw.is_empty() {
            return Err(refused(
                Fault::Empty,
                "the file is empty".into(),
                "export the log from the meter again",
            ));
        }
        if let Some((_, what)) = NOT_TEXT.iter().find(|(magic, _)| raw.starts_with(magic)) {
            return Err(refused(
                Fault::NotText,
                format!("the file is {what}, not text"),
                "name a workbook as .xlsx, or save the log as CSV",
            ));
        }
        let (skipped, encoding, name) = encoding(&raw);
        if encoding.is_none() && raw.iter().all(|byte| *byte == 0) {
            return Err(refused(
                Fault::NotText,
                "the file begins with nothing but NUL bytes".into(),
                "the meter reserved the space and wrote nothing, or the copy is sparse: copy it again",
            ));
        }
        let decoded = Self {
            reader,
            decoder: encoding.map(encoding_rs::Encoding::new_decoder_without_bom_handling),
            raw,
            raw_at: skipped,
            text: String::new(),
            text_at: 0,
            ended: false,
        };
        Ok((decoded, name))
    }

    /// Takes more raw bytes; `false` at the end.
    fn refill(&mut self) -> io::Result<bool> {
        self.raw.resize(TAKEN, 0);
        let read = self.reader.read(&mut self.raw)?;
        self.raw.truncate(read);
        self.raw_at = 0;
        self.ended = read == 0;
        Ok(read > 0)
    }

    fn decode(&mut self) -> io::Result<()> {
        self.text.clear();
        self.text_at = 0;
        let Some(decoder) = &mut self.decoder else {
            return Ok(());
        };
        while self.text.is_empty() {
            if self.raw_at == self.raw.len() {
                if self.ended {
                    return Ok(());
                }
                self.raw.resize(TAKEN, 0);
                let read = self.reader.read(&mut self.raw)?;
                self.raw.truncate(read);
                self.raw_at = 0;
                self.ended = read == 0;
            }
            let raw = &self.raw[self.raw_at..];
            let room = decoder
                .max_utf8_buffer_length(raw.len())
                .unwrap_or(4 * TAKEN);
            self.text.reserve(room);
            let (result, read, _) = decoder.decode_to_string(raw, &mut self.text, self.ended);
            self.raw_at += read;
            if self.ended && result == CoderResult::InputEmpty {
                self.raw_at = self.raw.len();
                return Ok(());
            }
        }
        Ok(())
    }
}

impl<R: Read> Read for Decoded<R> {
    fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
        let from = if self.decoder.is_some() {
            if self.text_at == self.text.len() {
                self.decode()?;
            }
            &self.text.as_bytes()[self.text_at..]
        } else {
            if self.raw_at == self.raw.len() && !self.refill()? {
                return Ok(0);
            }
            &self.raw[self.raw_at..]
        };
        let given = from.len().min(into.len());
        into[..given].copy_from_slice(&from[..given]);
        if self.decoder.is_some() {
            self.text_at += given;
        } else {
            self.raw_at += given;
        }
        Ok(given)
    }
}

type Told = (
    usize,
    Option<&'static encoding_rs::Encoding>,
    Option<&'static str>,
);

/// Returns the length of the byte-order mark, what decodes the rest, and its name.
fn encoding(raw: &[u8]) -> Told {
    if raw.starts_with(&[0xff, 0xfe]) {
        return (2, Some(UTF_16LE), Some("UTF-16"));
    }
    if raw.starts_with(&[0xfe, 0xff]) {
        return (2, Some(UTF_16BE), Some("UTF-16"));
    }
    if raw.starts_with(&[0xef, 0xbb, 0xbf]) {
        return (3, None, None);
    }
    // Text of mostly Latin letters has NUL in every second byte, and none in the others.
    let nuls = |odd: usize| raw.iter().skip(odd).step_by(2).filter(|b| **b == 0).count();
    let (high, low, units) = (nuls(0), nuls(1), raw.len() / 2);
    match (high, low) {
        (0, n) if units > 1 && 2 * n > units => (0, Some(UTF_16LE), Some("UTF-16")),
        (n, 0) if units > 1 && 2 * n > units => (0, Some(UTF_16BE), Some("UTF-16")),
        _ => (0, None, None),
    }
}
