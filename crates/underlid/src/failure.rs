//! One failure as told to a person, and its exit code: the one place that decides on exit codes.

use crate::{remedy, screen};
use app::{Fault, Kind, Problem};
use record::visible;
use std::io;
use std::process::ExitCode;

/// Why a command could not do its work.
#[derive(Debug)]
pub(crate) enum Failure {
    /// What was asked for could not be done.
    Problem(Box<Problem>),
    /// The answer was printed already and says that there are mistakes.
    Answered,
    /// What was printed already says that something asked for has no answer.
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
            Self::Problem(problem) => match &problem.kind {
                // Each mistake is told with its remedy already.
                Kind::Mistakes(_) => problem.message.clone(),
                Kind::Unfit(faults) if !faults.is_empty() => unfit(faults),
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

    /// Returns the exit code: 1 for mistakes in the dossier or a catalogue, 2 for what cannot be read as it was given, 4 where something asked for has no
    /// answer, 3 for all else.
    pub(crate) fn exit_code(&self) -> ExitCode {
        let code = match self {
            Self::Problem(problem) => match problem.kind {
                Kind::Mistakes(_) => 1,
                Kind::Unfit(_) => 2,
                Kind::NoAnswer => 4,
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

/// Tells why values were not taken, each by its option.
fn unfit(faults: &[Fault]) -> String {
    let mut text = "nothing was written:".to_string();
    for fault in faults {
        let message = match &fault.field {
            None => fault.message.clone(),
            Some(field) => {
                // The option says which value it is.
                let rest = fault
                    .message
                    .strip_prefix('`')
                    .and_then(|m| m.split_once('`'));
                let rest = rest.map_or(fault.message.as_str(), |(_, rest)| {
                    rest.trim_start_matches(':')
                });
                format!("--{field}: {}", rest.trim_start())
            }
        };
        text += &format!(
            "\n  {}\n    try: {}",
            visible(&message),
            visible(&fault.remedy)
        );
    }
    text
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
