//! The arguments of `underlid catalogue`.

use clap::{Args, Subcommand};
use std::path::PathBuf;

/// What to do with catalogues.
#[derive(Debug, Subcommand)]
pub(crate) enum CatalogueCommand {
    /// Find every mistake in catalogue files, and what later ones correct
    Check {
        /// Catalogue files in order
        #[arg(required = true)]
        files: Vec<PathBuf>,
    },
    /// Take in tables (CSV, TSV, XLSX) and open symbol libraries (files, or a folder of them)
    Import(ImportArguments),
    /// Add top-marking codes to one part
    Code(CodeArguments),
    /// Take in the identities that dossiers record as read
    Harvest {
        /// Dossier folders [default: the current one]
        folders: Vec<PathBuf>,
        /// Catalogue to add to
        #[arg(long, value_name = "FILE")]
        into: PathBuf,
    },
}

/// What to import, and how.
#[derive(Debug, Args)]
pub(crate) struct ImportArguments {
    /// Files, or folders of symbol libraries
    #[arg(required = true)]
    pub(crate) files: Vec<PathBuf>,
    /// Catalogue to add to; made if it is not there
    #[arg(long, value_name = "FILE")]
    pub(crate) into: Option<PathBuf>,
    /// Which heading a column is read from, such as name="Part No"; guessed where not given
    #[arg(long, value_name = "COLUMN=HEADING")]
    pub(crate) map: Vec<String>,
    /// Only show the first rows as they would be read
    #[arg(long, value_name = "ROWS")]
    pub(crate) preview: Option<usize>,
}

/// Which codes stand on which part.
#[derive(Debug, Args)]
pub(crate) struct CodeArguments {
    /// Catalogue to add to; made if it is not there
    pub(crate) file: PathBuf,
    /// Part number as its maker writes it
    pub(crate) part: String,
    /// Codes that stand on it in this package
    #[arg(required = true, value_name = "CODE")]
    pub(crate) codes: Vec<String>,
    /// Package outline that carries them, such as SOT-23-5
    #[arg(long)]
    pub(crate) package: Option<String>,
    /// Maker, if several use the part number
    #[arg(long)]
    pub(crate) maker: Option<String>,
    /// Where they are known from, such as "data sheet, page 31"
    #[arg(long, value_name = "TEXT")]
    pub(crate) known_from: Option<String>,
}
