//! One failure as told to a person, and its exit code.

use crate::{remedy, screen};
use app::{Kind, Problem};
use std::io;
use std::process::ExitCode;

/// Why a command could not do its work.
#[derive(Debug)]
pub(crate) enum Failure {
    /// What was asked for could not be done.
    Problem(Box<Problem>),
    /// The answer was printed already and says that there are mistakes.
    Answered,
    /// The answer was printed already and says that nothing known fits.
    NoAnswer,
    /// The answer could not be printed.
    Unprinted(io::Error),
}

impl From<Problem> for Failure {
    fn from(problem: Problem) -> Self {
        Self::Problem(Box::new(problem))
    }
}

impl Failure {
    /// Writes the failure to standard error.
    pub(crate) fn tell(&self) {
        let text = match self {
            Self::Problem(problem) => match problem.kind {
                // Each mistake is told with its remedy already.
                Kind::Mistakes(_) => problem.message.clone(),
                _ => format!(
                    "{}\n  try: {}",
                    problem.message,
                    remedy::words(&problem.remedy)
                ),
            },
            Self::Answered | Self::NoAnswer => return,
            Self::Unprinted(error) => unprinted(error),
        };
        screen::tell(&text);
    }

    /// Returns the exit code: 1 for mistakes in the dossier or a catalogue, 4 for no answer, 3 for all
    /// else.
    pub(crate) fn exit_code(&self) -> ExitCode {
        let code = match self {
            Self::Problem(problem) => match problem.kind {
                Kind::Mistakes(_) => 1,
                Kind::Missing
                | Kind::Refused
                | Kind::Conflict
                | Kind::Stopped
                | Kind::Outside
                | Kind::Internal => 3,
            },
            Self::Answered => 1,
            Self::NoAnswer => 4,
            Self::Unprinted(_) => 3,
        };
        ExitCode::from(code)
    }
}

fn unprinted(error: &io::Error) -> String {
    let remedy = match error.kind() {
        io::ErrorKind::PermissionDenied => {
            "ask its owner, or change its permissions so that you may read it"
        }
        io::ErrorKind::NotFound => "check the path",
        _ => "check the path and try again",
    };
    format!("cannot write to standard output: {error}\n  try: {remedy}")
}
