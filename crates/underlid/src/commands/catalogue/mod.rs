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
use store::{Saved, limits};

pub(crate) fn run(command: CatalogueCommand) -> Result<(), Failure> {
    match command {
        CatalogueCommand::Check { files } => check::run(&files),
        CatalogueCommand::Import(arguments) => import::run(&arguments),
        CatalogueCommand::Harvest { folders, into } => harvest::run(&folders, &into),
    }
}

/// Adds to the catalogue at `path` as it is now: `add` returns its answer and whether there is anything to
/// write. A file that is not there yet is an empty one; what is replaced is kept in the history.
///
/// # Errors
/// A file that cannot be read or written, or one with rows that were refused.
fn add<T>(
    path: &Path,
    add: impl FnOnce(&mut Catalogue) -> (T, bool),
) -> Result<(T, bool), Failure> {
    let mut answer = None;
    let saved = store::revise(path, limits::CATALOGUE, |bytes| {
        let mut known = current(path, bytes)?;
        let (told, changed) = add(&mut known);
        answer = Some(told);
        Ok::<_, Failure>(changed.then(|| catalogue::write(&known).into_bytes()))
    })?;
    let answer = answer.expect("a file is only left or replaced after it was added to");
    Ok((answer, saved != Saved::Unchanged))
}

/// Reads the catalogue that is to be added to.
///
/// # Errors
/// Rows that were refused: writing the file would lose them.
fn current(path: &Path, bytes: Option<&[u8]>) -> Result<Catalogue, Failure> {
    let mut known = Catalogue::default();
    let Some(bytes) = bytes else {
        return Ok(known);
    };
    let read = catalogue::read(bytes, &shown(path));
    let merged = known.merge(read.rows);
    let lost: Vec<String> = read
        .remarks
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
