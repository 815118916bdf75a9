//! How every command speaks: the options that all share.

use clap::{Args, ValueEnum};

/// How a command speaks.
#[derive(Debug, Clone, Copy, Args)]
pub(crate) struct Manner {
    /// Tell only the answer and failures, no progress
    #[arg(long, short, global = true)]
    pub(crate) quiet: bool,
    /// When to use colours; never, where NO_COLOR is set or TERM is dumb, unless asked for with always
    #[arg(long, global = true, value_enum, value_name = "WHEN", default_value_t = Colour::Auto)]
    pub(crate) color: Colour,
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
