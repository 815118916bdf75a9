//! What lies in the folder of a dossier, seen through the opener.
//!
//! In: the folder, a path inside it. Out: its text; what a file there is, by its first bytes; names.
//! Not here: what the text means (`record`).

use crate::folder::TEXT;
use crate::limits;
use crate::opener::{self, Kind, OpenError, OpenFault};
use record::{LOOKED_AT, PathState, Problem, Problems, content_of, text_of};
use std::io::{BufReader, Read, Seek};
use std::path::Path;

/// Reads the text of the dossier in `folder`.
///
/// # Errors
/// One problem: no such folder, no text in it, or a text that the opener refuses or is not UTF-8.
pub(crate) fn text(folder: &Path) -> Result<String, Problems> {
    let name = folder.display().to_string();
    let no_folder = |message: &str, remedy: &str| Problem::outside(&name, message, remedy);
    match opener::kind(folder) {
        Ok(Some(Kind::Folder)) => {}
        Ok(None) => {
            return Err(no_folder(
                "there is no such folder",
                "check the path, or start a new dossier there",
            )
            .into());
        }
        Ok(Some(Kind::File | Kind::Other)) => {
            return Err(no_folder(
                "this is a file; a dossier is a folder with a dossier.toml inside",
                "give the folder",
            )
            .into());
        }
        Err(e) => {
            return Err(no_folder(&format!("cannot open it: {}", e.reason()), e.remedy()).into());
        }
    }
    let file = folder.join(TEXT).display().to_string();
    match opener::read_inside(folder, TEXT, limits::DOSSIER) {
        Ok(bytes) => text_of(&bytes, &file),
        Err(e) => Err(refused(&e, &file).into()),
    }
}

fn refused(error: &OpenError, file: &str) -> Problem {
    let (message, remedy) = match &error.fault {
        OpenFault::Missing => (
            "the folder holds no dossier.toml".to_string(),
            "start a new dossier there".to_string(),
        ),
        OpenFault::NotA { .. } => (
            "dossier.toml is not a file".to_string(),
            "put the dossier's text in a file of this name".to_string(),
        ),
        OpenFault::Outside => (
            "dossier.toml is a link that leads outside the dossier folder".to_string(),
            "put the file itself in the folder".to_string(),
        ),
        OpenFault::TooLarge { .. } | OpenFault::TooMany { .. } => (
            error.reason(),
            "keep long logs in logs/ and pictures in photos/".to_string(),
        ),
        OpenFault::Refused { reason, .. } => (
            format!("cannot open it: {reason}"),
            error.remedy().to_string(),
        ),
    };
    Problem::outside(file, message, remedy)
}

/// Looks at the file at `path` inside `root`, of any size: only its first bytes are read.
pub(crate) fn look(root: &Path, path: &str) -> PathState {
    let mut file = match opener::open_inside(root, path, u64::MAX) {
        Ok(file) => file,
        Err(e) => {
            return match e.fault {
                OpenFault::Missing => PathState::Missing,
                OpenFault::NotA { .. } => PathState::NotAFile,
                OpenFault::Outside => PathState::Outside,
                OpenFault::TooLarge { .. }
                | OpenFault::TooMany { .. }
                | OpenFault::Refused { .. } => PathState::Unreadable(e.reason()),
            };
        }
    };
    let mut first = Vec::new();
    let looked = (&mut file)
        .take(LOOKED_AT as u64)
        .read_to_end(&mut first)
        .and_then(|_| file.rewind());
    if let Err(e) = looked {
        return PathState::Unreadable(e.to_string());
    }
    let size = imagesize::reader_size(BufReader::new(file)).ok();
    PathState::File {
        size: size.and_then(|s| Some((s.width.try_into().ok()?, s.height.try_into().ok()?))),
        content: content_of(&first),
    }
}

/// Returns the names in a folder inside `root`, sorted; none where it cannot be looked into, as they serve
/// suggestions alone.
pub(crate) fn names(root: &Path, folder: &str) -> Vec<String> {
    opener::names_inside(root, folder)
        .unwrap_or_default()
        .into_iter()
        .filter_map(|name| name.into_string().ok())
        .collect()
}

#[cfg(all(test, unix))]
mod tests;
