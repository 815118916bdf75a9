//! The invented product, as a dossier to look at and to edit.
//!
//! In: a folder. Out: the demonstration dossier in it.

use crate::{Problem, Watch, shown};
use include_dir::{Dir, include_dir};
use jiff::Timestamp;
use library::{DossierId, Library, Person};
use std::path::{Path, PathBuf};
use store::opener::kind;
use store::{OutputFile, StoreError};

/// The demonstration dossier travels inside the binary, so that the demo runs anywhere.
static DOSSIER: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/../../demo/lamp");

/// Where the demonstration dossier lies.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DemoFolder {
    /// The dossier's folder.
    pub folder: PathBuf,
    /// Whether it was there already and was left as it is.
    pub kept: bool,
}

/// Writes the demonstration dossier to `into/dossier`; one that is there already stays as it is.
///
/// # Errors
/// A folder that holds something else or cannot be written.
pub fn write_demo(into: &Path, watch: &dyn Watch) -> Result<DemoFolder, Problem> {
    let folder = into.join("dossier");
    let mut files = Vec::new();
    collect(&DOSSIER, &mut files);
    watch.stage(&format!(
        "writing the demonstration dossier to {}",
        shown(&folder)
    ));
    let kept = match store::create_from(&folder, &files) {
        Ok(()) => false,
        // An earlier run wrote it, and its text invites to edit it: what is there is published.
        Err(StoreError::NotEmpty { .. }) if kind(&folder.join(store::TEXT))?.is_some() => true,
        Err(other) => return Err(other.into()),
    };
    if kept {
        watch.stage(&format!(
            "{} is there already and stays as it is",
            shown(&folder)
        ));
    }
    Ok(DemoFolder { folder, kept })
}

/// Keeps the demonstration dossier in a library, marked as invented.
///
/// # Errors
/// What cannot be kept.
pub async fn keep_demo(
    library: &Library,
    by: &Person,
    at: Timestamp,
) -> Result<DossierId, Problem> {
    let mut files = Vec::new();
    collect(&DOSSIER, &mut files);
    let mut text = String::new();
    let mut beside = Vec::new();
    for file in files {
        match file.path == store::TEXT {
            true => text = String::from_utf8_lossy(&file.bytes).into_owned(),
            false => beside.push((file.path, file.bytes.into())),
        }
    }
    Ok(library.create(&text, beside, by, at).await?)
}

fn collect(dir: &Dir<'_>, files: &mut Vec<OutputFile>) {
    for file in dir.files() {
        files.push(OutputFile {
            path: file.path().to_string_lossy().into_owned(),
            bytes: file.contents().to_vec(),
        });
    }
    for inner in dir.dirs() {
        collect(inner, files);
    }
}
