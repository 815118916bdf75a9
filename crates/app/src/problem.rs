//! Why something could not be done, as data: one type for every verb.
//!
//! In: the errors of the crates below. Out: [`Problem`]. Each of those errors becomes one here and nowhere else.
//! Not here: exit codes, status codes, how it is printed.

use crate::{Remedy, shown};
use library::{FindError, LibraryError};
use record::{EditError, Place, Problems, visible};
use std::fmt;
use std::path::{Path, PathBuf};
use store::StoreError;
use store::opener::{OpenError, OpenFault};

/// Why something could not be done.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{message}")]
pub struct Problem {
    /// What kind of problem it is; all that a caller need decide on.
    pub kind: Kind,
    /// Where, if it is about one place.
    pub place: Option<At>,
    /// What is wrong; nothing in it steers a terminal.
    pub message: String,
    /// What a person can do about it.
    pub remedy: Remedy,
}

/// Kinds of problems.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Kind {
    /// The dossier has mistakes, all of them listed here; the message tells each with its remedy.
    Mistakes(Problems),
    /// What was given cannot be read as what it is to be, or does not fit what is recorded; where it is about the
    /// fields of an entry, each is listed here. Nothing was done.
    Unfit(Vec<Fault>),
    /// What was named is not there.
    Missing,
    /// It cannot be done as asked.
    Refused,
    /// It was looked into as asked, and what was looked at gives no answer: nothing to be found, or marks and
    /// sizes from which nothing follows.
    NoAnswer,
    /// Somebody else has changed it meanwhile, or is changing it.
    Conflict,
    /// The one who waited for it wanted no more.
    Stopped,
    /// The system, a disk or a permission stands in the way.
    Outside,
    /// A fault of the program.
    Internal,
}

/// Why a value was not taken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// The short name of the field, where it is about one.
    pub field: Option<String>,
    /// What is wrong.
    pub message: String,
    /// What to give instead.
    pub remedy: String,
}

/// The place of a problem.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum At {
    /// A file or folder.
    Path(PathBuf),
    /// Something in the record.
    Record(Place),
}

impl fmt::Display for At {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Path(path) => f.write_str(&shown(path)),
            Self::Record(place) => f.write_str(&visible(&place.to_string())),
        }
    }
}

impl From<Place> for At {
    fn from(place: Place) -> Self {
        Self::Record(place)
    }
}

impl Problem {
    pub(crate) fn new(kind: Kind, message: impl Into<String>, remedy: impl Into<Remedy>) -> Self {
        Self {
            kind,
            place: None,
            message: message.into(),
            remedy: remedy.into(),
        }
    }

    /// Something that was named is not there.
    pub fn missing(message: impl Into<String>, remedy: impl Into<Remedy>) -> Self {
        Self::new(Kind::Missing, message, remedy)
    }

    pub(crate) fn refused(message: impl Into<String>, remedy: impl Into<Remedy>) -> Self {
        Self::new(Kind::Refused, message, remedy)
    }

    /// Something that was given cannot be read.
    pub fn unfit(message: impl Into<String>, remedy: impl Into<Remedy>) -> Self {
        Self::new(Kind::Unfit(Vec::new()), message, remedy)
    }

    /// Values that were not taken.
    pub fn of_faults(faults: Vec<Fault>) -> Self {
        let told = faults.iter().map(|f| match &f.field {
            Some(field) => format!("{field}: {}; {}", f.message, f.remedy),
            None => format!("{}; {}", f.message, f.remedy),
        });
        let message = visible(&told.collect::<Vec<_>>().join("\n"));
        Self::new(Kind::Unfit(faults), message, "correct what was given")
    }

    /// The system stands in the way.
    pub fn outside(message: impl AsRef<str>, remedy: impl Into<Remedy>) -> Self {
        Self::new(Kind::Outside, visible(message.as_ref()), remedy)
    }

    /// A fault of the program.
    pub(crate) fn internal(what: &str) -> Self {
        let message = format!("a fault of the program: {}", visible(what));
        Self::new(Kind::Internal, message, "do it again; nothing was written")
    }

    pub(crate) fn stopped() -> Self {
        methods::Cancelled.into()
    }

    pub(crate) fn at(self, path: &Path) -> Self {
        self.about(At::Path(path.to_path_buf()))
    }

    /// Says which place of the record, or which file, it is about.
    pub(crate) fn about(self, place: impl Into<At>) -> Self {
        Self {
            place: Some(place.into()),
            ..self
        }
    }
}

impl From<OpenError> for Problem {
    fn from(error: OpenError) -> Self {
        let kind = match error.fault {
            OpenFault::Missing => Kind::Missing,
            OpenFault::Refused { .. } => Kind::Outside,
            OpenFault::NotA { .. }
            | OpenFault::Outside
            | OpenFault::TooLarge { .. }
            | OpenFault::TooMany { .. } => Kind::Refused,
        };
        Self::new(kind, visible(&error.to_string()), error.remedy()).at(&error.path)
    }
}

