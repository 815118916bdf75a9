//! One file per command.

mod about;
mod add;
mod bench;
mod captions;
mod catalogue;
mod check;
mod demo;
mod examine;
mod library;
mod listen;
mod log;
mod measure;
mod new;
mod notices;
mod outlines;
mod past;
mod picture;
mod publish;
mod read;
mod ready;
mod schema;
mod serve;
mod set;
mod tasks;
mod verify;

use crate::arguments::{Command, Format};
use crate::failure::Failure;

/// Runs the command asked for; it answers in the format given.
pub(crate) fn run(command: Command, format: Format) -> Result<(), Failure> {
    match command {
        Command::Demo { into, open } => demo::run(&into, open, format),
        Command::New(arguments) => new::run(&arguments, format),
        Command::Add(arguments) => add::run(arguments, format),
        Command::Set(arguments) => set::run(arguments, format),
        Command::Remove(arguments) => set::remove(arguments, format),
        Command::Check { folder } => check::run(folder, format),
        Command::Tasks {
            folder,
            catalogues,
            pictures,
        } => tasks::run(folder, catalogues, pictures.as_deref(), format),
        Command::Examine { folder, catalogues } => examine::run(folder, catalogues, format),
        Command::Publish(arguments) => publish::run(arguments, format),
        Command::Ready { folder, catalogues } => ready::run(folder, catalogues, format),
        Command::Verify { bundle, report } => verify::run(bundle, report, format),
        Command::Read(arguments) => read::run(arguments, format),
        Command::Listen { folder } => listen::run(folder, format),
        Command::Log(arguments) => log::run(arguments, format),
        Command::Captions(arguments) => captions::run(arguments, format),
        Command::Past(arguments) => past::run(arguments, format),
        Command::Bench { command } => bench::run(command, format),
        Command::Measure(arguments) => measure::run(arguments, format),
        Command::Outlines(arguments) => outlines::run(arguments, format),
        Command::Picture(arguments) => picture::run(arguments, format),
        Command::Serve(arguments) => serve::run(arguments, format),
        Command::Library { command } => library::run(command, format),
        Command::Catalogue { command } => catalogue::run(command, format),
        Command::Schema { of } => schema::run(of),
        Command::Notices => notices::run(format),
        Command::Completions { shell } => about::completions(shell, format),
        Command::Man { command } => about::man(&command, format),
    }
}
