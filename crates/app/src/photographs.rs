//! Photographs of a dossier: read, decoded, and made fit to publish.
//!
//! In: a folder and its dossier. Out: pixels; or the bytes of each photograph without place, time and camera
//! notes. The files in the dossier stay as they came.

use crate::imaging_problem::Work;
use crate::{At, Problem, Watch};
use imaging::pixels::{self, Limits, PictureError, metadata};
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

/// Reads and decodes a photograph of the dossier in `folder` whose pixels are named in its record.
///
/// # Errors
/// As [`decoded`]; a link that leads out of the folder; a picture that lies on its side, where places in the
/// record and in the picture would not be the same.
pub(crate) fn upright(folder: &Path, file: &str) -> Result<pixels::Photo, Problem> {
    let inside = inside(file);
    let path = folder.join(&inside);
    let bytes = opener::read_inside(folder, &inside, limits::PHOTOGRAPH)?;
    let photo = decode(&bytes, &path)?;
    if photo.orientation != 1 {
        let why = "is stored on its side";
        return Err(Problem::of_imaging(
            Work::Upright(&path),
            why,
            At::Path(path.clone()),
        ));
    }
    Ok(photo)
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
    watch.stage(&format!("read {} photographs", photographs.files.len()));
    if cleaned > 0 {
        watch.stage(&format!(
            "removed place, time and camera notes from {cleaned} of them"
        ));
    }
    photographs
}

/// Cleans a picture after making sure that it can be shown: its size is looked at before anything is decoded, and
/// it is decoded once, so that damage is found here and not by the reader.
fn fit(bytes: &[u8]) -> Result<metadata::Cleaned, PictureError> {
    pixels::decode(bytes, &Limits::default())?;
    metadata::clean(bytes)
}
