//! What is wrong in catalogue files, and what later ones correct.

use super::reading;
use crate::{Problem, Watch, known};
use catalogue::{Catalogue, Loss, Merged, Remark};
use std::path::PathBuf;

/// What is said of catalogue files.
#[derive(Debug)]
pub struct CheckedCatalogues {
    /// Each file in order.
    pub files: Vec<CatalogueFile>,
    /// Parts in all.
    pub parts: usize,
    /// What is wrong or worth knowing.
    pub remarks: Vec<Remark>,
}

/// One file of several that were put together.
#[derive(Debug)]
pub struct CatalogueFile {
    /// Its path.
    pub path: PathBuf,
    /// What it added to those before it and corrected in them.
    pub merged: Merged,
}

impl CheckedCatalogues {
    /// Returns whether rows were refused.
    pub fn has_mistakes(&self) -> bool {
        self.remarks.iter().any(|r| r.loss != Loss::Nothing)
    }
}

/// Checks catalogue files, each correcting those before it, price books and tables of times, whose rows count as added.
///
/// # Errors
/// A file that cannot be read at all; work that was stopped.
pub fn check(paths: &[PathBuf], watch: &dyn Watch) -> Result<CheckedCatalogues, Problem> {
    let mut known = Catalogue::default();
    let (mut files, mut remarks) = (Vec::new(), Vec::new());
    for (n, path) in paths.iter().enumerate() {
        reading(path, n + 1, paths.len(), watch)?;
        let tables = match known::read_book(path)? {
            Some(book) => Some((book.book.rows().len(), book.remarks)),
            None => known::read_times(path)?.map(|times| (times.times.rows().len(), times.remarks)),
        };
        if let Some((added, found)) = tables {
            remarks.extend(found);
            files.push(CatalogueFile {
                path: path.clone(),
                merged: Merged {
                    added,
                    ..Merged::default()
                },
            });
            continue;
        }
        let (rows, found) = known::read_file(path)?;
        remarks.extend(found);
        let merged = known.merge(rows);
        remarks.extend(merged.remarks.iter().cloned());
        files.push(CatalogueFile {
            path: path.clone(),
            merged,
        });
    }
    Ok(CheckedCatalogues {
        files,
        parts: known.parts().len(),
        remarks,
    })
}
