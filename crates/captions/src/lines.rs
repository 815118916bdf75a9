//! Lines of a text with their places.
//!
//! In: text. Out: each line without its end, however it ends (CRLF, LF or CR, mixed freely). Not here: what lines
//! mean. Source: WebVTT, parser step 1.

use std::ops::Range;

/// The lines of a text; a line break at the very end begins no further line.
pub(crate) fn lines(text: &str) -> Vec<Range<usize>> {
    let bytes = text.as_bytes();
    let (mut found, mut start, mut at) = (Vec::new(), 0, 0);
    while at < bytes.len() {
        let end = at;
        at += 1;
        match bytes[end] {
            b'\r' if bytes.get(at) == Some(&b'\n') => at += 1,
            b'\r' | b'\n' => {}
            _ => continue,
        }
        found.push(start..end);
        start = at;
    }
    if start < bytes.len() {
        found.push(start..bytes.len());
    }
    found
}
