//! Typefaces for a dossier's own words.
//!
//! In: texts, folders with typefaces. Out: the installed typefaces that they need; nothing is read where the packed
//! ones suffice.

use crate::Watch;
use lettering::Typefaces;
use record::Dossier;
use std::path::PathBuf;

/// Chooses typefaces for a dossier and what was found out about it; `folders` instead of the system's, if given.
pub(crate) fn for_dossier(
    dossier: &Dossier,
    findings: &str,
    folders: Option<&[PathBuf]>,
    watch: &dyn Watch,
) -> Typefaces {
    let record = serde_json::to_string(dossier)
        .expect("a dossier is plain data, which can always be written");
    Typefaces::for_texts([record.as_str(), findings], || {
        watch.stage("looking for typefaces of other scripts");
        let system = store::fonts::folders();
        store::fonts::installed(folders.unwrap_or(&system))
    })
}
