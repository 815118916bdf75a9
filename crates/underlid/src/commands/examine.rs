//! `underlid examine`: the verdicts in the terminal.

use super::{examine_with_progress, open};
use crate::arguments::Format;
use crate::failure::Failure;
use crate::screen;
use std::path::{Path, PathBuf};

pub(crate) fn run(folder: &Path, catalogues: &[PathBuf], format: Format) -> Result<(), Failure> {
    let dossier = open(folder)?;
    let findings = examine_with_progress(folder, &dossier, catalogues)?;
    match format {
        Format::Text => {
            screen::print_marked(&report::terminal(&dossier, &findings, screen::width()))
        }
        Format::Json => screen::print_as(format, &report::json(&findings)),
    }
}
