//! What a picture file tells beside its pixels, and a copy that no longer tells it.
//!
//! In: the bytes of a picture file. Out: the place, time and camera notes found, or the same file
//! without them; of a TIFF or GIF file, whose pixels and notes are interleaved, its picture as PNG. Of the
//! others the compressed picture data is copied byte for byte, so no pixel
//! changes. A part is kept only when it is on the list of parts that pixels need: everything else
//! goes, known or not. What stays is the colour profile, the resolution and the orientation, the
//! last in an Exif block of this one field.
//!
//! Formats: ITU-T T.81 annex B and JFIF 1.02; W3C PNG third edition, chapter 5; RFC 9649 (WebP);
//! CIPA DC-008 (Exif), 4.5 and 4.6; GIF 89a.

mod exif;
mod gif;
mod jpeg;
mod png;
mod tiff;
mod webp;

pub use exif::Location;
pub(crate) use exif::Orientation;

pub(super) use exif::profile as tiff_profile;
pub(super) use jpeg::{body as jpeg_body, marker_at as jpeg_marker_at};
pub(super) use png::chunk_at;
pub(super) use webp::riff;

use super::{Fault, PictureError};
use exif::Exif;

/// One chunk of a PNG or RIFF file: its type, its content, and the offset of the next.
pub(in crate::pixels) struct Chunk<'a> {
    pub(in crate::pixels) kind: [u8; 4],
    pub(in crate::pixels) body: &'a [u8],
    pub(in crate::pixels) next: usize,
}

/// A picture file without its notes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cleaned {
    /// The file.
    pub bytes: Vec<u8>,
    /// What was taken out, in the order of the file; empty where nothing was.
    pub removed: Vec<String>,
}

/// What a picture file holds beside its pixels.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FileMetadata {
    /// How the picture must be turned to stand upright, 1 to 8 as in Exif; 1 where not stated.
    pub orientation: u8,
    /// Where the picture was taken, as the camera noted it.
    pub location: Option<Location>,
    /// Whether any block speaks of a place, even one that cannot be read as coordinates.
    pub tells_place: bool,
    /// The colour profile (ICC) as stored; compressed in PNG.
    pub has_profile: bool,
    /// When it was taken, as RFC 3339 writes it, where the camera noted its offset from UTC too. Not checked.
    pub taken: Option<String>,
    /// What [`clean`] would take out.
    pub notes: Vec<String>,
}

/// The formats that are known by their first bytes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Format {
    /// Joint Photographic Experts Group, ITU-T T.81.
    Jpeg,
    /// Portable Network Graphics.
    Png,
    /// WebP, lossy or lossless.
    WebP,
    /// Tagged Image File Format.
    Tiff,
    /// Graphics Interchange Format.
    Gif,
}

impl Format {
    /// Returns the format that the first bytes belong to; names of files are not asked.
    pub fn of(bytes: &[u8]) -> Option<Self> {
        match bytes {
            [0xff, 0xd8, 0xff, ..] => Some(Self::Jpeg),
            [0x89, b'P', b'N', b'G', 0x0d, 0x0a, 0x1a, 0x0a, ..] => Some(Self::Png),
            [
                b'R',
                b'I',
                b'F',
                b'F',
                _,
                _,
                _,
                _,
                b'W',
                b'E',
                b'B',
                b'P',
                ..,
            ] => Some(Self::WebP),
            [b'I', b'I', 42, 0, ..] | [b'M', b'M', 0, 42, ..] => Some(Self::Tiff),
            [b'I', b'I', 43, 0, ..] | [b'M', b'M', 0, 43, ..] => Some(Self::Tiff),
            [b'G', b'I', b'F', b'8', b'7' | b'9', b'a', ..] => Some(Self::Gif),
            _ => None,
        }
    }

    /// Returns the usual name of the format.
    pub fn name(self) -> &'static str {
        match self {
            Self::Jpeg => "JPEG",
            Self::Png => "PNG",
            Self::WebP => "WebP",
            Self::Tiff => "TIFF",
            Self::Gif => "GIF",
        }
    }
}

