//! A dossier from a folder or an archive into a library, byte for byte.
//!
//! In: a source. Out: its id in the library; what was taken and what was not.
//! Not here: what a source may hold (`source`).

use super::published::{self, PUBLISHED};
use super::{Source, history, source::Listed};
use crate::desk::{blocking, lock};
use crate::{Problem, Watch};
use jiff::Timestamp;
use library::{Brought, DossierId, FileEntry, LeavingOut, Library, Origin, Person, Revision};
use record::text_of;
use std::sync::{Arc, Mutex};

/// How to import.
#[derive(Debug, Clone, Copy, Default)]
pub struct ImportOptions {
    /// Leave the history that comes with it, and what was published.
    pub without_history: bool,
}

/// What was imported.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Imported {
    /// Its id in this library.
    pub id: DossierId,
    /// Name of the product.
    pub name: String,
    /// Number of its latest revision.
    pub revision: u64,
    /// Its files, with their digests.
    pub files: Vec<FileEntry>,
    /// Number of publications that came along.
    pub publications: usize,
    /// What lay beside it and belongs to no dossier.
    pub left_out: Vec<String>,
}

/// Takes a dossier into a library. Where anything of it is refused, no dossier is made.
///
/// # Errors
/// A source that is not read, is too large or leads outside; mistakes in the text; a history that does not hold
/// together; a library that cannot be reached or is full.
pub async fn import(
    library: &Library,
    source: Source,
    options: ImportOptions,
    by: &Person,
    at: Timestamp,
    watch: &(dyn Watch + Sync),
) -> Result<Imported, Problem> {
    let shown = source.shown.clone();
    watch.stage(&format!("reading {shown}"));
    let source = Arc::new(Mutex::new(source));
    let Outside {
        listed,
        text,
        history,
        published,
    } = asked(&source, move |source| outside(source, options)).await?;
    let mut files = Vec::new();
    for (number, path) in (1..).zip(&listed.files) {
        if !watch.goes_on() {
            return Err(Problem::stopped());
        }
        watch.step(path, number, listed.files.len());
        let wanted = path.clone();
        let bytes = asked(&source, move |source| source.read(&wanted)).await?;
        files.push(library.keep(path, bytes.into()).await?);
    }
    for (number, (path, file)) in (1..).zip(&published.files) {
        if !watch.goes_on() {
            return Err(Problem::stopped());
        }
        watch.step(path, number, published.files.len());
        let wanted = path.clone();
        let bytes = asked(&source, move |source| source.read(&wanted)).await?;
        let kept = library.keep_published(&file.path, bytes.into()).await?;
        if kept != *file {
            return Err(published::another(&shown, path));
        }
    }
    let publications = published.publications.len();
    let brought = Brought {
        history: joined(history, text, by, at),
        files: files.clone(),
        publications: published.publications,
    };
    let id = library.bring(brought, at).await?;
    if published.leaving_out != LeavingOut::default() {
        let leaving_out = &published.leaving_out;
        library.leave_out(&id, leaving_out, by, at).await?;
    }
    let head = library.head(&id).await?;
    Ok(Imported {
        id,
        name: head.name,
        revision: head.revision,
        files,
        publications,
        left_out: listed.left_out,
    })
}

/// Asks a source on a thread that may wait for a disk.
async fn asked<T: Send + 'static>(
    source: &Arc<Mutex<Source>>,
    ask: impl FnOnce(&mut Source) -> Result<T, Problem> + Send + 'static,
) -> Result<T, Problem> {
    let source = Arc::clone(source);
    blocking(move || ask(&mut lock(&source))).await
}

/// All of a source but its files.
struct Outside {
    listed: Listed,
    text: String,
    history: Vec<(Revision, String)>,
    published: published::Read,
}

fn outside(source: &mut Source, options: ImportOptions) -> Result<Outside, Problem> {
    let mut listed = source.list()?;
    let bytes = source.read(store::TEXT)?;
    let text = text_of(&bytes, store::TEXT)?;
    if text.len() < bytes.len() {
        let mark = "the byte-order mark before the text";
        listed.left_out.push(mark.into());
    }
    let history = match listed.history && !options.without_history {
        true => history::read(&source.read(super::source::HISTORY)?, &source.shown)?,
        false => Vec::new(),
    };
    // What was published names revisions, so without them it cannot be placed.
    let published = match listed.published && !history.is_empty() {
        true => {
            let list = source.read(PUBLISHED)?;
            published::read(&list, &listed.publications, &source.shown)?
        }
        false => published::Read::default(),
    };
    let unnamed = listed.publications.iter();
    let unnamed = unnamed.filter(|path| !published.files.contains_key(*path));
    if !options.without_history {
        listed.left_out.extend(unnamed.cloned());
    }
    Ok(Outside {
        listed,
        text,
        history,
        published,
    })
}

/// The history with the text at its end: a text that was edited since the history was written is one revision more.
fn joined(
    mut history: Vec<(Revision, String)>,
    text: String,
    by: &Person,
    at: Timestamp,
) -> Vec<(Revision, String)> {
    match history.last() {
        None => history.push((Revision::first(by.clone(), at), text)),
        Some((_, last)) if *last == text => {}
        Some((last, _)) => {
            let outside = Revision {
                number: last.number.saturating_add(1),
                origin: Origin::Outside,
                ..Revision::first(by.clone(), at)
            };
            history.push((outside, text));
        }
    }
    history
}
