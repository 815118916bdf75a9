//! `underlid catalogue`: the files of known parts.

mod check;
mod harvest;
mod import;

use crate::arguments::CatalogueCommand;
use crate::failure::Failure;
use crate::progress;
use crate::screen::shown;
use catalogue::{Catalogue, Merged, Remark};
use std::path::Path;
use store::{limits, opener};

pub(crate) fn run(command: CatalogueCommand) -> Result<(), Failure> {
    match command {
        CatalogueCommand::Check { files } => check::run(&files),
        CatalogueCommand::Import(arguments) => import::run(&arguments),
        CatalogueCommand::Harvest { folders, into } => harvest::run(&folders, &into),
    }
}

/// Reads the catalogue that is to be added to; a file that is not there yet is an empty one.
///
/// # Errors
/// A file that cannot be read, or one with rows that were refused: writing it back would lose them.
fn open_or_begin(path: &Path) -> Result<Catalogue, Failure> {
    let mut known = Catalogue::default();
    if opener::kind(path)?.is_none() {
        return Ok(known);
    }
    let (rows, remarks) = crate::known::read_file(path)?;
    let merged = known.merge(rows);
    let lost: Vec<String> = remarks
        .iter()
        .chain(&merged.remarks)
        .filter(|r| r.loss != catalogue::Loss::Nothing)
        .map(ToString::to_string)
        .collect();
    if lost.is_empty() {
        return Ok(known);
    }
    Err(Failure::Outside {
        message: format!(
            "{} holds rows that cannot be read, and writing it would lose them:\n  {}",
            shown(path),
            lost.join("\n  ")
        ),
        remedy: format!("correct them; underlid catalogue check {}", shown(path)),
    })
}

/// Writes a catalogue whole or not at all, unless it would stay as it is.
fn save(known: &Catalogue, path: &Path) -> Result<bool, Failure> {
    let text = catalogue::write(known);
    if opener::read(path, limits::CATALOGUE).is_ok_and(|now| now == text.as_bytes()) {
        return Ok(false);
    }
    crate::output::write_file(path, text.as_bytes())?;
    Ok(true)
}

/// Says in words what a merge did.
fn told(merged: &Merged) -> String {
    format!(
        "{} new, {} corrected, {} as before",
        merged.added, merged.corrected, merged.unchanged
    )
}

/// Prints remarks, the refused rows first; a few hundred of them are still a list to work through.
fn remarks(remarks: &[Remark]) -> String {
    let (lost, notes): (Vec<_>, Vec<_>) = remarks
        .iter()
        .partition(|r| r.loss != catalogue::Loss::Nothing);
    let mut text = String::new();
    for (heading, list) in [("Refused", lost), ("Worth knowing", notes)] {
        if list.is_empty() {
            continue;
        }
        text += &format!("\n{heading} ({}):\n", list.len());
        for remark in list {
            text += &format!("  {remark}\n");
        }
    }
    text
}

/// Tells the stage with a file's name.
fn reading(path: &Path, number: usize, of: usize) {
    progress::step(&format!("reading {}", shown(path)), number, of);
}