/// One pass over a file: what is kept, and what was met.
#[derive(Default)]
struct Pass {
    kept: Vec<u8>,
    removed: Vec<String>,
    exif: Exif,
    has_profile: bool,
    tells_place: bool,
}

impl Pass {
    fn drop_part(&mut self, what: impl Into<String>) {
        let what = what.into();
        if !self.removed.contains(&what) {
            self.removed.push(what);
        }
    }

    /// Takes in an Exif block (a TIFF structure) that is not kept.
    fn drop_exif(&mut self, tiff: &[u8]) {
        let exif = exif::read(tiff);
        let stays = exif::only(exif.orientation.unwrap_or_default());
        if tiff.strip_prefix(exif::SIGNATURE).unwrap_or(tiff) != stays {
            self.drop_part(exif.describe());
        }
        self.tells_place |= exif.tells_place;
        if self.exif.orientation.is_none() {
            self.exif.orientation = exif.orientation;
        }
        if self.exif.location.is_none() {
            self.exif.location = exif.location;
        }
        if self.exif.taken.is_none() {
            self.exif.taken = exif.taken;
        }
    }

    fn drop_text(&mut self, what: &str, content: &[u8]) {
        let place = exif::speaks_of_place(content);
        self.tells_place |= place;
        self.drop_part(if place {
            format!("{what} (speaks of a place)")
        } else {
            what.to_string()
        });
    }

    fn orientation(&self) -> Orientation {
        self.exif.orientation.unwrap_or_default()
    }
}

fn pass(bytes: &[u8]) -> Result<Pass, PictureError> {
    match Format::of(bytes) {
        Some(Format::Jpeg) => jpeg::pass(bytes),
        Some(Format::Png) => png::pass(bytes),
        Some(Format::WebP) => webp::pass(bytes),
        Some(Format::Tiff | Format::Gif) | None => Err(PictureError::at(Fault::NotAPicture, 0)),
    }
}

/// Returns the file without place, time, camera notes, comments, previews and anything else that
/// its pixels do not need; orientation, colour profile and resolution stay. A TIFF or GIF file
/// becomes an upright PNG file.
///
/// # Errors
/// A file of another format, that is cut off, or whose parts contradict their stated lengths; a TIFF
/// or GIF file that [`super::decode`] refuses.
pub fn clean(bytes: &[u8]) -> Result<Cleaned, PictureError> {
    match Format::of(bytes) {
        Some(Format::Tiff) => return tiff::clean(bytes),
        Some(Format::Gif) => return gif::clean(bytes),
        _ => {}
    }
    let pass = pass(bytes)?;
    Ok(Cleaned {
        bytes: pass.kept,
        removed: pass.removed,
    })
}

/// Returns how the picture must be turned to stand upright.
pub(super) fn orientation(bytes: &[u8]) -> Result<Orientation, PictureError> {
    match Format::of(bytes) {
        Some(Format::Jpeg) => jpeg::orientation(bytes),
        Some(Format::Tiff) => Ok(exif::read(bytes).orientation.unwrap_or_default()),
        Some(Format::Gif) => Ok(Orientation::default()),
        _ => Ok(pass(bytes)?.orientation()),
    }
}

/// Returns what the file tells beside its pixels.
///
/// # Errors
/// As [`clean`]; of TIFF and GIF nothing is refused, as their pixels are not looked at.
pub fn find(bytes: &[u8]) -> Result<FileMetadata, PictureError> {
    match Format::of(bytes) {
        Some(Format::Tiff) => return Ok(tiff::find(bytes)),
        Some(Format::Gif) => return Ok(gif::find(bytes)),
        _ => {}
    }
    let pass = pass(bytes)?;
    Ok(FileMetadata {
        orientation: pass.orientation().number(),
        location: pass.exif.location,
        tells_place: pass.tells_place,
        has_profile: pass.has_profile,
        taken: pass.exif.taken,
        notes: pass.removed,
    })
}
