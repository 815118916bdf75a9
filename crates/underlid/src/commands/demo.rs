//! `underlid demo`: the invented product, from record to report.

use super::publish::publish;
use crate::failure::Failure;
use crate::screen::shown;
use crate::{progress, screen};
use include_dir::{Dir, include_dir};
use std::path::Path;
use store::{OutputFile, StoreError, opener};

/// The demonstration dossier travels inside the binary, so that the demo runs anywhere.
static DOSSIER: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/../../demo/lamp");

pub(crate) fn run(into: &Path) -> Result<(), Failure> {
    let folder = into.join("dossier");
    let mut files = Vec::new();
    collect(&DOSSIER, &mut files);
    progress::stage(&format!(
        "writing the demonstration dossier to {}",
        shown(&folder)
    ));
    let kept = match store::create_from(&folder, &files) {
        Ok(()) => false,
        // An earlier run wrote it, and its text invites to edit it: what is there is published.
        Err(StoreError::NotEmpty { .. }) if opener::kind(&folder.join(store::TEXT))?.is_some() => {
            true
        }
        Err(other) => return Err(other.into()),
    };
    if kept {
        progress::stage(&format!(
            "{} is there already and stays as it is",
            shown(&folder)
        ));
    }
    publish(&folder, &into.join("report"), &[])?;
    let at = shown(&folder);
    let mut told = format!(
        "\nEverything in it is invented. Open {}/report/report.html, then edit\n\
         {at}/dossier.toml and run: underlid publish {at}",
        shown(into),
    );
    if kept {
        told += &format!(
            "\n\nThis report is made from {at} as it was found, with your edits if there are any.\n\
             For a fresh one: underlid demo --into another-folder"
        );
    }
    screen::print(&told)
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
