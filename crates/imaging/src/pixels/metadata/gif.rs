//! GIF: written anew as PNG.
//!
//! Comments, texts and private blocks stand anywhere between the pictures of the file, and 256 colours with a
//! transparent one are what a PNG holds without loss. So the first picture is decoded and written as PNG.
//!
//! Format: Graphics Interchange Format, version 89a, sections 15 to 27.

use super::{Cleaned, FileMetadata, Pass, PictureError};
use crate::pixels::{Encoding, Limits, decode, encode};

const EXTENSION: u8 = 0x21;
const PICTURE: u8 = 0x2c;
const COMMENT: u8 = 0xfe;
const PLAIN_TEXT: u8 = 0x01;
const APPLICATION: u8 = 0xff;

pub(super) fn clean(bytes: &[u8]) -> Result<Cleaned, PictureError> {
    let photo = decode(bytes, &Limits::default())?;
    Ok(Cleaned {
        bytes: encode(&photo.picture, Encoding::Png, None, None)?,
        removed: notes(bytes).removed,
    })
}

pub(super) fn find(bytes: &[u8]) -> FileMetadata {
    let pass = notes(bytes);
    FileMetadata {
        orientation: 1,
        tells_place: pass.tells_place,
        notes: pass.removed,
        ..FileMetadata::default()
    }
}

/// Lists what the file tells beside its first picture, as far as its blocks can be followed.
fn notes(bytes: &[u8]) -> Pass {
    let mut pass = Pass::default();
    // Whatever follows a break in the blocks is not decoded either.
    let _ = walk(bytes, &mut pass);
    pass
}

fn walk(bytes: &[u8], pass: &mut Pass) -> Option<()> {
    let mut at = 13 + colours(*bytes.get(10)?);
    let mut pictures = 0;
    loop {
        match *bytes.get(at)? {
            EXTENSION => {
                let kind = *bytes.get(at + 1)?;
                let (content, next) = blocks(bytes, at + 2)?;
                match kind {
                    COMMENT => pass.drop_text("comment", &content),
                    PLAIN_TEXT => pass.drop_text("text block", &content),
                    APPLICATION => pass.drop_text("block of an application", &content),
                    _ => {}
                }
                at = next;
            }
            PICTURE => {
                pictures += 1;
                if pictures == 2 {
                    pass.drop_part("pictures after the first");
                }
                // Place, size and flags, the colours of this picture, the least size of a code, the data.
                let data = at + 10 + colours(*bytes.get(at + 9)?) + 1;
                at = blocks(bytes, data)?.1;
            }
            _ => return None,
        }
    }
}

/// Returns the bytes that the table of colours takes which these flags speak of.
fn colours(flags: u8) -> usize {
    if flags & 0x80 == 0 {
        0
    } else {
        3 << ((flags & 7) + 1)
    }
}

/// Returns the content of the blocks at `at`, each with its length before it, and the place after their end.
fn blocks(bytes: &[u8], mut at: usize) -> Option<(Vec<u8>, usize)> {
    let mut content = Vec::new();
    loop {
        let length = usize::from(*bytes.get(at)?);
        at += 1;
        if length == 0 {
            return Some((content, at));
        }
        content.extend_from_slice(bytes.get(at..at + length)?);
        at += length;
    }
}
