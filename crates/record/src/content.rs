//! What the first bytes of a file say it is, whatever its name says.
//!
//! In: the first bytes of a file. Out: a picture, something else with its name, or unknown.
//! Not here: whether a picture is sound (`imaging`).

/// Bytes to look at; more tell nothing more.
pub const LOOKED_AT: usize = 4096;

/// What a file seems to be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Content {
    /// A picture of a known format.
    Picture,
    /// Something that is surely not a picture, with its article: `a web page`.
    Other(&'static str),
    /// Nothing known: a camera's own format perhaps, or the bytes were not looked at.
    Unknown,
}

/// Returns what the first [`LOOKED_AT`] bytes of a file say it is.
pub fn content_of(first: &[u8]) -> Content {
    if first.is_empty() {
        return Content::Other("an empty file");
    }
    if first.starts_with(b"%PDF-") {
        return Content::Other("a PDF document");
    }
    if first.starts_with(b"PK\x03\x04") {
        return Content::Other("a ZIP archive or an office document");
    }
    let text = text_of(first).map(|t| t.trim_start().to_lowercase());
    match text {
        Some(text) if text.starts_with('<') => Content::Other(if text.contains("<svg") {
            "an SVG drawing"
        } else if text.contains("<html") || text.contains("<!doctype html") {
            "a web page (HTML)"
        } else {
            "a text in XML or HTML"
        }),
        _ if imagesize::image_type(first).is_ok() => Content::Picture,
        Some(_) => Content::Other("a text"),
        None => Content::Unknown,
    }
}

/// Returns the bytes as text where they are one: UTF-8 without control characters, cut anywhere.
fn text_of(bytes: &[u8]) -> Option<&str> {
    let bytes = bytes.strip_prefix(&[0xef, 0xbb, 0xbf]).unwrap_or(bytes);
    let text = match std::str::from_utf8(bytes) {
        Ok(text) => text,
        Err(e) if e.error_len().is_none() => {
            std::str::from_utf8(&bytes[..e.valid_up_to()]).unwrap_or_default()
        }
        Err(_) => return None,
    };
    let steers = |c: char| c.is_control() && !matches!(c, '\n' | '\r' | '\t' | '\u{c}');
    (!text.is_empty() && !text.contains(steers)).then_some(text)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn content_is_told_whatever_the_name_says() {
        let page = b"\xef\xbb\xbf \n<!DOCTYPE html><html><body>not found</body></html>";
        for (bytes, is) in [
            (&page[..], Content::Other("a web page (HTML)")),
            (b"<svg xmlns='x'/>", Content::Other("an SVG drawing")),
            (
                b"<?xml version='1.0'?><a/>",
                Content::Other("a text in XML or HTML"),
            ),
            (b"", Content::Other("an empty file")),
            (b"%PDF-1.7", Content::Other("a PDF document")),
            (
                b"PK\x03\x04\x14",
                Content::Other("a ZIP archive or an office document"),
            ),
            (b"404 Gr\xc3\xb6\xc3", Content::Other("a text")),
            (
                b"\x89PNG\r\n\x1a\n\0\0\0\x0dIHDR\0\0\0\x01\0\0\0\x01",
                Content::Picture,
            ),
            (
                b"\xff\xd8\xff\xe0\0\x10JFIF\0\x01\x01\0\0\x01\0\x01\0\0",
                Content::Picture,
            ),
            (b"GIF89a\x01\0\x01\0\0\0\0;", Content::Picture),
            (b"\0\x01\x02camera's own\xfe", Content::Unknown),
        ] {
            assert_eq!(content_of(bytes), is, "{bytes:?}");
        }
    }
}
