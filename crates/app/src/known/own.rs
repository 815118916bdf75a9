//! Tables of the analyst's own among the catalogue files: price books and tables of times, told by how their names begin.
//!
//! In: files that were read. Out: the other files apart from them; one table of all, later ones correcting earlier ones.
//! Rows that were refused are told and do not stop the work.
//! Not here: what a row means (`cost::book`, `repair::times`).

use super::{Source, TOLD};
use crate::{Problem, Watch};
use catalogue::Remark;
use cost::book::Book;
use repair::times::Times;
use std::path::Path;

/// A kind of table.
pub(super) trait Own: Default {
    /// How the names of its files begin.
    const BEGINS: &'static str;
    /// What it is called to the user.
    const CALLED: &'static str;

    /// Reads a file called `shown`: the rows that can be used, and why others cannot.
    fn read(bytes: &[u8], shown: &str) -> (Self, Vec<Remark>);

    /// Whether there is no row.
    fn is_empty(&self) -> bool;

    /// Adds the rows of another, which correct these.
    fn merge(&mut self, later: Self);
}

impl Own for Book {
    const BEGINS: &'static str = "prices";
    const CALLED: &'static str = "price book";

    fn read(bytes: &[u8], shown: &str) -> (Self, Vec<Remark>) {
        let read = cost::book::read(bytes, shown);
        (read.book, read.remarks)
    }

    fn is_empty(&self) -> bool {
        self.is_empty()
    }

    fn merge(&mut self, later: Self) {
        self.merge(later);
    }
}

impl Own for Times {
    const BEGINS: &'static str = "times";
    const CALLED: &'static str = "table of times";

    fn read(bytes: &[u8], shown: &str) -> (Self, Vec<Remark>) {
        let read = repair::times::read(bytes, shown);
        (read.times, read.remarks)
    }

    fn is_empty(&self) -> bool {
        self.is_empty()
    }

    fn merge(&mut self, later: Self) {
        self.merge(later);
    }
}

/// Returns whether a file is such a table, by its name.
pub(super) fn is_one<T: Own>(path: &Path) -> bool {
    let name = path
        .file_name()
        .map(|name| name.to_string_lossy().to_lowercase());
    name.is_some_and(|name| name.starts_with(T::BEGINS))
}

/// Parts all other files from such tables.
pub(super) fn parted<T: Own>(sources: Vec<Source<'_>>) -> (Vec<Source<'_>>, Vec<Source<'_>>) {
    sources
        .into_iter()
        .partition(|source| !is_one::<T>(Path::new(&source.shown)))
}

/// Reads such tables as one.
///
/// # Errors
/// A table that was named and of which nothing can be used.
pub(super) fn merged<T: Own>(tables: Vec<Source<'_>>, watch: &dyn Watch) -> Result<T, Problem> {
    let mut all = T::default();
    let mut remarks: Vec<Remark> = Vec::new();
    for source in tables {
        let (found, refused) = T::read(&source.bytes, &source.shown);
        if let (Some(path), true, Some(first)) = (source.named, found.is_empty(), refused.first()) {
            let message = format!(
                "nothing in the {} {} can be used: {}",
                T::CALLED,
                source.shown,
                first.why
            );
            return Err(Problem::refused(message, first.remedy.clone()).at(path));
        }
        all.merge(found);
        remarks.extend(refused);
    }
    for remark in remarks.iter().take(TOLD) {
        watch.note(&format!("left out: {remark}"));
    }
    if remarks.len() > TOLD {
        watch.note(&format!("left out {} more", remarks.len() - TOLD));
    }
    Ok(all)
}
