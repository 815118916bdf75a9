//! The `underlid` command: arguments in, one command file each, exit code out.

mod arguments;
mod commands;
mod failure;
mod progress;
mod remedy;
mod screen;

use clap::Parser;
use std::process::ExitCode;

fn main() -> ExitCode {
    let arguments = match arguments::Arguments::try_parse() {
        Ok(arguments) => arguments,
        Err(answer) => return asked(&answer),
    };
    match commands::run(arguments) {
        Ok(()) => ExitCode::SUCCESS,
        Err(failure) => {
            failure.tell();
            failure.exit_code()
        }
    }
}

/// Prints what the reader of arguments answers: help and version on standard output, mistakes on standard error.
fn asked(answer: &clap::Error) -> ExitCode {
    let text = answer.render().to_string();
    if answer.use_stderr() {
        screen::tell(&text);
        return ExitCode::from(2);
    }
    match screen::print(&text) {
        Ok(()) => ExitCode::SUCCESS,
        Err(failure) => {
            failure.tell();
            failure.exit_code()
        }
    }
}
