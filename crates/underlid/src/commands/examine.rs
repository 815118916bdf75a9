//! `underlid examine`: the verdicts in the terminal.

use crate::arguments::Format;
use crate::failure::Failure;
use crate::progress::Terminal;
use crate::screen;
use app::ExamineOptions;
use std::path::PathBuf;

pub(crate) fn run(
    folder: PathBuf,
    catalogues: Vec<PathBuf>,
    format: Format,
) -> Result<(), Failure> {
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
