//! From the bytes of a text table to bytes that are UTF-8 wherever the author wrote UTF-8.
//!
//! Single cells that are not UTF-8 are found later, so that they cost only their row.

use crate::Remark;
use std::borrow::Cow;

/// Returns the bytes without byte-order mark, UTF-16 turned into UTF-8.
pub(super) fn text<'a>(
    bytes: &'a [u8],
    file: &str,
) -> Result<(Cow<'a, [u8]>, Vec<Remark>), Remark> {
    if let Some(rest) = bytes.strip_prefix(&[0xff, 0xfe]) {
        return utf16(rest, u16::from_le_bytes, file);
    }
    if let Some(rest) = bytes.strip_prefix(&[0xfe, 0xff]) {
        return utf16(rest, u16::from_be_bytes, file);
    }
    if bytes.starts_with(b"PK\x03\x04") {
        return Err(Remark::file(
            file,
            "the file is a workbook or another ZIP archive, not text",
            "save the sheet as CSV UTF-8, or import it as a workbook",
        ));
    }
    if let Some(at) = bytes.iter().position(|b| *b == 0) {
        return Err(Remark::file(
            file,
            format!("the file holds a NUL byte at byte {at}; it is not text"),
            "save it as CSV UTF-8",
        ));
    }
    let bytes = bytes.strip_prefix(&[0xef, 0xbb, 0xbf]).unwrap_or(bytes);
    Ok((Cow::Borrowed(bytes), Vec::new()))
}

fn utf16<'a>(
    bytes: &[u8],
    unit: fn([u8; 2]) -> u16,
    file: &str,
) -> Result<(Cow<'a, [u8]>, Vec<Remark>), Remark> {
    let units = bytes
        .chunks(2)
        .map(|pair| unit([pair[0], pair.get(1).copied().unwrap_or(0)]));
    let text: Result<String, _> = char::decode_utf16(units).collect();
    match text {
        Ok(text) if !text.contains('\0') => Ok((
            Cow::Owned(text.into_bytes()),
            vec![Remark::note(
                file,
                0,
                "the file is in UTF-16",
                "it was read; save it as UTF-8",
            )],
        )),
        _ => Err(Remark::file(
            file,
            "the file begins like UTF-16 and is not",
            "save it as CSV UTF-8",
        )),
    }
}
