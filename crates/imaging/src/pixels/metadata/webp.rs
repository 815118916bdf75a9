//! WebP: a walk over its RIFF chunks.
//!
//! Kept: picture data, transparency, animation and colour profile. The flags of the extended header
//! are set to what is left. Everything behind the RIFF chunk is dropped.

use super::{Chunk, Pass, PictureError, exif};

const XMP_FLAG: u8 = 0x04;
const EXIF_FLAG: u8 = 0x08;

/// Returns the chunk at `at`; odd lengths are padded to even ones.
pub(in crate::pixels) fn chunk_at(bytes: &[u8], at: usize) -> Result<Chunk<'_>, PictureError> {
    let head = bytes
        .get(at..)
        .and_then(|rest| rest.first_chunk::<8>())
        .ok_or_else(|| PictureError::ends("a chunk", at))?;
    let [a, b, c, d, length @ ..] = *head;
    let length = u32::from_le_bytes(length) as usize;
    let body = bytes
        .get(at + 8..)
        .and_then(|rest| rest.get(..length))
        .ok_or_else(|| {
            let name = String::from_utf8_lossy(&head[..4]).into_owned();
            PictureError::ends(format!("chunk {name:?}"), at)
        })?;
    Ok(Chunk {
        kind: [a, b, c, d],
        body,
        // Some writers leave out the last padding byte.
        next: (at + 8 + length + length % 2).min(bytes.len()),
    })
}

/// Returns the bytes of the RIFF chunk, whose stated length must be there.
pub(in crate::pixels) fn riff(bytes: &[u8]) -> Result<&[u8], PictureError> {
    let length = bytes
        .get(4..)
        .and_then(|rest| rest.first_chunk::<4>())
        .map(|b| u32::from_le_bytes(*b) as usize)
        .ok_or_else(|| PictureError::ends("the file header", 0))?;
    if length < 12 {
        return Err(PictureError::broken("the file states that it is empty", 4));
    }
    bytes
        .get(..length + 8)
        .ok_or_else(|| PictureError::ends("the picture", bytes.len()))
}

pub(super) fn pass(bytes: &[u8]) -> Result<Pass, PictureError> {
    let inside = riff(bytes)?;
    let mut pass = Pass::default();
    let mut flags_at = None;
    let mut pixels_seen = false;
    let mut at = 12;
    while at < inside.len() {
        let chunk = chunk_at(inside, at)?;
        match &chunk.kind {
            b"EXIF" => pass.drop_exif(chunk.body),
            b"XMP " => pass.drop_text("XMP", chunk.body),
            b"VP8X" if chunk.body.len() >= 10 && flags_at.is_none() => {
                flags_at = Some(pass.kept.len() + 8);
                append(&mut pass.kept, b"VP8X", &chunk.body[..10]);
            }
            b"ICCP" => {
                pass.has_profile = true;
                append(&mut pass.kept, b"ICCP", chunk.body);
            }
            b"VP8 " | b"VP8L" => {
                pixels_seen = true;
                append(&mut pass.kept, &chunk.kind, chunk.body);
            }
            b"ANMF" => {
                pixels_seen = true;
                frame(&mut pass, chunk.body, at)?;
            }
            b"ALPH" | b"ANIM" => append(&mut pass.kept, &chunk.kind, chunk.body),
            kind => {
                let name = format!("chunk {:?}", String::from_utf8_lossy(kind));
                pass.drop_text(&name, chunk.body);
            }
        }
        at = chunk.next;
    }
    if !pixels_seen {
        return Err(PictureError::broken("the file holds no picture", 12));
    }
    if inside.len() < bytes.len() {
        pass.drop_part("data behind the picture");
    }
    if let Some(at) = flags_at {
        pass.kept[at] &= !(XMP_FLAG | EXIF_FLAG);
        // Exif is only read where the extended header announces it.
        if !pass.orientation().is_upright() {
            pass.kept[at] |= EXIF_FLAG;
            let block = exif::only(pass.orientation());
            append(&mut pass.kept, b"EXIF", &block);
        }
    }
    let kept = std::mem::take(&mut pass.kept);
    let mut whole = Vec::with_capacity(kept.len() + 12);
    whole.extend(b"RIFF");
    whole.extend((kept.len() as u32 + 4).to_le_bytes());
    whole.extend(b"WEBP");
    whole.extend(kept);
    pass.kept = whole;
    Ok(pass)
}

/// Keeps a frame of an animation: its 16 bytes of header and its picture chunks.
fn frame(pass: &mut Pass, body: &[u8], place: usize) -> Result<(), PictureError> {
    let mut kept = body
        .get(..16)
        .ok_or_else(|| PictureError::ends("the header of a frame", place))?
        .to_vec();
    let mut at = 16;
    while at < body.len() {
        let chunk = chunk_at(body, at).map_err(|mut e| {
            e.at = e.at.map(|inner| inner + place as u64 + 8);
            e
        })?;
        match &chunk.kind {
            b"ALPH" | b"VP8 " | b"VP8L" => append(&mut kept, &chunk.kind, chunk.body),
            kind => pass.drop_part(format!("chunk {:?}", String::from_utf8_lossy(kind))),
        }
        at = chunk.next;
    }
    append(&mut pass.kept, b"ANMF", &kept);
    Ok(())
}

fn append(file: &mut Vec<u8>, kind: &[u8; 4], body: &[u8]) {
    file.extend(kind);
    file.extend((body.len() as u32).to_le_bytes());
    file.extend(body);
    if body.len() % 2 == 1 {
        file.push(0);
    }
}
