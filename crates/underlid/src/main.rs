//! The `underlid` command: arguments in, one command file each, exit code out.

mod arguments;
mod commands;
mod failure;
mod known;
mod photographs;
mod progress;
mod screen;

use clap::Parser;
use std::process::ExitCode;

fn main() -> ExitCode {
    let arguments = arguments::Arguments::parse();
    match commands::run(arguments) {
        Ok(()) => ExitCode::SUCCESS,
        Err(failure) => {
            failure.tell();
            failure.exit_code()
        }
    }
}
