//! Photographs of a dossier, read for publication.
//!
//! In: a folder and its dossier. Out: the bytes of each photograph without place, time and camera
//! notes. The files in the dossier stay as they came.

use crate::failure::Failure;
use crate::progress;
use imaging::pixels::{Fault, metadata};
use record::Dossier;
use report::Photographs;
use std::collections::BTreeMap;
use std::path::Path;

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
            // The report shows formats without such notes as they are and says so of the others.
            Err(e) if matches!(e.fault, Fault::NotAPicture | Fault::Unread(_)) => bytes,
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
