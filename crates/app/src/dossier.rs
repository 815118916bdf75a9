//! A dossier's folder: made, opened, checked, edited, saved.
//!
//! In: a folder. Out: the dossier or the draft in it; or all its mistakes as one problem.

use crate::{Problem, Watch, photographs, shown};
use record::{Content, Dossier, Draft, Files, PathState, Problems};
use serde_json::{Map, Value as Json};
use std::path::Path;
use store::{DossierFolder, OutputFile, Saved};

/// Makes a dossier folder with a commented starting text.
///
/// # Errors
/// A folder that holds something or cannot be made.
pub fn new(folder: &Path) -> Result<(), Problem> {
    Ok(store::create(folder)?)
}

/// As [`new`], with these facts of the product in the text, by the keys of the format.
///
/// # Errors
/// As [`new`]; facts that do not fit.
pub fn new_of(folder: &Path, product: &Map<String, Json>) -> Result<(), Problem> {
    Ok(store::create_with(folder, &new_text(product)?)?)
}

/// Returns the text that a dossier of this product starts from.
///
/// # Errors
/// Facts that do not fit.
pub fn new_text(product: &Map<String, Json>) -> Result<String, Problem> {
    let text = record::starter_of(product)?;
    record::read_text(&text, store::TEXT, &record::AnyFile)
        .map_err(|problems| crate::add::unfit_product(problems.into()))?;
    Ok(text)
}

/// Reads a dossier.
///
/// # Errors
/// All its mistakes at once.
pub fn open(folder: &Path, watch: &dyn Watch) -> Result<Dossier, Problem> {
    watch.stage(&format!("reading {}", shown(folder.join(store::TEXT))));
    Ok(store::open(folder)?)
}

/// Finds every mistake in a dossier's text and in what it says of its files, photographs that cannot be decoded
/// among them.
///
/// # Errors
/// The mistakes, in the order of the text, as data of their own.
pub fn check(folder: &Path, watch: &dyn Watch) -> Result<Dossier, Problems> {
    store::open_with(folder, |files| Decoding {
        folder,
        files,
        watch,
    })
}

/// The files of a dossier, whose photographs are decoded as well.
struct Decoding<'p> {
    folder: &'p Path,
    files: DossierFolder,
    watch: &'p dyn Watch,
}

impl Files for Decoding<'_> {
    fn look(&self, path: &str) -> PathState {
        let state = self.files.look(path);
        let PathState::File {
            content: Content::Picture,
            ..
        } = state
        else {
            return state;
        };
        self.watch.stage(&format!("looking at {path}"));
        match photographs::fault(self.folder, path) {
            Some((why, remedy)) => PathState::Damaged { why, remedy },
            None => state,
        }
    }
    fn names(&self, folder: &str) -> Vec<String> {
        self.files.names(folder)
    }
}

/// Reads the text of a dossier for editing; it may still have mistakes.
///
/// # Errors
/// A text that cannot be read at all.
pub fn open_draft(folder: &Path) -> Result<Draft, Problem> {
    Ok(store::open_draft(folder)?)
}

/// Saves a draft, checked first; the text it replaces is kept.
///
/// # Errors
/// Mistakes in it; a text on disk that changed since the draft was read.
pub fn save(folder: &Path, draft: &Draft) -> Result<Saved, Problem> {
    Ok(store::save(folder, draft)?)
}

/// As [`edit`], with a new file in one of the folders of the dossier, which is there only if the edit is made.
///
/// # Errors
/// As [`edit`]; another file of that name.
pub(crate) fn edit_adding<T>(
    folder: &Path,
    file: &OutputFile,
    change: impl FnOnce(&mut Draft, &Dossier) -> Result<T, Problem>,
    watch: &dyn Watch,
) -> Result<T, Problem> {
    let answer = store::edit_adding(folder, file, change)?;
    watch.stage(&format!("saved in {}", shown(folder.join(store::TEXT))));
    Ok(answer)
}

/// Changes the text of a dossier: `change` is told what is recorded now, which others may have added to, and
/// changes it; then it is checked and saved.
///
/// # Errors
/// What `change` refuses; mistakes in the text before or after.
pub fn edit<T>(
    folder: &Path,
    change: impl FnOnce(&mut Draft, &Dossier) -> Result<T, Problem>,
    watch: &dyn Watch,
) -> Result<T, Problem> {
    let answer = store::edit(folder, change)?;
    watch.stage(&format!("saved in {}", shown(folder.join(store::TEXT))));
    Ok(answer)
}
