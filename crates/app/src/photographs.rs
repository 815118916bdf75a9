//! Photographs of a dossier: read, decoded, and made fit to publish.
//!
//! In: a folder and its dossier. Out: pixels; or the bytes of each photograph without place, time and camera
//! notes. The files in the dossier stay as they came.

use crate::imaging_problem::Work;
use crate::{At, Problem, Watch};
use imaging::pixels::{self, Encoding, Format, Limits, PictureError, metadata};
use record::Dossier;
use report::Photographs;
use std::path::{Path, PathBuf};
use store::{limits, opener};

/// Reads and decodes the picture at a path that the user named, upright.
///
/// # Errors
/// A file that cannot be read or is no sound picture.
pub(crate) fn decoded(path: &Path) -> Result<pixels::Photo, Problem> {
    let bytes = opener::read(path, limits::PHOTOGRAPH)?;
    decode(&bytes, path)
}

/// Reads and decodes a photograph of the dossier in `folder`, upright: places in the record count in the picture
/// as it is seen, however its file stores it.
///
/// # Errors
/// As [`decoded`]; a link that leads out of the folder.
pub(crate) fn upright(folder: &Path, file: &str) -> Result<pixels::Photo, Problem> {
    let inside = inside(file);
    let bytes = opener::read_inside(folder, &inside, limits::PHOTOGRAPH)?;
    decode(&bytes, &folder.join(&inside))
}

/// Returns why the picture at `path` inside `folder` cannot be shown, and what to do about it; `None` where
/// it can.
pub(crate) fn fault(folder: &Path, path: &str) -> Option<(String, String)> {
    let bytes = match opener::read_inside(folder, path, limits::PHOTOGRAPH) {
        Ok(bytes) => bytes,
        Err(e) => return Some((e.reason(), e.remedy().to_string())),
    };
    let e = pixels::decode(&bytes, &Limits::default()).err()?;
    Some((e.to_string(), e.remedy().to_string()))
}

/// Returns the path of a photograph inside its dossier's folder.
pub(crate) fn inside(file: &str) -> PathBuf {
    Path::new("photos").join(file)
}

fn decode(bytes: &[u8], path: &Path) -> Result<pixels::Photo, Problem> {
    pixels::decode(bytes, &Limits::default()).map_err(|e| {
        Problem::of_imaging(
            Work::Decode(path, e.remedy()),
            &e,
            At::Path(path.to_path_buf()),
        )
    })
}

/// Reads the photographs. One that cannot be read, is damaged, too large or of a format that is not read is left
/// out, and named with the reason: what it holds beside its pixels cannot be known, and nobody could see it.
pub(crate) fn for_publication(folder: &Path, dossier: &Dossier, watch: &dyn Watch) -> Photographs {
    let mut photographs = Photographs::default();
    let mut cleaned = 0_usize;
    for photo in &dossier.photos {
        let published = opener::read_inside(folder, inside(&photo.file), limits::PHOTOGRAPH)
            .map_err(|e| format!("{}; {}", e.reason(), e.remedy()))
            .and_then(|bytes| fit(&bytes).map_err(|e| format!("{e}; {}", e.remedy())));
        match published {
            Ok(clean) => {
                cleaned += usize::from(!clean.removed.is_empty());
                photographs
                    .files
                    .insert(photo.file.clone(), clean.bytes.into());
            }
            Err(why) => {
                watch.stage(&format!("left out {}: {why}", photo.file));
                photographs.left_out.insert(photo.file.clone(), why);
            }
        }
    }
    photographs.hero = hero(folder, dossier);
    watch.stage(&format!("read {} photographs", photographs.files.len()));
    if cleaned > 0 {
        watch.stage(&format!(
            "removed place, time and camera notes from {cleaned} of them"
        ));
    }
    photographs
}

/// Pixels on a side of the picture that opens a report.
const HERO: u32 = 880;
/// Its JPEG quality.
const HERO_QUALITY: u8 = 85;
/// Share of the longer side that is shown around what it shows.
const HERO_ROOM: f64 = 0.08;

/// Cuts the square that opens the report out of its photograph: what the photograph shows of the product, with some
/// room; the middle of the picture where no region says so.
fn hero(folder: &Path, dossier: &Dossier) -> Option<report::Picture> {
    let (photo, rect) = report::hero_photo(dossier)?;
    let decoded = upright(folder, &photo.file).ok()?;
    let [width, height] = [decoded.picture.width, decoded.picture.height];
    let square = hero_square(rect, [width, height]);
    let part = pixels::cut(&decoded.picture, square[0], square[1], square[2]);
    let side = part.width.min(part.height).min(HERO);
    let part = pixels::shrink(&part, side, side);
    let bytes = pixels::encode(&part, Encoding::Jpeg(HERO_QUALITY), None, None).ok()?;
    Some(report::Picture {
        bytes: bytes.into(),
        media_type: "image/jpeg",
        size: [part.width, part.height],
    })
}

/// Returns left, top and side of the square around a rectangle, inside a picture of this size.
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "between 0 and the size of the picture"
)]
fn hero_square(rect: Option<[u32; 4]>, [width, height]: [u32; 2]) -> [u32; 3] {
    let most = width.min(height);
    let Some([x, y, w, h]) = rect.map(|rect| rect.map(f64::from)) else {
        return [(width - most) / 2, (height - most) / 2, most];
    };
    let side = ((w.max(h) * (1.0 + 2.0 * HERO_ROOM)).round() as u32).clamp(1, most);
    let start = |middle: f64, length: u32| {
        let start = middle - f64::from(side) / 2.0;
        start.round().clamp(0.0, f64::from(length - side)) as u32
    };
    [start(x + w / 2.0, width), start(y + h / 2.0, height), side]
}

/// JPEG quality of photographs that were turned upright: no reader sees a difference.
const TURNED: u8 = 95;

/// Cleans a picture after making sure that it can be shown: its size is looked at before anything is decoded, and
/// it is decoded once, so that damage is found here and not by the reader. A picture that its file stores turned or
/// mirrored is written anew as it is seen, so that no viewer need know about turning.
fn fit(bytes: &[u8]) -> Result<metadata::Cleaned, PictureError> {
    let photo = pixels::decode(bytes, &Limits::default())?;
    let mut clean = metadata::clean(bytes)?;
    // Of TIFF and GIF files cleaning writes an upright picture already.
    if photo.orientation != 1 && metadata::find(&clean.bytes)?.orientation != 1 {
        let encoding = match photo.format {
            Format::Png => Encoding::Png,
            _ => Encoding::Jpeg(TURNED),
        };
        clean.bytes = photo.encode(encoding)?;
    }
    Ok(clean)
}
