//! One file per command.

mod catalogue;
mod check;
mod demo;
mod examine;
mod measure;
mod new;
mod notices;
mod outlines;
mod picture;
mod publish;
mod read;
mod ready;
mod schema;
mod verify;

use crate::arguments::{Arguments, Command};
use crate::failure::Failure;

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
        } => examine::run(folder, catalogues, format),
        Command::Publish {
            folder,
            into,
            catalogues,
            typefaces,
            bundle,
        } => publish::run(folder, into, catalogues, typefaces, bundle),
        Command::Ready {
            folder,
            catalogues,
            format,
        } => ready::run(folder, catalogues, format),
        Command::Verify {
            bundle,
            report,
            format,
        } => verify::run(bundle, report, format),
        Command::Read(arguments) => read::run(arguments),
        Command::Measure(arguments) => measure::run(arguments),
        Command::Outlines(arguments) => outlines::run(arguments),
        Command::Picture(arguments) => picture::run(arguments),
        Command::Catalogue { command } => catalogue::run(command),
        Command::Schema { of } => schema::run(of),
        Command::Notices => notices::run(),
    }
}
