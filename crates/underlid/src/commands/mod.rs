//! One file per command.

mod catalogue;
mod check;
mod demo;
mod examine;
mod measure;
mod new;
mod picture;
mod publish;
mod read;
mod schema;

use crate::arguments::{Arguments, Command};
use crate::failure::Failure;
use crate::screen::shown;
use crate::{known, progress};
use methods::{Findings, Known, Progress};
use record::Dossier;
use std::ops::ControlFlow;
use std::path::{Path, PathBuf};

/// Runs the command asked for.
pub(crate) fn run(arguments: Arguments) -> Result<(), Failure> {
    match arguments.command {
        Command::Demo { into } => demo::run(&into),
        Command::New { folder } => new::run(&folder),
        Command::Check { folder, format } => check::run(&folder, format),
        Command::Examine {
            folder,
            catalogues,
            format,
        } => examine::run(&folder, &catalogues, format),
        Command::Publish {
            folder,
            into,
            catalogues,
        } => publish::run(&folder, into.as_deref(), &catalogues),
        Command::Read(arguments) => read::run(&arguments),
        Command::Measure(arguments) => measure::run(&arguments),
        Command::Picture(arguments) => picture::run(&arguments),
        Command::Catalogue { command } => catalogue::run(command),
        Command::Schema { of } => schema::run(of),
    }
}

/// Reads a dossier; all its mistakes become one failure.
fn open(folder: &Path) -> Result<Dossier, Failure> {
    progress::stage(&format!("reading {}", shown(folder.join("dossier.toml"))));
    Ok(store::open(folder)?)
}

/// Examines a dossier, telling each method as it begins. Its markings are held against the catalogue
/// files in its folder and then those named.
fn examine_with_progress(
    folder: &Path,
    dossier: &Dossier,
    catalogues: &[PathBuf],
) -> Result<Findings, Failure> {
    let known = Known::new(known::load(Some(folder), catalogues)?);
    let told = |at| {
        if let Progress::Begins { method, number, of } = at {
            progress::step(&format!("examining: {method}"), number, of);
        }
        ControlFlow::Continue(())
    };
    methods::examine(dossier, &known, &told).map_err(|stopped| Failure::Outside {
        message: stopped.to_string(),
        remedy: "run the command again".to_string(),
    })
}
