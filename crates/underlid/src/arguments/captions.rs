//! The arguments of `underlid captions`.

use clap::Args;
use std::path::PathBuf;

/// What is proof-read.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  underlid captions my-product --into proof-read\n  underlid captions --into ../proof-read --format json"
)]
pub(crate) struct CaptionArguments {
    /// Folder that holds dossier.toml, with captions/*.vtt or *.srt [default: the current one]
    pub(crate) folder: Option<PathBuf>,
    /// Folder for the corrected files and corrections.json [default: FOLDER/proof-read]
    #[arg(long, value_name = "FOLDER")]
    pub(crate) into: Option<PathBuf>,
    /// Catalogue of known parts, besides those in FOLDER/catalogue; may be given several times
    #[arg(long = "catalogue", value_name = "FILE")]
    pub(crate) catalogues: Vec<PathBuf>,
}
