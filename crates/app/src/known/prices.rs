//! Price books among the catalogue files: CSV files whose names begin with `prices`.
//!
//! In: files that were read. Out: the catalogues apart from the books; one book of all, later ones correcting earlier
//! ones. Rows that were refused are told and do not stop the work.
//! Not here: what a row means (`cost::book`).

use super::{Source, TOLD};
use crate::{Problem, Watch};
use catalogue::Remark;
use cost::book::{Book, read};
use std::path::Path;

/// How the name of a price book begins.
const BEGINS: &str = "prices";

/// Returns whether a file is a price book, by its name.
pub(super) fn is_book(path: &Path) -> bool {
    let name = path
        .file_name()
        .map(|name| name.to_string_lossy().to_lowercase());
    name.is_some_and(|name| name.starts_with(BEGINS))
}

/// Parts catalogues from price books.
pub(super) fn parted(sources: Vec<Source<'_>>) -> (Vec<Source<'_>>, Vec<Source<'_>>) {
    sources
        .into_iter()
        .partition(|source| !is_book(Path::new(&source.shown)))
}

/// Reads price books as one.
///
/// # Errors
/// A book that was named and of which nothing can be used.
pub(super) fn merged(books: Vec<Source<'_>>, watch: &dyn Watch) -> Result<Book, Problem> {
    let mut all = Book::default();
    let mut remarks: Vec<Remark> = Vec::new();
    for source in books {
        let found = read(&source.bytes, &source.shown);
        if let (Some(path), true, Some(first)) =
            (source.named, found.book.is_empty(), found.remarks.first())
        {
            let message = format!(
                "nothing in the price book {} can be used: {}",
                source.shown, first.why
            );
            return Err(Problem::refused(message, first.remedy.clone()).at(path));
        }
        all.merge(found.book);
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
