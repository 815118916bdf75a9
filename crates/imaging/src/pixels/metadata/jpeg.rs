//! JPEG: a walk over its segments.
//!
//! Kept: tables, frame and scan headers, compressed data, the JFIF header without its preview, the
//! colour profile and the Adobe segment, which says how colours are coded. Everything behind the
//! end-of-image marker is dropped: cameras put second pictures and films there, with notes of their
//! own.

use super::{Pass, PictureError, exif};

const SOI: u8 = 0xd8;
const EOI: u8 = 0xd9;
const SOS: u8 = 0xda;
const APP0: u8 = 0xe0;
const APP1: u8 = 0xe1;
const COMMENT: u8 = 0xfe;

const XMP: &[u8] = b"http://ns.adobe.com/xap/1.0/\0";
const XMP_MORE: &[u8] = b"http://ns.adobe.com/xmp/extension/\0";

pub(super) fn pass(bytes: &[u8]) -> Result<Pass, PictureError> {
    let mut pass = Pass::default();
    let mut header = Vec::new();
    let mut at = 2;
    let mut pixels_seen = false;
    loop {
        let (marker, body_at) = marker_at(bytes, at)?;
        match marker {
            EOI if pixels_seen => {
                pass.kept.extend([0xff, EOI]);
                if body_at < bytes.len() {
                    pass.drop_part("data behind the picture");
                }
                break;
            }
            EOI => return Err(PictureError::broken("the picture ends before its data", at)),
            SOI | 0x01 | 0xd0..=0xd7 => {
                return Err(PictureError::broken(
                    format!("marker {marker:02X} stands outside the picture data"),
                    at,
                ));
            }
            _ => {}
        }
        let body = body(bytes, marker, body_at)?;
        let end = body_at + 2 + body.len();
        match marker {
            APP0 => app0(&mut pass, &mut header, body),
            APP1 if body.starts_with(b"Exif\0") => pass.drop_exif(body),
            APP1 if body.starts_with(XMP) || body.starts_with(XMP_MORE) => {
                pass.drop_text("XMP", body);
            }
            0xe2 if body.starts_with(b"ICC_PROFILE\0") => {
                pass.has_profile = true;
                pass.kept.extend(&bytes[at..end]);
            }
            0xe2 if body.starts_with(b"MPF\0") => pass.drop_part("list of further pictures"),
            0xee if body.starts_with(b"Adobe") => pass.kept.extend(&bytes[at..end]),
            0xed => pass.drop_text("IPTC", body),
            0xe1..=0xef => pass.drop_text(&format!("APP{} block", marker & 15), body),
            COMMENT => pass.drop_text("comment", body),
            _ => pass.kept.extend(&bytes[at..end]),
        }
        at = end;
        if marker == SOS {
            pixels_seen = true;
            at = end_of_scan(bytes, end)?;
            pass.kept.extend(&bytes[end..at]);
        }
    }
    let kept = std::mem::take(&mut pass.kept);
    let mut whole = Vec::with_capacity(kept.len() + header.len() + 64);
    whole.extend([0xff, SOI]);
    whole.extend(header);
    if !pass.orientation().is_upright() {
        let block = exif::only(pass.orientation());
        whole.extend([0xff, APP1]);
        whole.extend((block.len() as u16 + 8).to_be_bytes());
        whole.extend(exif::SIGNATURE);
        whole.extend(block);
    }
    whole.extend(kept);
    pass.kept = whole;
    Ok(pass)
}

/// Returns the orientation without looking behind the first scan header.
pub(super) fn orientation(bytes: &[u8]) -> Result<exif::Orientation, PictureError> {
    let mut at = 2;
    loop {
        let (marker, body_at) = marker_at(bytes, at)?;
        let body = body(bytes, marker, body_at)?;
        if marker == APP1
            && body.starts_with(exif::SIGNATURE)
            && let Some(found) = exif::read(body).orientation
        {
            return Ok(found);
        }
        if marker == SOS {
            return Ok(exif::Orientation::default());
        }
        at = body_at + 2 + body.len();
    }
}

/// Keeps version, density and no preview of the first JFIF header.
fn app0(pass: &mut Pass, header: &mut Vec<u8>, body: &[u8]) {
    match body.strip_prefix(b"JFIF\0") {
        Some(rest) if header.is_empty() && rest.len() >= 9 => {
            header.extend([0xff, APP0, 0, 16]);
            header.extend(b"JFIF\0");
            header.extend(&rest[..7]);
            header.extend([0, 0]);
            if rest.len() > 9 {
                pass.drop_part("preview picture");
            }
        }
        _ if body.starts_with(b"JFXX\0") => pass.drop_part("preview picture"),
        _ => pass.drop_part("APP0 block"),
    }
}

/// Returns the marker at `at` (fill bytes skipped) and where its length stands.
pub(in crate::pixels) fn marker_at(bytes: &[u8], at: usize) -> Result<(u8, usize), PictureError> {
    match bytes.get(at) {
        Some(0xff) => {}
        Some(_) => return Err(PictureError::broken("a segment marker is missing", at)),
        None => return Err(PictureError::ends("the picture data", at)),
    }
    let fill = bytes[at..].iter().take_while(|b| **b == 0xff).count();
    match bytes.get(at + fill) {
        Some(0) => Err(PictureError::broken("a segment marker is missing", at)),
        Some(marker) => Ok((*marker, at + fill + 1)),
        None => Err(PictureError::ends("a segment marker", at)),
    }
}

/// Returns the content of the segment whose length stands at `at`.
pub(in crate::pixels) fn body(bytes: &[u8], marker: u8, at: usize) -> Result<&[u8], PictureError> {
    let name = || format!("segment {marker:02X}");
    let length = bytes
        .get(at..)
        .and_then(|rest| rest.first_chunk::<2>())
        .map(|b| usize::from(u16::from_be_bytes(*b)))
        .ok_or_else(|| PictureError::ends(name(), at))?;
    if length < 2 {
        return Err(PictureError::broken(
            format!("{} states a length of {length}", name()),
            at,
        ));
    }
    bytes
        .get(at + 2..at + length)
        .ok_or_else(|| PictureError::ends(name(), at))
}

/// Returns where the marker behind the compressed data stands.
pub(in crate::pixels) fn end_of_scan(bytes: &[u8], mut at: usize) -> Result<usize, PictureError> {
    while let Some(step) = bytes
        .get(at..)
        .and_then(|rest| rest.iter().position(|b| *b == 0xff))
    {
        at += step;
        match bytes.get(at + 1) {
            Some(0 | 0xd0..=0xd7) => at += 2,
            // A run of 0xff is filling; the last one belongs to the marker.
            Some(0xff) => at += 1,
            Some(_) => return Ok(at),
            None => break,
        }
    }
    Err(PictureError::ends("the picture data", bytes.len()))
}
