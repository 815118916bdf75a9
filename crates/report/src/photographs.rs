//! The bytes of the photographs, handed in by the caller.
//!
//! In: file names as in the record, bytes as on disk. Out: the bytes and their media type.
//! Not here: reading files; decoding pixels.

use lettering::Typefaces;
use std::collections::BTreeMap;
use std::sync::Arc;

/// Photographs by file name (as `photos.file` in the record says).
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Photographs {
    /// The bytes of those that are shown.
    pub files: BTreeMap<String, Arc<[u8]>>,
    /// A square of the photograph that opens the report.
    pub hero: Option<Picture>,
    /// Why the others are not shown, in words.
    pub left_out: BTreeMap<String, String>,
    /// Typefaces for what is lettered beside them, as for the whole report.
    pub typefaces: Typefaces,
}

impl Photographs {
    /// Returns the bytes of a file.
    pub fn bytes(&self, file: &str) -> Option<&Arc<[u8]>> {
        self.files.get(file)
    }
}

/// A picture file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture {
    /// The whole file.
    pub bytes: Arc<[u8]>,
    /// For example `image/jpeg`.
    pub media_type: &'static str,
    /// Width and height, pixels.
    pub size: [u32; 2],
}

/// Returns the media type that the first bytes of a picture tell; `None` for formats that neither
/// browsers nor the PDF writer show everywhere.
pub fn media_type(bytes: &[u8]) -> Option<&'static str> {
    if bytes.starts_with(b"\x89PNG\r\n\x1a\n") {
        Some("image/png")
    } else if bytes.starts_with(&[0xff, 0xd8, 0xff]) {
        Some("image/jpeg")
    } else if bytes.starts_with(b"GIF87a") || bytes.starts_with(b"GIF89a") {
        Some("image/gif")
    } else if bytes.starts_with(b"RIFF") && bytes.get(8..12) == Some(b"WEBP") {
        Some("image/webp")
    } else {
        None
    }
}

/// Returns width and height in pixels from the header of a PNG, JPEG or GIF.
pub fn pixel_size(bytes: &[u8]) -> Option<(u32, u32)> {
    match media_type(bytes)? {
        "image/png" => Some((big_endian(bytes, 16, 4)?, big_endian(bytes, 20, 4)?)),
        "image/gif" => {
            let le =
                |at: usize| Some(u32::from(*bytes.get(at)?) | u32::from(*bytes.get(at + 1)?) << 8);
            Some((le(6)?, le(8)?))
        }
        "image/jpeg" => jpeg_size(bytes),
        _ => None,
    }
}

/// Walks the segments of a JPEG to its frame header.
fn jpeg_size(bytes: &[u8]) -> Option<(u32, u32)> {
    let mut at = 2;
    loop {
        if *bytes.get(at)? != 0xff {
            return None;
        }
        let marker = *bytes.get(at + 1)?;
        let is_frame = matches!(marker, 0xc0..=0xcf) && !matches!(marker, 0xc4 | 0xc8 | 0xcc);
        if is_frame {
            return Some((big_endian(bytes, at + 7, 2)?, big_endian(bytes, at + 5, 2)?));
        }
        at = match marker {
            // Fill bytes and markers without a length.
            0xff => at + 1,
            0x01 | 0xd0..=0xd8 => at + 2,
            _ => at + 2 + usize::try_from(big_endian(bytes, at + 2, 2)?).ok()?,
        };
    }
}

fn big_endian(bytes: &[u8], at: usize, count: usize) -> Option<u32> {
    Some(
        bytes
            .get(at..at.checked_add(count)?)?
            .iter()
            .fold(0, |n, b| n << 8 | u32::from(*b)),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_header_of_a_png_tells_its_size() {
        let mut png = b"\x89PNG\r\n\x1a\n\0\0\0\x0dIHDR".to_vec();
        png.extend([0, 0, 2, 0x80, 0, 0, 1, 0xe0]);
        assert_eq!(media_type(&png), Some("image/png"));
        assert_eq!(pixel_size(&png), Some((640, 480)));
        assert_eq!(pixel_size(&png[..20]), None);
    }

    #[test]
    fn the_frame_header_of_a_jpeg_tells_its_size() {
        let jpeg = [
            0xff, 0xd8, 0xff, 0xe0, 0, 4, 1, 2, 0xff, 0xc4, 0, 2, 0xff, 0xc0, 0, 11, 8, 0, 48, 0,
            64,
        ];
        assert_eq!(pixel_size(&jpeg), Some((64, 48)));
        for end in 0..jpeg.len() {
            assert!(pixel_size(&jpeg[..end]).is_none());
        }
    }

    #[test]
    fn other_bytes_have_no_media_type() {
        assert_eq!(media_type(b"<svg onload=x>"), None);
        assert_eq!(media_type(b""), None);
    }
}
