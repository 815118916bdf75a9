//! The arguments of `underlid past`.

use clap::Args;
use std::path::PathBuf;

/// What is read, and where it goes.
#[derive(Debug, Args)]
#[command(
    after_help = "Without --into nothing is taken: what the texts speak of is shown, and --list writes it for review.\n\nExamples:\n  underlid past articles\n  underlid past articles --list review.csv\n  underlid past articles --list review.csv --into my-library\n  underlid past articles --into my-library"
)]
pub(crate) struct PastArguments {
    /// Files (.html, .htm, .xhtml, .md, .markdown, .txt, .text, .vtt, .srt), and folders that are looked through
    #[arg(required = true)]
    pub(crate) texts: Vec<PathBuf>,
    /// List for review: written anew; with --into, read: yes in its first column takes a part, no refuses it
    #[arg(long, value_name = "FILE")]
    pub(crate) list: Option<PathBuf>,
    /// Library that takes the texts in; what is not decided waits on the page Standing of each product
    #[arg(long, value_name = "LIBRARY")]
    pub(crate) into: Option<PathBuf>,
    /// Your name in the history [default: that of the system]
    #[arg(long)]
    pub(crate) name: Option<String>,
    /// Catalogue whose makers and part numbers are known; may be given several times
    #[arg(long = "catalogue", value_name = "FILE")]
    pub(crate) catalogues: Vec<PathBuf>,
}
