//! `underlid examine`: the verdicts in the terminal.

use crate::arguments::Format;
use crate::failure::Failure;
use crate::folder;
use crate::progress::Terminal;
use crate::screen;
use app::ExamineOptions;
use std::path::PathBuf;

pub(crate) fn run(
    named: Option<PathBuf>,
    catalogues: Vec<PathBuf>,
    format: Format,
) -> Result<(), Failure> {
    let folder = folder::of(named)?;
    let examined = app::examine(&ExamineOptions { folder, catalogues }, &Terminal)?;
    match format {
        Format::Text => screen::print_marked(&report::terminal(
            &examined.dossier,
            &examined.findings,
            screen::width(),
        )),
        Format::Json => screen::print_as(format, &report::json(&examined.findings)),
    }
}
