//! Which files a dossier may name, and what is there, without touching the disk.
//!
//! In: paths as written. Out: whether they stay inside the folder; through [`Files`], whether they
//! exist. The folder on disk answers in `store`; tests and libraries answer from memory.

use crate::Content;

/// What lies at a path inside the dossier folder.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PathState {
    /// A file; width and height in pixels, upright, where it is a picture whose size is known.
    File {
        /// Width and height in pixels, upright.
        size: Option<(u32, u32)>,
        /// What its first bytes say it is.
        content: Content,
    },
    /// Nothing.
    Missing,
    /// Something that is not a file (a folder, a device).
    NotAFile,
    /// A link that leads out of the folder.
    Outside,
    /// A file that may not be read, and why.
    Unreadable(String),
    /// A picture whose pixels cannot be had.
    Damaged {
        /// Why.
        why: String,
        /// What to do about it.
        remedy: String,
    },
}

/// Answers what lies at a path of the dossier folder, written with `/` (`photos/lid.png`).
pub trait Files {
    /// Looks at one path.
    fn look(&self, path: &str) -> PathState;
    /// Lists the names in one sub-folder, for suggestions; empty where not known.
    fn names(&self, folder: &str) -> Vec<String>;
}

impl<F: Fn(&str) -> bool> Files for F {
    fn look(&self, path: &str) -> PathState {
        if self(path) {
            PathState::File {
                size: None,
                content: Content::Unknown,
            }
        } else {
            PathState::Missing
        }
    }
    fn names(&self, _folder: &str) -> Vec<String> {
        Vec::new()
    }
}

/// Takes every named file to be there: for checking text on its own.
#[derive(Debug, Clone, Copy, Default)]
pub struct AnyFile;

impl Files for AnyFile {
    fn look(&self, _path: &str) -> PathState {
        PathState::File {
            size: None,
            content: Content::Unknown,
        }
    }
    fn names(&self, _folder: &str) -> Vec<String> {
        Vec::new()
    }
}

/// Says why a file name may not stand in a dossier, if it may not.
pub fn refuse_path(path: &str) -> Option<&'static str> {
    if path.is_empty() {
        return Some("the file name is empty");
    }
    if path.chars().any(char::is_control) {
        return Some("the file name holds a control character");
    }
    if path.contains('\\') {
        return Some("the file name holds a backslash");
    }
    if path.starts_with('/') || path.chars().nth(1) == Some(':') || path.starts_with('~') {
        return Some("the path leads outside the dossier folder");
    }
    if path.split('/').any(|part| part == "..") {
        return Some("the path leads outside the dossier folder");
    }
    path.split('/')
        .any(|part| part.is_empty() || part == ".")
        .then_some("the path has an empty part")
}
