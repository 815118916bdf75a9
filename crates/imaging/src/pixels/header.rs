//! Sizes that a file states, held against what is accepted and what its bytes can hold.
//!
//! A block of 8 × 8 values takes at least one bit in a JPEG scan, a byte of deflated data swells to
//! at most 1032 bytes (RFC 1951: 258 bytes from two bits); a file that states more lies or is cut.

use super::metadata::{chunk_at, jpeg_body, jpeg_marker_at};
use super::{Fault, Limits, PictureError};

/// Most bytes that one byte of deflated data can become.
const MOST_SWELL: u64 = 1032;

/// Returns the size when it is accepted.
pub(super) fn accepted(
    (width, height): (u32, u32),
    limits: &Limits,
) -> Result<(u32, u32), PictureError> {
    let pixels = u64::from(width) * u64::from(height);
    if pixels == 0 {
        return Err(PictureError::new(Fault::Broken(format!(
            "the picture says it is {width} × {height} pixels"
        ))));
    }
    if pixels > limits.most_pixels {
        return Err(PictureError::new(Fault::TooLarge {
            width,
            height,
            most_pixels: limits.most_pixels,
        }));
    }
    Ok((width, height))
}

/// Returns the stored size of a JPEG file whose picture data ends as it should.
pub(super) fn jpeg(bytes: &[u8], limits: &Limits) -> Result<(u32, u32), PictureError> {
    let mut at = 2;
    let mut size = None;
    loop {
        let (marker, body_at) = jpeg_marker_at(bytes, at)?;
        if matches!(marker, 0x01 | 0xd0..=0xd9) {
            return Err(PictureError::broken("the picture ends before its data", at));
        }
        let body = jpeg_body(bytes, marker, body_at)?;
        let end = body_at + 2 + body.len();
        match marker {
            0xc0..=0xc2 => size = Some(frame(body, at)?),
            0xc3 | 0xc5..=0xc7 | 0xc9..=0xcb | 0xcd..=0xcf => {
                return Err(PictureError::at(
                    Fault::Unread("JPEG with lossless, layered or arithmetic coding".into()),
                    at,
                ));
            }
            0xda => {
                let (width, height) =
                    size.ok_or_else(|| PictureError::broken("the picture states no size", at))?;
                accepted((width, height), limits)?;
                // A marker cannot occur inside picture data, so the last one ends it.
                let data = &bytes[end..];
                if !data.windows(2).rev().any(|w| w == [0xff, 0xd9]) {
                    return Err(PictureError::ends("the picture data", bytes.len()));
                }
                let blocks = u64::from(width.div_ceil(8)) * u64::from(height.div_ceil(8));
                if (data.len() as u64) * 8 < blocks {
                    return Err(PictureError::at(
                        Fault::SizeNotHeld {
                            width,
                            height,
                            bytes: data.len() as u64,
                        },
                        end,
                    ));
                }
                return Ok((width, height));
            }
            _ => {}
        }
        at = end;
    }
}

/// Returns the stored size that the first frame header of a JPEG file states.
pub(super) fn jpeg_stated(bytes: &[u8]) -> Option<(u32, u32)> {
    let mut at = 2;
    loop {
        let (marker, body_at) = jpeg_marker_at(bytes, at).ok()?;
        if matches!(marker, 0x01 | 0xd0..=0xda) {
            return None;
        }
        let body = jpeg_body(bytes, marker, body_at).ok()?;
        if matches!(marker, 0xc0..=0xcf) && !matches!(marker, 0xc4 | 0xc8 | 0xcc) {
            return frame(body, at).ok();
        }
        at = body_at + 2 + body.len();
    }
}

/// Returns the size that the first chunk of a PNG file states.
pub(super) fn png_stated(bytes: &[u8]) -> Option<(u32, u32)> {
    let [b'I', b'H', b'D', b'R', w3, w2, w1, w0, h3, h2, h1, h0] = *bytes.get(12..24)? else {
        return None;
    };
    Some((
        u32::from_be_bytes([w3, w2, w1, w0]),
        u32::from_be_bytes([h3, h2, h1, h0]),
    ))
}

/// Reads a frame header: precision, height, width, components.
fn frame(body: &[u8], at: usize) -> Result<(u32, u32), PictureError> {
    let [precision, h1, h0, w1, w0, components, ..] = *body else {
        return Err(PictureError::ends("the frame header", at));
    };
    if precision != 8 || !matches!(components, 1 | 3 | 4) {
        return Err(PictureError::at(
            Fault::Unread(format!(
                "JPEG with {components} channels of {precision} bits"
            )),
            at,
        ));
    }
    Ok((
        u32::from(u16::from_be_bytes([w1, w0])),
        u32::from(u16::from_be_bytes([h1, h0])),
    ))
}

/// Returns the size of a PNG file whose chunks are all there.
pub(super) fn png(bytes: &[u8], limits: &Limits) -> Result<(u32, u32), PictureError> {
    let first = chunk_at(bytes, 8)?;
    let (b"IHDR", [w3, w2, w1, w0, h3, h2, h1, h0, depth, colour, ..]) = (&first.kind, first.body)
    else {
        return Err(PictureError::broken("the first chunk is not IHDR", 8));
    };
    let width = u32::from_be_bytes([*w3, *w2, *w1, *w0]);
    let height = u32::from_be_bytes([*h3, *h2, *h1, *h0]);
    accepted((width, height), limits)?;
    let mut data = 0;
    let mut at = first.next;
    loop {
        let chunk = chunk_at(bytes, at)?;
        match &chunk.kind {
            b"IDAT" => data += chunk.body.len() as u64,
            b"IEND" => break,
            _ => {}
        }
        at = chunk.next;
    }
    let channels: u64 = match colour {
        2 => 3,
        4 => 2,
        6 => 4,
        _ => 1,
    };
    let row = 1 + (u64::from(width) * channels * u64::from(*depth)).div_ceil(8);
    // Interlaced pictures have fewer filter bytes in no case, so this is the least.
    if data * MOST_SWELL < row * u64::from(height) {
        return Err(PictureError::at(
            Fault::SizeNotHeld {
                width,
                height,
                bytes: data,
            },
            8,
        ));
    }
    Ok((width, height))
}
