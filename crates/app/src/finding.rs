//! Finding in a library, for a run that asks once.
//!
//! In: a library, what is asked as a line of text. Out: what was found, after what was behind has been indexed.
//! Not here: what a line means and what meets it (`library`); an index kept up to date beside work (`desk`).

use crate::desk::{Desk, Unindexed};
use crate::{Problem, Watch};
use library::{Find, Found, Library};
use std::path::PathBuf;

/// What to find.
pub struct FindOptions {
    /// The line, as [`Find::read`] takes it.
    pub line: String,
    /// Files of known parts besides those that dossiers bring, for what is indexed now.
    pub catalogues: Vec<PathBuf>,
    /// Most hits.
    pub most: usize,
    /// Hits passed over.
    pub from: usize,
}

/// What was found.
pub struct Finding {
    /// The hits.
    pub found: Found,
    /// Dossiers that could not be examined; they are found as they were indexed last, if ever.
    pub left: Vec<Unindexed>,
}

/// Indexes what is behind, then finds.
///
/// # Errors
/// A line that cannot be read; a library that cannot be reached.
pub async fn find(
    library: &Library,
    options: FindOptions,
    watch: &dyn Watch,
) -> Result<Finding, Problem> {
    let mut find = Find::read(&options.line)?;
    (find.most, find.from) = (options.most, options.from);
    watch.stage("indexing what was saved since");
    let desk = Desk::at(library.clone(), options.catalogues);
    let left = desk.bring_index_forward().await?;
    let found = library.find(&find).await?;
    Ok(Finding { found, left })
}
