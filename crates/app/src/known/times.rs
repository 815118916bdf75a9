//! Tables of times among the catalogue files: CSV files whose names begin with `times`.
//!
//! In: files that were read. Out: one table of all, later ones correcting earlier ones. Rows that were refused are told
//! and do not stop the work. Not here: what a row means (`repair::times`).

use super::{Source, TOLD};
use crate::{Problem, Watch};
use catalogue::Remark;
use repair::times::{Times, read};
use std::path::Path;

/// How the name of a table of times begins.
const BEGINS: &str = "times";

/// Returns whether a file is a table of times, by its name.
pub(super) fn is_table(path: &Path) -> bool {
    let name = path
        .file_name()
        .map(|name| name.to_string_lossy().to_lowercase());
    name.is_some_and(|name| name.starts_with(BEGINS))
}

/// Takes the tables of times out of the sources.
pub(super) fn parted(sources: Vec<Source<'_>>) -> (Vec<Source<'_>>, Vec<Source<'_>>) {
    sources
        .into_iter()
        .partition(|source| !is_table(Path::new(&source.shown)))
}

/// Reads tables of times as one.
///
/// # Errors
/// A table that was named and of which nothing can be used.
pub(super) fn merged(tables: Vec<Source<'_>>, watch: &dyn Watch) -> Result<Times, Problem> {
    let mut all = Times::default();
    let mut remarks: Vec<Remark> = Vec::new();
    for source in tables {
        let found = read(&source.bytes, &source.shown);
        if let (Some(path), true, Some(first)) =
            (source.named, found.times.is_empty(), found.remarks.first())
        {
            let message = format!(
                "nothing in the table of times {} can be used: {}",
                source.shown, first.why
            );
            return Err(Problem::refused(message, first.remedy.clone()).at(path));
        }
        all.merge(found.times);
        remarks.extend(found.remarks);
    }
    for remark in remarks.iter().take(TOLD) {
        watch.note(&format!("left out: {remark}"));
    }
    if remarks.len() > TOLD {
        watch.note(&format!("left out {} more", remarks.len() - TOLD));
    }
    Ok(all)
}
