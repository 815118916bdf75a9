//! One file per command.

mod about;
mod add;
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
mod serve;
mod set;
mod tasks;
mod verify;

use crate::arguments::Command;
use crate::failure::Failure;

/// Runs the command asked for.
pub(crate) fn run(command: Command) -> Result<(), Failure> {
    match command {
        Command::Demo { into, open, format } => demo::run(&into, open, format),
        Command::New(arguments) => new::run(&arguments),
        Command::Add(arguments) => add::run(arguments),
        Command::Set(arguments) => set::run(arguments),
        Command::Remove(arguments) => set::remove(arguments),
        Command::Check { folder, format } => check::run(folder, format),
        Command::Tasks {
            folder,
            catalogues,
            pictures,
            format,
        } => tasks::run(folder, catalogues, pictures.as_deref(), format),
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
            reason,
            open,
            format,
        } => publish::run(folder, into, catalogues, typefaces, bundle, reason, open, format),
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
        Command::Serve(arguments) => serve::run(arguments),
        Command::Catalogue { command } => catalogue::run(command),
        Command::Schema { of } => schema::run(of),
        Command::Notices => notices::run(),
        Command::Completions { shell } => about::completions(shell),
        Command::Man { command } => about::man(&command),
    }
}
