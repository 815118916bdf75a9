//! One failure as told to a person or a program, and its exit code: the one place that decides on exit codes.

use crate::arguments::Format;
use crate::{remedy, screen};
use app::{Fault, Kind, Problem};
use record::visible;
use serde_json::{Value as Json, json};
use std::io;
use std::process::ExitCode;

/// Why a command could not do its work.
#[derive(Debug)]
pub(crate) enum Failure {
    /// What was asked for could not be done.
    Problem(Box<Problem>),
    /// As [`Failure::Problem`], within an answer that was printed up to there.
    Told(Box<Problem>),
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

/// Exit code of wrong usage.
pub(crate) const USAGE: u8 = 2;
/// Exit code of work that was stopped, as shells give it to what Ctrl-C ends.
pub(crate) const STOPPED: u8 = 130;

impl Failure {
    /// Writes the failure to standard error, for programs to standard output.
    pub(crate) fn tell(&self, format: Format) {
        match (self, format) {
            (Self::Answered | Self::NoAnswer | Self::Told(_), _) => {}
            (Self::Unprinted(error), _) => screen::tell(&unprinted(error)),
            (Self::Problem(problem), Format::Text) => screen::tell(&text(problem)),
            (Self::Problem(problem), Format::Json) => {
                if let Err(Self::Unprinted(error)) = screen::print_json(&json(problem)) {
                    screen::tell(&unprinted(&error));
                }
            }
        }
    }

    /// Returns the exit code: 1 for mistakes in the dossier or a catalogue, 2 for what cannot be read as it was given, 4 where something asked for has no
    /// answer, 130 for what was stopped, 3 for all else.
    pub(crate) fn exit_code(&self) -> ExitCode {
        let code = match self {
            Self::Problem(problem) | Self::Told(problem) => of_kind(&problem.kind).1,
            Self::Answered => 1,
            Self::NoAnswer => 4,
            Self::Unprinted(_) => 3,
        };
        ExitCode::from(code)
    }
}

/// Returns the word of a kind for programs, and its exit code.
fn of_kind(kind: &Kind) -> (&'static str, u8) {
    match kind {
        Kind::Mistakes(_) => ("mistakes", 1),
        Kind::Unfit(_) => ("unfit", USAGE),
        Kind::NoAnswer => ("no-answer", 4),
        Kind::Stopped => ("stopped", STOPPED),
        Kind::Missing => ("missing", 3),
        Kind::Refused => ("refused", 3),
        Kind::Conflict => ("conflict", 3),
        Kind::Outside => ("outside", 3),
        Kind::Internal => ("internal", 3),
    }
}

/// Tells a problem for programs.
pub(crate) fn json(problem: &Problem) -> Json {
    let faults: Vec<Json> = match &problem.kind {
        Kind::Mistakes(problems) => problems.0.iter().map(mistake_json).collect(),
        Kind::Unfit(faults) => faults.iter().map(fault_json).collect(),
        _ => Vec::new(),
    };
    json!({
        "kind": of_kind(&problem.kind).0,
        "message": problem.message,
        "place": problem.place.as_ref().map(ToString::to_string),
        "remedy": remedy::words(&problem.remedy),
        "faults": faults,
    })
}

fn fault_json(fault: &Fault) -> Json {
    json!({ "field": fault.field, "message": fault.message, "remedy": fault.remedy })
}

fn mistake_json(p: &record::Problem) -> Json {
    json!({
        "file": p.file, "line": p.line, "column": p.column, "place": p.place,
        "text": p.text, "message": p.message, "remedy": p.remedy,
    })
}

/// Tells wrong usage for programs: what the reader of arguments says of it, without its marks for people.
pub(crate) fn usage_json(answer: &clap::Error, tip: Option<String>) -> Json {
    let text = answer.render().to_string();
    let (message, rest) = text.split_once("\n\n").unwrap_or((&text, ""));
    let line = |start| rest.lines().map(str::trim).find(|l| l.starts_with(start));
    let own_tip = line("tip:").map(|tip| tip.trim_start_matches("tip:").trim().to_string());
    let usage = || line("Usage:").map(ToString::to_string);
    let remedy = tip.or(own_tip).or_else(usage);
    let words: Vec<&str> = message.split_whitespace().collect();
    json!({
        "kind": "usage",
        "message": words.join(" ").trim_start_matches("error: "),
        "place": null,
        "remedy": remedy.unwrap_or_else(|| "underlid --help".to_string()),
        "faults": [],
    })
}

fn text(problem: &Problem) -> String {
    match &problem.kind {
        // Each mistake is told with its remedy already.
        Kind::Mistakes(_) => problem.message.clone(),
        Kind::Unfit(faults) if !faults.is_empty() => unfit(faults),
        _ => format!(
            "{}\n  try: {}",
            problem.message,
            remedy::words(&problem.remedy)
        ),
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
        io::ErrorKind::StorageFull => "free some space there",
        io::ErrorKind::PermissionDenied => "print it where you may write",
        _ => "print it to a terminal or to another file",
    };
    format!("cannot write to standard output: {error}\n  try: {remedy}")
}
