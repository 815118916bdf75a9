//! Libraries as a whole: what is in one, what comes in and goes out, whether it is sound.
//!
//! In: a folder with a library, or the library itself; the time, which a caller tells. Out: plain results.
//! Not here: edits and examined views (`desk`); how rows and photographs are kept (`library`).
//!
//! Where a library is, a `place` tells.
//!
//! A dossier from outside is a `source`: a `folder` or an `archive`, with limits for both, and with its `history` in a file
//! and what was `published` of it if it brings them. `import` takes one into a library, `export` writes one out.

mod archive;
mod export;
mod folder;
mod history;
mod import;
mod place;
mod published;
mod source;

pub use export::{ExportOptions, Exported, export};
pub use import::{ImportOptions, Imported, import};
pub(crate) use place::is_team;
pub use place::{STORE, STORE_KEY, STORE_SECRET};
pub use source::Source;

pub(crate) use source::most;

use crate::Problem;
use library::{DossierId, Head, Library, Verified, Which};
use record::visible;
use std::path::Path;
use store::{limits, opener};

/// Opens the library in a folder, which must be there; or of a team, by its address.
///
/// # Errors
/// No library there; one that is damaged, or that a later version wrote.
pub async fn open(folder: &Path) -> Result<Library, Problem> {
    if let Some(team) = place::team(folder).await {
        return team;
    }
    let opened = Library::open_existing(folder).await;
    opened.map_err(|error| Problem::from(error).at(folder))
}

/// Opens the library in a folder, or makes one where there is nothing; or of a team, by its address.
///
/// # Errors
/// A folder that holds something else or cannot be written.
pub async fn open_or_make(folder: &Path) -> Result<Library, Problem> {
    if let Some(team) = place::team(folder).await {
        return team;
    }
    let opened = Library::open(folder).await;
    opened.map_err(|error| Problem::from(error).at(folder))
}

/// Finds a dossier by its id, or by the name of its product where only one has it.
///
/// # Errors
/// None or several of that name.
pub async fn find(library: &Library, called: &str) -> Result<DossierId, Problem> {
    let mut heads = library.heads(Which::Present).await?;
    heads.extend(library.heads(Which::Withdrawn).await?);
    if let Some(head) = heads.iter().find(|head| head.id.as_str() == called) {
        return Ok(head.id.clone());
    }
    let wanted = called.to_lowercase();
    let named = |head: &&Head| head.name.to_lowercase() == wanted;
    let mut found = heads.iter().filter(named);
    match (found.next(), found.next()) {
        (Some(head), None) => Ok(head.id.clone()),
        (None, _) => Err(Problem::missing(
            format!("there is no dossier “{}” in this library", visible(called)),
            "take an id of the list",
        )),
        (Some(_), Some(_)) => Err(Problem::refused(
            format!("several dossiers are called “{}”", visible(called)),
            "give the id of one",
        )),
    }
}

/// Looks whether everything in a library is still what was kept.
///
/// # Errors
/// A library that cannot be reached; damage is the answer, not an error.
pub async fn verify(library: &Library) -> Result<Verified, Problem> {
    Ok(library.verify().await?)
}

/// Copies a library while it is in use, its own catalogue too; `from` is where it is.
///
/// # Errors
/// A folder that holds something; no room; damage.
pub async fn backup(library: &Library, from: &Path, into: &Path) -> Result<Verified, Problem> {
    let copied = library.backup(into).await;
    let verified = copied.map_err(|error| Problem::from(error).at(into))?;
    if let Some(own) = crate::served::own_parts(from, library)
        && opener::kind(&own)?.is_some()
        && let Some(name) = own.file_name()
    {
        let bytes = opener::read(&own, limits::CATALOGUE)?;
        store::revise(&into.join(name), limits::CATALOGUE, |_| {
            Ok::<_, Problem>(Some(bytes))
        })?;
    }
    Ok(verified)
}
