//! TIFF: written anew as PNG.
//!
//! The parts of a TIFF file stand anywhere and point at each other; private ones may be pixels or
//! notes, and no list of those that pixels need is complete. So the first picture is decoded and
//! written as PNG, which browsers show too: upright, 8 bits, with colour profile and resolution.

use super::{Cleaned, FileMetadata, PictureError, exif};
use crate::pixels::{Encoding, Limits, decode, encode};

pub(super) fn clean(bytes: &[u8]) -> Result<Cleaned, PictureError> {
    let photo = decode(bytes, &Limits::default())?;
    let profile = photo.profile.as_deref();
    Ok(Cleaned {
        bytes: encode(
            &photo.picture,
            Encoding::Png,
            exif::pixels_per_mm(bytes),
            profile,
        )?,
        removed: notes(&exif::read(bytes)),
    })
}

pub(super) fn find(bytes: &[u8]) -> FileMetadata {
    let exif = exif::read(bytes);
    FileMetadata {
        orientation: exif.orientation.unwrap_or_default().number(),
        location: exif.location,
        tells_place: exif.tells_place,
        has_profile: exif.has_profile,
        notes: notes(&exif),
        taken: exif.taken,
    }
}

fn notes(exif: &exif::Exif) -> Vec<String> {
    if exif.has_notes() {
        vec![exif.describe()]
    } else {
        Vec::new()
    }
}
