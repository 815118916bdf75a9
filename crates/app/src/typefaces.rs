//! Typefaces for a dossier's own words.
//!
//! In: texts, folders with typefaces. Out: the installed typefaces that they need; nothing is read where the packed
//! ones suffice.

use crate::{Problem, Watch};
use lettering::Typefaces;
use record::Dossier;
use std::path::PathBuf;
use store::opener;

/// Chooses typefaces for a dossier and what was found out about it; `folders` instead of the system's, if given.
///
/// # Errors
/// A folder that is not there.
pub(crate) fn for_dossier(
    dossier: &Dossier,
    findings: &str,
    folders: Option<&[PathBuf]>,
    watch: &dyn Watch,
) -> Result<Typefaces, Problem> {
    for folder in folders.unwrap_or_default() {
        if opener::kind(folder)?.is_none() {
            let message = format!("there is no folder {}", crate::shown(folder));
            return Err(Problem::missing(message, "check the path").at(folder));
        }
    }
    let record = serde_json::to_string(dossier)
        .expect("a dossier is plain data, which can always be written");
    Ok(Typefaces::for_texts([record.as_str(), findings], || {
        watch.stage("looking for typefaces of other scripts");
        let system = store::fonts::folders();
        store::fonts::installed(folders.unwrap_or(&system))
    }))
}
