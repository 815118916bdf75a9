//! From the bytes of a text table to bytes that are UTF-8 wherever the author wrote UTF-8.
//!
//! Single cells that are not UTF-8 are found later, so that they cost only their row.
//!
//! What programs write besides UTF-8 is told by a byte-order mark (Unicode Standard 17, 23.8), or else by
//! its looks (`common practice`): every second byte NUL is UTF-16; bytes beyond ASCII that are nowhere UTF-8
//! are Windows-1252, decoded as the Encoding Standard (WHATWG, index windows-1252) says.

use crate::Remark;
use encoding_rs::{Encoding, UTF_16BE, UTF_16LE, WINDOWS_1252};
use std::borrow::Cow;

/// Bytes from the beginning that tell UTF-16 without a mark.
const LOOKED_AT: usize = 4096;

/// Whose file it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Author {
    /// Our own form, which is UTF-8: anything else is damage.
    Own,
    /// Somebody's program.
    Foreign,
}

/// Returns the bytes without byte-order mark, other encodings turned into UTF-8.
pub(super) fn text<'a>(
    bytes: &'a [u8],
    file: &str,
    author: Author,
) -> Result<(Cow<'a, [u8]>, Vec<Remark>), Remark> {
    if let Some(rest) = bytes.strip_prefix(&[0xff, 0xfe]) {
        return utf16(rest, UTF_16LE, file);
    }
    if let Some(rest) = bytes.strip_prefix(&[0xfe, 0xff]) {
        return utf16(rest, UTF_16BE, file);
    }
    if bytes.starts_with(b"PK\x03\x04") {
        return Err(Remark::file(
            file,
            "the file is a workbook or another ZIP archive, not text",
            "save the sheet as CSV UTF-8, or import it as a workbook",
        ));
    }
    if let (Author::Foreign, Some(order)) = (author, unmarked_utf16(bytes)) {
        return utf16(bytes, order, file);
    }
    if let Some(at) = bytes.iter().position(|b| *b == 0) {
        return Err(Remark::file(
            file,
            format!("the file holds a NUL byte at byte {at}; it is not text"),
            "save it as CSV UTF-8",
        ));
    }
    if let Some(rest) = bytes.strip_prefix(&[0xef, 0xbb, 0xbf]) {
        return Ok((Cow::Borrowed(rest), Vec::new()));
    }
    if author == Author::Foreign && is_nowhere_utf8(bytes) {
        let (text, _) = WINDOWS_1252.decode_without_bom_handling(bytes);
        let text = Cow::Owned(text.into_owned().into_bytes());
        return Ok((text, vec![read_as("Windows-1252", file)]));
    }
    Ok((Cow::Borrowed(bytes), Vec::new()))
}

fn read_as(encoding: &str, file: &str) -> Remark {
    Remark::note(
        file,
        0,
        format!("the file is in {encoding}"),
        "it was read; save it as UTF-8",
    )
}

/// Tells the byte order of UTF-16 without a mark: text of mostly Latin letters has NUL in every second byte.
fn unmarked_utf16(bytes: &[u8]) -> Option<&'static Encoding> {
    let start = &bytes[..bytes.len().min(LOOKED_AT)];
    let nuls = |odd: usize| start.iter().skip(odd).step_by(2).filter(|b| **b == 0);
    let (high, low) = (nuls(0).count(), nuls(1).count());
    let units = start.len() / 2;
    match (high, low) {
        _ if bytes.len() % 2 == 1 || units < 2 => None,
        (0, n) if 2 * n > units => Some(UTF_16LE),
        (n, 0) if 2 * n > units => Some(UTF_16BE),
        _ => None,
    }
}

/// Whether bytes beyond ASCII are there and none of them is part of a UTF-8 character.
fn is_nowhere_utf8(bytes: &[u8]) -> bool {
    let mut damaged = false;
    for chunk in bytes.utf8_chunks() {
        if !chunk.valid().is_ascii() {
            return false;
        }
        damaged |= !chunk.invalid().is_empty();
    }
    damaged
}

fn utf16<'a>(
    bytes: &[u8],
    order: &'static Encoding,
    file: &str,
) -> Result<(Cow<'a, [u8]>, Vec<Remark>), Remark> {
    match order.decode_without_bom_handling_and_without_replacement(bytes) {
        Some(text) if !text.contains('\0') => Ok((
            Cow::Owned(text.into_owned().into_bytes()),
            vec![read_as("UTF-16", file)],
        )),
        _ => Err(Remark::file(
            file,
            "the file begins like UTF-16 and is not",
            "save it as CSV UTF-8",
        )),
    }
}