impl From<Problems> for Problem {
    fn from(problems: Problems) -> Self {
        // What has no line is no mistake in the text: there is no text, or none that may be read.
        if let [outside] = problems.0.as_slice()
            && outside.line == 0
        {
            let message = visible(&format!("{}: {}", outside.file, outside.message));
            return Self::missing(message, outside.remedy.clone()).at(Path::new(&outside.file));
        }
        let first = problems.0.first();
        Self {
            place: first.map(|first| match &first.place {
                Some(place) => At::Record(place.clone()),
                None => At::Path(PathBuf::from(&first.file)),
            }),
            message: problems.to_string(),
            remedy: "correct the text".into(),
            kind: Kind::Mistakes(problems),
        }
    }
}

impl From<StoreError> for Problem {
    fn from(error: StoreError) -> Self {
        let (kind, path) = match error {
            StoreError::Dossier(problems) => return problems.into(),
            StoreError::Unread(error) => return error.into(),
            StoreError::System { ref path, .. } => (Kind::Outside, path),
            StoreError::Changed { ref path } | StoreError::Busy { ref path, .. } => {
                (Kind::Conflict, path)
            }
            StoreError::Link { ref path }
            | StoreError::NotA { ref path, .. }
            | StoreError::Nameless { ref path }
            | StoreError::NotEmpty { ref path }
            | StoreError::Foreign { ref path, .. }
            | StoreError::Taken { ref path }
            | StoreError::Evidence { ref path, .. } => (Kind::Refused, path),
        };
        Self::new(kind, visible(&error.to_string()), error.remedy()).at(path)
    }
}

/// An edit that cannot be made, or that no longer fits what is recorded now.
impl From<EditError> for Problem {
    fn from(error: EditError) -> Self {
        let (kind, remedy) = match &error {
            EditError::NoPlace(_)
            | EditError::WrongPlace { .. }
            | EditError::WrongValue { .. }
            | EditError::UnknownKey { .. }
            | EditError::BadId { .. } => (Kind::Refused, "write it as the format asks".into()),
            EditError::Layout { .. } => (
                Kind::Refused,
                "edit the text itself there, in any text editor".into(),
            ),
            EditError::NothingThere { .. } => (Kind::Missing, Remedy::EditAgain),
            EditError::Changed { .. } | EditError::Meanwhile { .. } | EditError::Taken { .. } => {
                (Kind::Conflict, Remedy::EditAgain)
            }
        };
        Self {
            kind,
            place: error.place().cloned().map(At::Record),
            message: format!("the edit was not made: {error}"),
            remedy,
        }
    }
}

impl From<FindError> for Problem {
    fn from(error: FindError) -> Self {
        Self::unfit(visible(&error.to_string()), error.remedy)
    }
}

impl From<LibraryError> for Problem {
    fn from(error: LibraryError) -> Self {
        let kind = match &error {
            LibraryError::Mistakes(problems) => return problems.clone().into(),
            LibraryError::Unread(error) => return error.clone().into(),
            LibraryError::Unwritten(_) => Kind::Outside,
            LibraryError::NoLibrary(_) => Kind::Missing,
            LibraryError::Later(_) | LibraryError::NoCopy(_) | LibraryError::NotBuilt => {
                Kind::Refused
            }
            LibraryError::TooLarge(_) | LibraryError::BrokenHistory(_) => Kind::Unfit(Vec::new()),
            LibraryError::NoDossier(_)
            | LibraryError::NoRevision { .. }
            | LibraryError::NoFile { .. } => Kind::Missing,
            LibraryError::NoPerson(_) => Kind::Missing,
            LibraryError::Password(_) => Kind::Unfit(Vec::new()),
            LibraryError::Taken { .. }
            | LibraryError::PersonThere(_)
            | LibraryError::OneOnly
            | LibraryError::Path(_) => Kind::Refused,
            LibraryError::Busy(_) | LibraryError::Published { .. } => Kind::Conflict,
            LibraryError::Full(_) | LibraryError::Unreachable(_) | LibraryError::Damaged(_) => {
                Kind::Outside
            }
        };
        Self::new(kind, visible(&error.to_string()), error.remedy())
    }
}

impl From<logs::LogError> for Problem {
    fn from(error: logs::LogError) -> Self {
        let kind = match error.fault {
            logs::Fault::Stopped => return Self::stopped(),
            logs::Fault::Unreadable => Kind::Outside,
            _ => Kind::Unfit(Vec::new()),
        };
        Self::new(kind, visible(&error.to_string()), error.remedy)
    }
}

impl From<captions::CaptionError> for Problem {
    fn from(error: captions::CaptionError) -> Self {
        Self::unfit(visible(&error.reason()), error.remedy())
    }
}

impl From<::past::PastError> for Problem {
    fn from(error: ::past::PastError) -> Self {
        Self::unfit(visible(&error.reason()), error.remedy())
    }
}

impl From<methods::Cancelled> for Problem {
    fn from(_: methods::Cancelled) -> Self {
        let message = "stopped; nothing is half written";
        Self::new(Kind::Stopped, message, Remedy::StartAgain)
    }
}

impl From<pdf::PdfError> for Problem {
    fn from(error: pdf::PdfError) -> Self {
        Self::new(
            Kind::Internal,
            format!("cannot set the PDF: {error}"),
            "check that every photograph opens in a picture viewer",
        )
    }
}

impl From<report::WorkbookError> for Problem {
    fn from(error: report::WorkbookError) -> Self {
        Self::refused(
            format!("cannot fill the spreadsheet: {error}"),
            "shorten the text named above; a cell holds 32,767 characters",
        )
    }
}
