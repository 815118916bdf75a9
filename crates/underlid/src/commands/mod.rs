//! One file per command.

mod check;
mod demo;
mod examine;
mod new;
mod publish;
mod schema;

use crate::arguments::{Arguments, Command};
use crate::failure::Failure;
use crate::progress;
use methods::Findings;
use record::Dossier;
use std::path::Path;

/// Runs the command asked for.
pub(crate) fn run(arguments: Arguments) -> Result<(), Failure> {
    match arguments.command {
        Command::Demo { into } => demo::run(&into),
        Command::New { folder } => new::run(&folder),
        Command::Check { folder, format } => check::run(&folder, format),
        Command::Examine { folder, format } => examine::run(&folder, format),
        Command::Publish { folder, into } => publish::run(&folder, into.as_deref()),
        Command::Schema { of } => schema::run(of),
    }
}

/// Reads a dossier; all its mistakes become one failure.
fn open(folder: &Path) -> Result<Dossier, Failure> {
    progress::stage(&format!(
        "reading {}",
        folder.join("dossier.toml").display()
    ));
    record::open(folder).map_err(|problems| Failure::Dossier(problems.to_string()))
}

/// Examines a dossier, telling each method as it begins.
fn examine_with_progress(dossier: &Dossier) -> Findings {
    methods::examine(dossier, &mut |method, number, of| {
        progress::step(&format!("examining: {method}"), number, of);
    })
}
