//! `underlid demo`: the invented product, from record to report.

use super::publish::publish;
use crate::failure::Failure;
use crate::output::{OutputFile, write_folder};
use crate::screen::shown;
use crate::{progress, screen};
use include_dir::{Dir, include_dir};
use std::path::Path;

/// The demonstration dossier travels inside the binary, so that the demo runs anywhere.
static DOSSIER: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/../../demo/lamp");

pub(crate) fn run(into: &Path) -> Result<(), Failure> {
    let folder = into.join("dossier");
    progress::stage(&format!(
        "writing the demonstration dossier to {}",
        shown(&folder)
    ));
    let mut files = Vec::new();
    collect(&DOSSIER, &mut files);
    write_folder(&folder, &files)?;
    publish(&folder, &into.join("report"), &[])?;
    screen::print(&format!(
        "\nEverything in it is invented. Open {}/report/report.html, then edit\n\
         {}/dossier.toml and run: underlid publish {}",
        shown(into),
        shown(&folder),
        shown(&folder)
    ))
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
