//! One failure as told to a person, and its exit code.

use crate::screen::{self, shown};
use record::{Problems, visible};
use std::path::Path;
use std::process::ExitCode;
use store::StoreError;
use store::opener::OpenError;

/// Why a command could not do its work.
#[derive(Debug)]
pub(crate) enum Failure {
    /// The dossier has mistakes; the text lists them all.
    Dossier(String),
    /// The answer was printed already and says that the dossier has mistakes.
    Answered,
    /// Something outside could not be read or written.
    Outside {
        /// What could not be done, with its place.
        message: String,
        /// What to try.
        remedy: String,
    },
}

impl From<OpenError> for Failure {
    fn from(error: OpenError) -> Self {
        Self::Outside {
            message: visible(&error.to_string()),
            remedy: error.remedy().to_string(),
        }
    }
}

impl From<Problems> for Failure {
    fn from(problems: Problems) -> Self {
        Self::Dossier(problems.to_string())
    }
}

impl From<StoreError> for Failure {
    fn from(error: StoreError) -> Self {
        match error {
            StoreError::Dossier(problems) => problems.into(),
            other => Self::Outside {
                message: visible(&other.to_string()),
                remedy: other.remedy().to_string(),
            },
        }
    }
}

impl Failure {
    /// Makes a failure of reading.
    pub(crate) fn io(doing: &str, path: &Path, error: &std::io::Error) -> Self {
        use std::io::ErrorKind;
        let remedy = match error.kind() {
            ErrorKind::PermissionDenied => {
                "ask its owner, or change its permissions so that you may read it"
            }
            ErrorKind::NotFound => "check the path",
            _ => "check the path and try again",
        };
        Self::Outside {
            message: format!("cannot {doing} {}: {error}", shown(path)),
            remedy: remedy.to_string(),
        }
    }

    /// Writes the failure to standard error.
    pub(crate) fn tell(&self) {
        let text = match self {
            Self::Dossier(text) => text.clone(),
            Self::Answered => return,
            Self::Outside { message, remedy } => format!("{message}\n  try: {remedy}"),
        };
        screen::tell(&text);
    }

    /// Returns the exit code: 1 for mistakes in the dossier, 3 for the outside.
    pub(crate) fn exit_code(&self) -> ExitCode {
        match self {
            Self::Dossier(_) | Self::Answered => ExitCode::from(1),
            Self::Outside { .. } => ExitCode::from(3),
        }
    }
}
