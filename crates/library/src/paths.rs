//! Paths of files that can lie together in one dossier, wherever it is taken.
//!
//! In: paths as they come. Out: why one cannot be taken, if it cannot.
//! Not here: which folders a dossier has (the use cases that read one from outside).
//!
//! Two paths that differ by case or by the way accents are written are one file on some systems, so the second is
//! refused: an export that loses a file is worse than an import that is refused.
//! Source: Unicode Standard Annex 15 (normalisation form C); lower case by the Unicode character database.

use crate::LibraryError;
use record::visible;
use std::collections::{BTreeMap, BTreeSet};
use unicode_normalization::UnicodeNormalization as _;

/// Most bytes of a path and of a name in it; file systems bear 255 bytes a name.
const LONGEST: usize = 1000;
const LONGEST_NAME: usize = 240;

/// Most folders within each other.
const DEEPEST: usize = 8;

/// Why a path cannot be taken.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PathFault {
    /// It does not stay inside, or no system could hold it.
    #[error("“{path}” cannot be the path of a file in a dossier: {why}")]
    Unfit {
        /// The path, with nothing in it that steers a terminal.
        path: String,
        /// What is wrong with it.
        why: &'static str,
    },
    /// Another path is the same on some systems.
    #[error("“{path}” and “{other}” are one file on some systems")]
    Alike {
        /// The path.
        path: String,
        /// The one that was there before.
        other: String,
    },
    /// A file and a folder have the same name.
    #[error("“{path}” is both a file and a folder")]
    Folder {
        /// The path.
        path: String,
    },
}

/// Paths taken together.
#[derive(Debug, Clone, Default)]
pub struct Paths {
    files: BTreeMap<String, String>,
    folders: BTreeSet<String>,
}

impl Paths {
    /// Takes one more path.
    ///
    /// # Errors
    /// Why it cannot be taken; then nothing is changed.
    pub fn take(&mut self, path: &str) -> Result<(), PathFault> {
        if let Some(why) = unfit(path) {
            let path = visible(path);
            return Err(PathFault::Unfit { path, why });
        }
        let folded = folded(path);
        if let Some(other) = self.files.get(&folded) {
            return Err(PathFault::Alike {
                path: visible(path),
                other: visible(other),
            });
        }
        let folders = above(&folded);
        if self.folders.contains(&folded) || folders.iter().any(|f| self.files.contains_key(f)) {
            let path = visible(path);
            return Err(PathFault::Folder { path });
        }
        self.folders.extend(folders);
        self.files.insert(folded, path.to_string());
        Ok(())
    }
}

impl From<PathFault> for LibraryError {
    fn from(fault: PathFault) -> Self {
        Self::Path(fault)
    }
}

fn unfit(path: &str) -> Option<&'static str> {
    if let Some(why) = record::refuse_path(path) {
        return Some(why);
    }
    if path.len() > LONGEST || path.split('/').any(|name| name.len() > LONGEST_NAME) {
        return Some("it is too long");
    }
    (path.split('/').count() > DEEPEST).then_some("its folders are too deep")
}

/// What systems that do not tell case or accents apart compare.
fn folded(path: &str) -> String {
    path.nfc()
        .collect::<String>()
        .to_lowercase()
        .nfc()
        .collect()
}

/// The folders that a path lies in.
fn above(path: &str) -> Vec<String> {
    let ends = path.match_indices('/');
    ends.map(|(at, _)| path[..at].to_string()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn paths_stay_inside() {
        for path in [
            "/etc/passwd",
            "../dossier.toml",
            "photos/../../x",
            "photos/..",
            "photos/./x",
            "photos//x",
            "photos/",
            "photos\\..\\x",
            "C:\\x",
            "C:/x",
            "~/x",
            "",
            "a\0b",
            "a\nb",
        ] {
            let taken = Paths::default().take(path);
            assert!(
                matches!(taken, Err(PathFault::Unfit { .. })),
                "{path:?}: {taken:?}"
            );
        }
        let deep = "a/".repeat(DEEPEST) + "b";
        assert!(Paths::default().take(&deep).is_err());
        assert!(
            Paths::default()
                .take(&"x".repeat(LONGEST_NAME + 1))
                .is_err()
        );
    }

    #[test]
    fn what_is_one_file_somewhere_is_refused() {
        let mut paths = Paths::default();
        for path in [
            "photos/Lid.JPG",
            "photos/caf\u{e9}.jpg",
            "logs/a",
            "photos/straße.jpg",
        ] {
            paths.take(path).expect("the first of its kind");
        }
        for path in [
            "photos/lid.jpg",
            "photos/cafe\u{301}.jpg",
            "PHOTOS/CAFE\u{301}.JPG",
            "logs/a",
        ] {
            assert!(
                matches!(paths.take(path), Err(PathFault::Alike { .. })),
                "{path}"
            );
        }
        for path in ["logs/a/b", "photos"] {
            assert!(
                matches!(paths.take(path), Err(PathFault::Folder { .. })),
                "{path}"
            );
        }
        paths.take("photos/strasse.jpg").expect("another name");
    }
}
