//! `underlid examine`: the verdicts in the terminal.

use super::{examine_with_progress, open};
use crate::arguments::Format;
use crate::failure::Failure;
use crate::screen;
use std::path::{Path, PathBuf};

pub(crate) fn run(folder: &Path, catalogues: &[PathBuf], format: Format) -> Result<(), Failure> {
    let dossier = open(folder)?;
    let findings = examine_with_progress(folder, &dossier, catalogues)?;
    screen::print(&match format {
        Format::Text => report::terminal(&dossier, &findings, screen::style()),
        Format::Json => report::json(&findings),
    })
}
