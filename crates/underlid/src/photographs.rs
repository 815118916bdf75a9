//! Photographs of a dossier, read for publication.
//!
//! In: a folder and its dossier. Out: the bytes of each photograph without place, time and camera
//! notes. The files in the dossier stay as they came.

use crate::failure::Failure;
use crate::progress;
use imaging::pixels::{self, Fault, Limits, metadata};
use record::Dossier;
use report::Photographs;
use std::collections::BTreeMap;
use std::path::Path;

/// Reads and decodes one picture, upright.
///
/// # Errors
/// A file that cannot be read or is no sound picture.
pub(crate) fn decoded(path: &Path) -> Result<pixels::Photo, Failure> {
    let bytes = std::fs::read(path).map_err(|e| Failure::io("read", path, &e))?;
    pixels::decode(&bytes, &Limits::default()).map_err(|e| Failure::Outside {
        message: format!("cannot read {}: {e}", path.display()),
        remedy: e.remedy().to_string(),
    })
}

/// As [`decoded`], for pictures whose pixels are named in the record.
///
/// # Errors
/// As [`decoded`]; and a picture that lies on its side, where places in the record and in the picture would
/// not be the same.
pub(crate) fn upright(path: &Path) -> Result<pixels::Photo, Failure> {
    let photo = decoded(path)?;
    if photo.orientation != 1 {
        return Err(Failure::Outside {
            message: format!("{} is stored on its side", path.display()),
            remedy: "save it upright with any picture program; its pixels are then counted as they are seen"
                .to_string(),
        });
    }
    Ok(photo)
}

/// Reads the photographs. A damaged file is told and left out: what it holds beside its pixels
/// cannot be known.
///
/// # Errors
/// A file that cannot be read.
pub(crate) fn for_publication(folder: &Path, dossier: &Dossier) -> Result<Photographs, Failure> {
    let mut photographs = BTreeMap::new();
    let mut cleaned = 0_usize;
    for photo in &dossier.photos {
        let path = folder.join("photos").join(&photo.file);
        let bytes = std::fs::read(&path).map_err(|e| Failure::io("read", &path, &e))?;
        let bytes = match metadata::clean(&bytes) {
            Ok(clean) => {
                cleaned += usize::from(!clean.removed.is_empty());
                clean.bytes
            }
            // Formats without such notes stay as they are; the report says so of those it cannot show.
            Err(e) if e.fault == Fault::NotAPicture => bytes,
            Err(e) => {
                progress::stage(&format!("left out {}", e.in_file(&photo.file)));
                continue;
            }
        };
        photographs.insert(photo.file.clone(), bytes.into());
    }
    progress::stage(&format!("read {} photographs", photographs.len()));
    if cleaned > 0 {
        progress::stage(&format!(
            "removed place, time and camera notes from {cleaned} of them"
        ));
    }
    Ok(Photographs(photographs))
}
