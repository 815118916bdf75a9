//! PNG: a walk over its chunks.
//!
//! Kept: what decoding, colours, resolution and animation need. Texts, times, Exif and all private
//! or unknown ancillary chunks go, and everything behind the end chunk.

use super::{Chunk, Pass, PictureError, exif};
use crate::pixels::Fault;

/// Chunks that stay, in the order of the standard's tables.
const KEPT: [&[u8; 4]; 20] = [
    b"IHDR", b"PLTE", b"IDAT", b"IEND", b"tRNS", b"cHRM", b"gAMA", b"iCCP", b"sBIT", b"sRGB",
    b"cICP", b"mDCV", b"cLLI", b"bKGD", b"pHYs", b"hIST", b"sPLT", b"acTL", b"fcTL", b"fdAT",
];

/// Returns the chunk at `at`.
pub(in crate::pixels) fn chunk_at(bytes: &[u8], at: usize) -> Result<Chunk<'_>, PictureError> {
    let head = bytes
        .get(at..)
        .and_then(|rest| rest.first_chunk::<8>())
        .ok_or_else(|| PictureError::ends("the picture", at))?;
    let [a, b, c, d, kind @ ..] = *head;
    let length = u32::from_be_bytes([a, b, c, d]) as usize;
    if !kind.iter().all(u8::is_ascii_alphabetic) {
        return Err(PictureError::broken("a chunk has no valid name", at));
    }
    let name = String::from_utf8_lossy(&kind);
    let body = bytes
        .get(at + 8..)
        .and_then(|rest| rest.get(..length))
        .ok_or_else(|| PictureError::ends(format!("chunk {name}"), at))?;
    let next = at + 12 + length;
    if next > bytes.len() {
        return Err(PictureError::ends(format!("chunk {name}"), at));
    }
    Ok(Chunk { kind, body, next })
}

pub(super) fn pass(bytes: &[u8]) -> Result<Pass, PictureError> {
    let mut pass = Pass::default();
    let mut at = 8;
    let mut head_end = None;
    loop {
        let chunk = chunk_at(bytes, at)?;
        if head_end.is_none() && &chunk.kind != b"IHDR" {
            return Err(PictureError::broken("the first chunk is not IHDR", at));
        }
        let content = chunk.body;
        match &chunk.kind {
            kind if KEPT.contains(&kind) => {
                pass.has_profile |= kind == b"iCCP";
                pass.kept.extend(&bytes[at..chunk.next]);
                if kind == b"IHDR" {
                    head_end = head_end.or(Some(pass.kept.len()));
                }
                if kind == b"IEND" {
                    break;
                }
            }
            b"eXIf" => pass.drop_exif(content),
            b"tEXt" | b"zTXt" | b"iTXt" => {
                let keyword: Vec<u8> = content
                    .iter()
                    .take(79)
                    .take_while(|b| **b != 0)
                    .copied()
                    .collect();
                let keyword = String::from_utf8_lossy(&keyword).into_owned();
                let keyword = if keyword == "XML:com.adobe.xmp" {
                    "XMP"
                } else {
                    &keyword
                };
                pass.drop_text(&format!("text {keyword:?}"), content);
            }
            b"tIME" => pass.drop_part("time"),
            kind if kind[0].is_ascii_uppercase() => {
                let name = String::from_utf8_lossy(kind).into_owned();
                return Err(PictureError::at(
                    Fault::Unread(format!("PNG with chunk {name}")),
                    at,
                ));
            }
            kind => {
                let name = format!("chunk {}", String::from_utf8_lossy(kind));
                pass.drop_text(&name, content);
            }
        }
        at = chunk.next;
    }
    if chunk_at(bytes, at)?.next < bytes.len() {
        pass.drop_part("data behind the picture");
    }
    let kept = std::mem::take(&mut pass.kept);
    let (head, rest) = kept.split_at(head_end.unwrap_or(0));
    let mut whole = Vec::with_capacity(bytes.len());
    whole.extend(&bytes[..8]);
    whole.extend(head);
    if !pass.orientation().is_upright() {
        append(&mut whole, b"eXIf", &exif::only(pass.orientation()));
    }
    whole.extend(rest);
    pass.kept = whole;
    Ok(pass)
}

/// Appends a chunk with its length and check value.
pub(in crate::pixels) fn append(file: &mut Vec<u8>, kind: &[u8; 4], body: &[u8]) {
    file.extend((body.len() as u32).to_be_bytes());
    let from = file.len();
    file.extend(kind);
    file.extend(body);
    let check = crc(&file[from..]);
    file.extend(check.to_be_bytes());
}

/// The cyclic redundancy check of PNG, annex D: polynomial 0xEDB88320, bit by bit.
fn crc(bytes: &[u8]) -> u32 {
    let mut sum = u32::MAX;
    for byte in bytes {
        sum ^= u32::from(*byte);
        for _ in 0..8 {
            let low = sum & 1;
            sum >>= 1;
            if low == 1 {
                sum ^= 0xedb8_8320;
            }
        }
    }
    !sum
}
