//! The files of known parts: checked, imported into, harvested into, given a code.
//!
//! In: catalogues, tables, symbol libraries, dossiers. Out: what was taken, corrected or refused; a catalogue,
//! written whole, what it replaces being kept.

mod check;
mod code;
mod harvest;
mod import;

pub use check::{CatalogueFile, CheckedCatalogues, check};
pub use code::{CodeOptions, Coded, code};
pub(crate) use harvest::confirmed;
pub use harvest::{Harvested, harvest};
pub use import::{Content, ImportOptions, Imported, Previewed, import, preview};

use crate::shown;
use crate::{At, Kind, Problem, Remedy, Watch};
use catalogue::Catalogue;
use std::path::Path;
use store::{Saved, limits};

/// Adds to the catalogue at `path` as it is now: `add` returns its answer and whether there is anything to
/// write. A file that is not there yet is an empty one; what is replaced is kept in the history.
///
/// # Errors
/// A file that cannot be read or written, or one with rows that were refused.
pub(crate) fn add<T>(
    path: &Path,
    add: impl FnOnce(&mut Catalogue) -> (T, bool),
) -> Result<(T, bool), Problem> {
    let mut answer = None;
    let saved = store::revise(path, limits::CATALOGUE, |bytes| {
        let mut known = current(path, bytes)?;
        let (added, changed) = add(&mut known);
        answer = Some(added);
        Ok::<_, Problem>(changed.then(|| catalogue::write(&known).into_bytes()))
    })?;
    let answer = answer.expect("a file is only left or replaced after it was added to");
    Ok((answer, saved != Saved::Unchanged))
}

/// Reads the catalogue that is to be added to.
///
/// # Errors
/// Rows that were refused: writing the file would lose them.
fn current(path: &Path, bytes: Option<&[u8]>) -> Result<Catalogue, Problem> {
    let mut known = Catalogue::default();
    let Some(bytes) = bytes else {
        return Ok(known);
    };
    let read = catalogue::read(bytes, &path.to_string_lossy());
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
    Err(Problem {
        kind: Kind::Refused,
        place: Some(At::Path(path.to_path_buf())),
        message: format!(
            "{} holds rows that cannot be read, and writing it would lose them:\n  {}",
            shown(path),
            lost.join("\n  ")
        ),
        remedy: Remedy::CheckCatalogue(path.to_path_buf()),
    })
}

/// Tells the file that is read next.
fn reading(path: &Path, number: usize, of: usize, watch: &dyn Watch) -> Result<(), Problem> {
    if !watch.goes_on() {
        return Err(Problem::stopped());
    }
    watch.step(&format!("reading {}", shown(path)), number, of);
    Ok(())
}
