//! From the bytes of a file to text: encodings, binary files, size.
//!
//! In: bytes and the name they are reported under. Out: text, or what is wrong with the bytes.

use crate::source::Source;
use crate::{Problem, Problems};

/// Largest dossier text accepted, in bytes. A thorough one is a few hundred kilobytes; photographs
/// and logs lie beside it.
pub const LARGEST: u64 = 8 * 1024 * 1024;

/// Turns the bytes of `dossier.toml` into text.
///
/// A UTF-8 byte-order mark is tolerated and kept out of the text.
///
/// # Errors
/// One problem: too large, UTF-16, a NUL byte, not UTF-8 (with the byte offset), empty.
pub fn text_of(bytes: &[u8], file: &str) -> Result<String, Problems> {
    if bytes.len() as u64 > LARGEST {
        return Err(too_large(bytes.len() as u64, file).into());
    }
    if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) {
        return Err(Problem::outside(
            file,
            "the file is in UTF-16 (its first two bytes are a UTF-16 byte-order mark)",
            "save it as UTF-8",
        )
        .into());
    }
    if let Some(at) = bytes.iter().position(|b| *b == 0) {
        return Err(Problem::outside(
            file,
            format!("the file holds a NUL byte at byte {at}; it is not text"),
            "write dossier.toml as UTF-8 text",
        )
        .into());
    }
    let bytes = bytes.strip_prefix(&[0xef, 0xbb, 0xbf]).unwrap_or(bytes);
    let text = match std::str::from_utf8(bytes) {
        Ok(text) => text,
        Err(error) => {
            let at = error.valid_up_to();
            let good = std::str::from_utf8(&bytes[..at]).unwrap_or_default();
            let place = Source::new(good, file).problem(&(at..at), String::new(), String::new());
            return Err(Problem::outside(
                file,
                format!(
                    "the file is not UTF-8: byte {at} (line {}, column {}) is 0x{:02X}",
                    place.line, place.column, bytes[at]
                ),
                "save it as UTF-8",
            )
            .into());
        }
    };
    if text.trim().is_empty() {
        return Err(Problem::outside(
            file,
            "the file is empty",
            "start from the text of a new dossier",
        )
        .into());
    }
    Ok(text.to_string())
}

/// Says that a file is larger than [`LARGEST`].
fn too_large(bytes: u64, file: &str) -> Problem {
    Problem::outside(
        file,
        format!(
            "the file is {} MB; a dossier text may have {} MB at most",
            bytes.div_ceil(1024 * 1024),
            LARGEST / (1024 * 1024)
        ),
        "keep long logs in logs/ and pictures in photos/",
    )
}
