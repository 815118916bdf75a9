//! Why something was not written, as data.
//!
//! In: nothing. Out: [`StoreError`]: what is wrong, where, and what a person can do about it.
//! Not here: exit codes and how it is printed (the command).

use crate::opener::OpenError;
use record::Problems;
use std::io;
use std::path::{Path, PathBuf};

/// Why something was not written. What was there before is there still.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// The system refused.
    #[error("cannot {doing} {}: {source}", path.display())]
    System {
        /// What was tried, in the infinitive.
        doing: &'static str,
        /// Where.
        path: PathBuf,
        /// Why not.
        source: io::Error,
    },
    /// A symbolic link stands where something is to be written.
    #[error("{} is a link, and nothing is written through links", path.display())]
    Link {
        /// The link.
        path: PathBuf,
    },
    /// Something else stands where a file or a folder is to be written.
    #[error("{} is not a {wanted}", path.display())]
    NotA {
        /// The path.
        path: PathBuf,
        /// `file` or `folder`.
        wanted: &'static str,
    },
    /// The path ends in no name (`.`, `..`, `/`), so that nothing can be put in its place.
    #[error("{} does not name what is to be written", path.display())]
    Nameless {
        /// The path.
        path: PathBuf,
    },
    /// What is to be replaced was not read.
    #[error(transparent)]
    Unread(#[from] OpenError),
    /// Somebody else saved in between.
    #[error("{}: the text on disk changed after it was read for this edit", path.display())]
    Changed {
        /// The file.
        path: PathBuf,
    },
    /// There is a dossier already, or a folder that holds something.
    #[error("{}: the folder is there already and is not empty", path.display())]
    NotEmpty {
        /// The folder.
        path: PathBuf,
    },
    /// Another file has the name of one that is to be added.
    #[error("{} is there already and is another file", path.display())]
    Taken {
        /// The file.
        path: PathBuf,
    },
    /// An output folder holds something that Underlid did not write there.
    #[error("{} already holds '{name}', which is not part of a {kind} written here before", path.display())]
    Foreign {
        /// The folder.
        path: PathBuf,
        /// What it holds.
        name: String,
        /// What was to be written.
        kind: &'static str,
    },
    /// An output folder would lie among the evidence of a dossier.
    #[error("{} lies in {}, where a dossier keeps what it rests on", path.display(), kept.display())]
    Evidence {
        /// The folder asked for.
        path: PathBuf,
        /// The folder of the dossier that it lies in.
        kept: PathBuf,
    },
    /// Another run does not let go.
    #[error("another run has been writing in {} for {seconds} s", path.display())]
    Busy {
        /// The folder.
        path: PathBuf,
        /// How long was waited, s.
        seconds: u64,
    },
    /// A dossier has mistakes.
    #[error(transparent)]
    Dossier(#[from] Problems),
}

impl StoreError {
    /// Makes the error of a system call.
    pub(crate) fn system(doing: &'static str, path: &Path, source: io::Error) -> Self {
        Self::System {
            doing,
            path: path.to_path_buf(),
            source,
        }
    }

    /// Returns what a person can do about it, in the imperative.
    pub fn remedy(&self) -> &'static str {
        match self {
            Self::System { source, .. } => remedy(source),
            Self::Link { .. } => {
                "give the place that the link leads to, or put the file itself there"
            }
            Self::NotA { .. } => "move it out of the way, or choose another name",
            Self::Nameless { .. } => "give a path that ends in a name",
            Self::Unread(error) => error.remedy(),
            Self::Changed { .. } => "read it again and repeat the edit",
            Self::NotEmpty { .. } => "give the name of a new or empty folder",
            Self::Taken { .. } => "give the new file another name",
            Self::Foreign { .. } => {
                "choose a new or empty folder, or move what is yours out of this one"
            }
            Self::Evidence { .. } => "choose a folder outside of it",
            Self::Busy { .. } => "wait for it to end, then try again",
            Self::Dossier(_) => "correct the text",
        }
    }
}

fn remedy(error: &io::Error) -> &'static str {
    use io::ErrorKind;
    match error.kind() {
        ErrorKind::PermissionDenied => "choose a folder you may write to, or ask its owner",
        ErrorKind::ReadOnlyFilesystem => "choose a folder that can be written",
        ErrorKind::StorageFull | ErrorKind::QuotaExceeded => {
            "free some space or choose another disk; nothing was changed"
        }
        ErrorKind::NotADirectory => "a part of the path is a file; choose another folder",
        ErrorKind::AlreadyExists | ErrorKind::DirectoryNotEmpty => "choose another folder",
        ErrorKind::Unsupported => "choose a folder on a disk whose file system knows locks",
        _ => "check the path and the disk, then try again",
    }
}
