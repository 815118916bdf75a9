//! How every command speaks: the options that all share.

use clap::{Args, ValueEnum};
use std::ffi::OsString;

/// How a command speaks.
#[derive(Debug, Clone, Copy, Args)]
pub(crate) struct Manner {
    /// How to answer: json is one object, failures too
    #[arg(long, global = true, value_enum, value_name = "FORMAT", default_value_t = Format::Text)]
    pub(crate) format: Format,
    /// Tell only the answer and failures, no progress
    #[arg(long, short, global = true)]
    pub(crate) quiet: bool,
    /// When to use colours; never, where NO_COLOR is set or TERM is dumb, unless asked for with always
    #[arg(long, global = true, value_enum, value_name = "WHEN", default_value_t = Colour::Auto)]
    pub(crate) color: Colour,
}

/// How a command answers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Format {
    /// For people.
    Text,
    /// For programs.
    Json,
}

/// When to use colours.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Colour {
    /// On a terminal that has them.
    Auto,
    /// Everywhere.
    Always,
    /// Nowhere.
    Never,
}

/// Returns the format that is asked for in arguments which cannot be read as a whole, or need not be.
pub(crate) fn format_in(arguments: impl Iterator<Item = OsString>) -> Format {
    let mut before = OsString::new();
    for argument in arguments {
        if before == "--" {
            break;
        }
        if argument == "--format=json" || (before == "--format" && argument == "json") {
            return Format::Json;
        }
        before = argument;
    }
    Format::Text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_format_is_found_in_arguments_that_make_no_sense() {
        let asked = |line: &str| format_in(line.split(' ').map(OsString::from));
        assert_eq!(asked("underlid chek --format json"), Format::Json);
        assert_eq!(asked("underlid --format=json --nonsense"), Format::Json);
        assert_eq!(asked("underlid read --format text"), Format::Text);
        assert_eq!(asked("underlid read -- --format json"), Format::Text);
    }
}
