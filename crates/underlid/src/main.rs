//! The `underlid` command: arguments in, one command file each, exit code out.

mod arguments;
mod ask;
mod commands;
mod failure;
mod folder;
mod help;
mod opened;
mod progress;
mod remedy;
mod screen;

use arguments::Arguments;
use clap::{CommandFactory, FromArgMatches};
use std::process::ExitCode;

fn main() -> ExitCode {
    let command = help::grouped(Arguments::command());
    let matches = command.try_get_matches();
    let arguments = match matches.and_then(|m| Arguments::from_arg_matches(&m)) {
        Ok(arguments) => arguments,
        Err(answer) => return asked(&answer),
    };
    screen::speak(arguments.manner);
    let done = commands::run(arguments.command);
    screen::settle();
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(failure) => {
            failure.tell();
            failure.exit_code()
        }
    }
}

/// Prints what the reader of arguments answers: help and version on standard output, mistakes on standard error.
fn asked(answer: &clap::Error) -> ExitCode {
    let mut text = answer.render().to_string();
    if let Some(tip) = arguments::tip(answer) {
        text = format!("{}\n  tip: {tip}\n", text.trim_end());
    }
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
