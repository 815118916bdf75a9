//! The command line as data.

use clap::{Args, Parser, Subcommand, ValueEnum};
use std::path::PathBuf;

/// Checks and publishes hardware teardowns: every figure with its unit, its uncertainty, its
/// origin and its working.
#[derive(Debug, Parser)]
#[command(version, arg_required_else_help = true, after_help = AFTER_HELP)]
pub(crate) struct Arguments {
    /// What to do.
    #[command(subcommand)]
    pub(crate) command: Command,
}

const AFTER_HELP: &str = "\
Start here:
  underlid demo                 check and publish an invented product
  underlid new my-product       write a commented starting dossier
  underlid check my-product     find every mistake in the text
  underlid examine my-product   weigh the claims against the record
  underlid publish my-product   write the report folder
  underlid read 4K7             say what a marking or a code may be

Exit codes: 0 done, 1 the dossier has mistakes, 2 wrong usage, 3 cannot read or write.";

/// The commands.
#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Check and publish the demonstration product, all invented
    Demo {
        /// Folder for the dossier and its report
        #[arg(long, value_name = "FOLDER", default_value = "underlid-demo")]
        into: PathBuf,
    },
    /// Write a commented starting dossier
    New {
        /// Folder to make; must not exist or be empty
        folder: PathBuf,
    },
    /// Find every mistake in a dossier's text
    Check {
        /// Folder that holds dossier.toml
        folder: PathBuf,
        /// How to answer
        #[arg(long, value_enum, default_value_t = Format::Text)]
        format: Format,
    },
    /// Examine a dossier and print the verdicts
    Examine {
        /// Folder that holds dossier.toml
        folder: PathBuf,
        /// Catalogue of known parts, besides those in FOLDER/catalogue; may be given several times
        #[arg(long = "catalogue", value_name = "FILE")]
        catalogues: Vec<PathBuf>,
        /// How to answer
        #[arg(long, value_enum, default_value_t = Format::Text)]
        format: Format,
    },
    /// Examine a dossier and write report.html, report.pdf, workbook.xlsx, parts.csv, findings.json
    Publish {
        /// Folder that holds dossier.toml
        folder: PathBuf,
        /// Folder for the report [default: FOLDER/report]
        #[arg(long, value_name = "FOLDER")]
        into: Option<PathBuf>,
        /// Catalogue of known parts, besides those in FOLDER/catalogue; may be given several times
        #[arg(long = "catalogue", value_name = "FILE")]
        catalogues: Vec<PathBuf>,
    },
    /// Say what a marking or a code may be
    Read(ReadArguments),
    /// Keep the files of known parts
    Catalogue {
        /// What to do.
        #[command(subcommand)]
        command: CatalogueCommand,
    },
    /// Print the JSON Schema of a format
    Schema {
        /// Which format
        #[arg(value_enum, default_value_t = SchemaOf::Dossier)]
        of: SchemaOf,
    },
}

/// What is asked of a marking.
#[derive(Debug, Args)]
pub(crate) struct ReadArguments {
    /// The marking as seen, in the notation of the dossier.
    #[arg(
        required_unless_present_any = ["batch", "photo"],
        help = "The marking as seen: ? unreadable, [8B] one of several, ~ rubbed away at an edge, \
                {} or {Maker} a logo, | next line"
    )]
    pub(crate) text: Option<String>,
    /// Read many: a CSV with the columns marking, and if wanted package, pins, size, pitch, maker,
    /// role
    #[arg(long, value_name = "FILE", conflicts_with = "text")]
    pub(crate) batch: Option<PathBuf>,
    /// Find bar codes and matrix codes in a photograph (JPEG, PNG, WebP, TIFF)
    #[arg(long, value_name = "FILE", conflicts_with_all = ["text", "batch"])]
    pub(crate) photo: Option<PathBuf>,
    /// Catalogue of known parts; may be given several times, later ones correct earlier ones
    #[arg(long = "catalogue", value_name = "FILE")]
    pub(crate) catalogues: Vec<PathBuf>,
    /// Package outline, such as QFN-16
    #[arg(long)]
    pub(crate) package: Option<String>,
    /// Number of pins
    #[arg(long)]
    pub(crate) pins: Option<u32>,
    /// Body, such as "3.0 x 3.0 mm"
    #[arg(long, value_name = "LENGTH x WIDTH")]
    pub(crate) size: Option<String>,
    /// Pitch of the pins, such as "0.5 mm"
    #[arg(long)]
    pub(crate) pitch: Option<String>,
    /// What it does here, such as charger
    #[arg(long)]
    pub(crate) role: Option<String>,
    /// Lists of registered hardware addresses (CSV of the registration authority)
    #[arg(long, value_name = "FILE")]
    pub(crate) addresses: Vec<PathBuf>,
    /// List of USB vendors and products (usb.ids)
    #[arg(long, value_name = "FILE")]
    pub(crate) usb_ids: Option<PathBuf>,
    /// How to answer
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub(crate) format: Format,
}

/// What to do with catalogues.
#[derive(Debug, Subcommand)]
pub(crate) enum CatalogueCommand {
    /// Find every mistake in catalogue files, and what later ones correct
    Check {
        /// Catalogue files in order
        #[arg(required = true)]
        files: Vec<PathBuf>,
    },
    /// Take in tables (CSV, TSV, XLSX) and symbol libraries (*.kicad_sym, or a folder of them)
    Import(ImportArguments),
    /// Take in the identities that dossiers record as read
    Harvest {
        /// Dossier folders
        #[arg(required = true)]
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

/// How a command answers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Format {
    /// For people.
    Text,
    /// For programs.
    Json,
}

/// The formats that have a schema.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum SchemaOf {
    /// dossier.toml, for editors.
    Dossier,
    /// findings.json.
    Findings,
}
