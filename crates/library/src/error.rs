//! What a library cannot do, and what to do about it.

use crate::{DossierId, PathFault, Person};
use record::Problems;
use std::path::PathBuf;
use store::StoreError;
use store::opener::OpenError;

/// Why a library did not do what it was asked.
#[derive(Debug, thiserror::Error)]
pub enum LibraryError {
    /// No dossier of that id.
    #[error("there is no dossier {0} in this library")]
    NoDossier(DossierId),
    /// The dossier has no such revision.
    #[error("dossier {dossier} has no revision {revision}")]
    NoRevision {
        /// The dossier.
        dossier: DossierId,
        /// The number asked for.
        revision: u64,
    },
    /// The dossier has no such file.
    #[error("dossier {dossier} holds no file {path}")]
    NoFile {
        /// The dossier.
        dossier: DossierId,
        /// Its path inside the dossier.
        path: String,
    },
    /// A file of that name with other bytes is there.
    #[error("dossier {dossier} holds another file {path}")]
    Taken {
        /// The dossier.
        dossier: DossierId,
        /// Its path inside the dossier.
        path: String,
    },
    /// A file has a path that cannot be taken.
    #[error("{0}")]
    Path(PathFault),
    /// Another version was published meanwhile.
    #[error("version {version} of dossier {dossier} cannot be the next")]
    Published {
        /// The dossier.
        dossier: DossierId,
        /// The version.
        version: u64,
    },
    /// The text of a dossier has mistakes.
    #[error(transparent)]
    Mistakes(#[from] Problems),
    /// Others save so fast that this save never came to its turn.
    #[error("others are saving dossier {0} at this moment")]
    Busy(DossierId),
    /// There is no room left.
    #[error("no room is left where the library is kept: {0}")]
    Full(String),
    /// What holds the rows or the photographs fails.
    #[error("the library cannot be reached: {0}")]
    Unreachable(String),
    /// There is no library in the folder.
    #[error("{} holds no library", .0.display())]
    NoLibrary(PathBuf),
    /// A later version of the program wrote it.
    #[error(
        "the library was written by a later version (step {0} of its tables is not known here)"
    )]
    Later(i64),
    /// A number that no list or revision has.
    #[error("the number {0} is too large")]
    TooLarge(u64),
    /// A history that was brought does not hold together.
    #[error("the history that comes with the dossier does not hold together: {0}")]
    BrokenHistory(String),
    /// What holds the rows is not copied by this program.
    #[error("{0} is not backed up by this command")]
    NoCopy(&'static str),
    /// The folder of the library cannot be read.
    #[error(transparent)]
    Unread(#[from] OpenError),
    /// The folder of the library cannot be written.
    #[error(transparent)]
    Unwritten(StoreError),
    /// It is the folder of one dossier, and another was to be kept in it.
    #[error("this is the folder of one dossier; another cannot be kept in it")]
    OneOnly,
    /// Nobody of that name may use the library.
    #[error("nobody is called “{0}” in this library")]
    NoPerson(Person),
    /// Somebody of that name is there, however it is written.
    #[error("somebody is called “{0}” in this library already")]
    PersonThere(Person),
    /// A password that is too short, or far too long.
    #[error("a password has at least {0} characters")]
    Password(usize),
    /// The program was built without libraries of a team.
    #[error("this program was built without libraries on PostgreSQL")]
    NotBuilt,
    /// What is kept is not what was kept.
    #[error("the library is damaged: {0}")]
    Damaged(String),
}

impl LibraryError {
    /// Says what to do about it.
    pub fn remedy(&self) -> &'static str {
        match self {
            Self::NoDossier(_) => "take one of the list",
            Self::NoRevision { .. } => "take one of the history",
            Self::NoFile { .. } => "add the file first",
            Self::Taken { .. } => "give the new file another name",
            Self::Path(_) => "give the file another name, or leave it out",
            Self::Mistakes(_) => "correct the text",
            Self::Busy(_) => "send it again",
            Self::Full(_) => "make room and send it again; nothing of it was kept",
            Self::Unreachable(_) => "see that it runs and can be written to",
            Self::NoLibrary(_) => {
                "give the folder of a library, or a new or empty folder to make one"
            }
            Self::Later(_) => "open it with the version that wrote it, or a later one",
            Self::TooLarge(_) => "number lists from 1",
            Self::BrokenHistory(_) => "bring it without its history",
            Self::NoCopy(_) => "back it up by the means of its database",
            Self::OneOnly => "make a library in a folder of its own",
            Self::NotBuilt => "build it with `cargo build --release --features team`",
            Self::NoPerson(_) => "take one of `underlid library people list`",
            Self::PersonThere(_) => "take another name, or change the password",
            Self::Password(_) => "take a longer one, of several words for instance",
            Self::Unread(error) => error.remedy(),
            Self::Unwritten(error) => error.remedy(),
            Self::Published { .. } => "look at what was published meanwhile, and publish again",
            Self::Damaged(_) => "run `underlid library verify` and bring back a backup",
        }
    }
}

impl From<StoreError> for LibraryError {
    fn from(error: StoreError) -> Self {
        use std::io::ErrorKind::{QuotaExceeded, StorageFull};
        match error {
            StoreError::System { ref source, .. }
                if matches!(source.kind(), StorageFull | QuotaExceeded) =>
            {
                Self::Full(error.to_string())
            }
            StoreError::Unread(error) => Self::Unread(error),
            StoreError::Dossier(problems) => Self::Mistakes(problems),
            other => Self::Unwritten(other),
        }
    }
}

impl From<object_store::Error> for LibraryError {
    fn from(error: object_store::Error) -> Self {
        let text = error.to_string();
        let full = ["No space left", "os error 28", "quota"];
        match full.iter().any(|words| text.contains(words)) {
            true => Self::Full(text),
            false => Self::Unreachable(text),
        }
    }
}
