//! The `underlid` command: arguments in, one command file each, exit code out.

mod arguments;
mod ask;
mod commands;
mod failure;
mod folder;
mod help;
mod interrupt;
mod opened;
mod progress;
mod remedy;
mod screen;

use arguments::{Arguments, Format, format_in};
use clap::{CommandFactory, FromArgMatches};
use failure::Failure;
use std::process::ExitCode;

fn main() -> ExitCode {
    let command = help::grouped(Arguments::command());
    let matches = command.try_get_matches();
    let arguments = match matches.and_then(|m| Arguments::from_arg_matches(&m)) {
        Ok(arguments) => arguments,
        Err(answer) => return asked(&answer, format_in(std::env::args_os())),
    };
    let format = arguments.manner.format;
    screen::speak(arguments.manner);
    interrupt::listen();
    let done = commands::run(arguments.command, format);
    screen::settle();
    ended(done, ExitCode::SUCCESS, format)
}

/// Prints what the reader of arguments answers: help and version on standard output, mistakes on standard error.
fn asked(answer: &clap::Error, format: Format) -> ExitCode {
    let tip = arguments::tip(answer);
    if !answer.use_stderr() {
        let printed = screen::print_text(format, &answer.render().to_string());
        return ended(printed, ExitCode::SUCCESS, format);
    }
    let wrong = ExitCode::from(failure::USAGE);
    match format {
        Format::Json => {
            let printed = screen::print_json(&failure::usage_json(answer, tip));
            ended(printed, wrong, format)
        }
        Format::Text => {
            screen::tell(&wrong_usage(&answer.render().to_string(), tip));
            wrong
        }
    }
}

/// Puts the tip, where there is one, in the place of those of the reader of arguments, which knows letters only.
fn wrong_usage(text: &str, tip: Option<String>) -> String {
    let Some(tip) = tip else {
        return text.to_string();
    };
    let own = |paragraph: &&str| !paragraph.trim_start().starts_with("tip:");
    let mut paragraphs: Vec<&str> = text.split("\n\n").filter(own).collect();
    let tip = format!("  tip: {tip}");
    paragraphs.insert(1.min(paragraphs.len()), &tip);
    paragraphs.join("\n\n")
}

/// Tells a failure; returns its exit code, or else the one given.
fn ended(done: Result<(), Failure>, code: ExitCode, format: Format) -> ExitCode {
    match done {
        Ok(()) => code,
        Err(failure) => {
            failure.tell(format);
            failure.exit_code()
        }
    }
}
