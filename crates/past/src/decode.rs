//! Bytes as text.
//!
//! In: bytes. Out: text. Marks of order are followed, then what a page says of itself, then UTF-8, then
//! Windows-1252, in which every byte has a meaning. Not here: forms.
//! Source: the WHATWG Encoding Standard through `encoding_rs`; a page's own words are looked for in its first 1,024
//! bytes, as the HTML Standard says.

use crate::PastError;
use encoding_rs::{Encoding, UTF_8, WINDOWS_1252};

/// In how many bytes a page says its encoding.
const LOOKED: usize = 1024;

pub(crate) fn decode(bytes: &[u8], page: bool) -> Result<String, PastError> {
    let told = Encoding::for_bom(bytes).map(|(encoding, _)| encoding);
    let told = told.or_else(|| page.then(|| declared(bytes)).flatten());
    let text = match told {
        Some(encoding) => {
            let (text, _, lost) = encoding.decode(bytes);
            if lost {
                return Err(PastError::Encoding {
                    encoding: encoding.name(),
                });
            }
            text
        }
        None => {
            let (text, _, lost) = UTF_8.decode(bytes);
            match lost {
                true => WINDOWS_1252.decode(bytes).0,
                false => text,
            }
        }
    };
    let steers = |c: char| c.is_control() && !matches!(c, '\n' | '\r' | '\t' | '\u{c}' | '\u{85}');
    match text.find(|c| steers(c) && (c as u32) < 0x20) {
        Some(at) => Err(PastError::Binary { at }),
        None => Ok(text.replace("\r\n", "\n").replace('\r', "\n")),
    }
}

/// The encoding that a page names.
fn declared(bytes: &[u8]) -> Option<&'static Encoding> {
    let head = String::from_utf8_lossy(&bytes[..bytes.len().min(LOOKED)]).to_ascii_lowercase();
    let (_, rest) = head.split_once("charset")?;
    let rest = rest.trim_start().strip_prefix('=')?;
    let rest = rest.trim_start_matches([' ', '"', '\'']);
    let name: String = rest
        .chars()
        .take_while(|c| c.is_ascii_alphanumeric() || matches!(c, '-' | '_'))
        .collect();
    let encoding = Encoding::for_label(name.as_bytes())?;
    // A page that could say so in these bytes is not in 16 bits.
    Some(match encoding.name().starts_with("UTF-16") {
        true => UTF_8,
        false => encoding,
    })
}
