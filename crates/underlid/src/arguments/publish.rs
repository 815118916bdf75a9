//! The arguments of `underlid publish`.

use clap::Args;
use std::path::PathBuf;

/// What to publish.
#[derive(Debug, Args)]
pub(crate) struct PublishArguments {
    /// Folder that holds dossier.toml [default: the current one]
    pub(crate) folder: Option<PathBuf>,
    /// Publish a site of all reports of this library that were published, to the folder --into
    #[arg(long, value_name = "LIBRARY", requires = "into", conflicts_with_all = ["folder", "catalogues", "typefaces", "bundle", "film", "reason"])]
    pub(crate) library: Option<PathBuf>,
    /// Folder for the report [default: FOLDER/report]
    #[arg(long, value_name = "FOLDER")]
    pub(crate) into: Option<PathBuf>,
    /// Catalogue of known parts, besides those in FOLDER/catalogue; may be given several times
    #[arg(long = "catalogue", value_name = "FILE")]
    pub(crate) catalogues: Vec<PathBuf>,
    /// Folder with typefaces for scripts that the packed ones lack [default: those of the system]; may be given
    /// several times
    #[arg(long = "fonts", value_name = "FOLDER")]
    pub(crate) typefaces: Option<Vec<PathBuf>>,
    /// Write a bundle beside the report, without private parts, from which readers can work it out again
    #[arg(long)]
    pub(crate) bundle: bool,
    /// Write what a film needs into film/: narration, pronunciation, shot list, chapters, description, overlays
    #[arg(long)]
    pub(crate) film: bool,
    /// Why an earlier report in the folder is corrected; the new one says it
    #[arg(long, value_name = "WORDS")]
    pub(crate) reason: Option<String>,
    /// Open the report when it is written
    #[arg(long)]
    pub(crate) open: bool,
}
