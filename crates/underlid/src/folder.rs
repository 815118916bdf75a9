//! The folder of a dossier, where a command was told none.

use crate::failure::Failure;
use app::{Problem, shown};
use std::path::{Path, PathBuf};
use store::opener;

/// Returns the folder that was named, or else the current one, which has to hold a dossier then.
///
/// # Errors
/// No folder named, and no dossier where the command was started.
pub(crate) fn of(named: Option<PathBuf>) -> Result<PathBuf, Failure> {
    if let Some(folder) = named {
        return Ok(folder);
    }
    let here = PathBuf::from(".");
    let text = here.join(store::TEXT);
    let is_there = opener::kind(&text).map_err(Problem::from)?.is_some();
    if is_there {
        return Ok(here);
    }
    let current = std::env::current_dir().unwrap_or_else(|_| Path::new(".").to_path_buf());
    let message = format!(
        "no folder is named, and there is no {} in {}",
        store::TEXT,
        shown(&current)
    );
    let remedy =
        "name the folder of the dossier, go there first, or start one: underlid new my-product";
    Err(Problem::missing(message, remedy).into())
}
