//! The command line as data: what all commands share here, what one group of them takes in a file of its own.

mod catalogue;
mod measure;
mod pictures;
mod read;

pub(crate) use catalogue::{CatalogueCommand, CodeArguments, ImportArguments};
pub(crate) use measure::{CountName, MeasureArguments};
pub(crate) use pictures::{KernelName, OutlineArguments, PictureArguments};
pub(crate) use read::ReadArguments;

use clap::{Parser, Subcommand, ValueEnum};
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
  underlid measure my-product   work out the sizes marked on its photographs
  underlid picture my-product   write its photographs with numbers and legends

Exit codes: 0 done, 1 the dossier has mistakes, 2 wrong usage, 3 cannot be done as asked, 4 no answer.";

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
        /// Folder with typefaces for scripts that the packed ones lack [default: those of the system]; may be given
        /// several times
        #[arg(long = "fonts", value_name = "FOLDER")]
        typefaces: Option<Vec<PathBuf>>,
        /// Write a bundle beside the report, without private parts, from which readers can work it out again
        #[arg(long)]
        bundle: bool,
    },
    /// List what is missing before a report is published
    Ready {
        /// Folder that holds dossier.toml
        #[arg(default_value = ".")]
        folder: PathBuf,
        /// Catalogue of known parts, besides those in FOLDER/catalogue; may be given several times
        #[arg(long = "catalogue", value_name = "FILE")]
        catalogues: Vec<PathBuf>,
        /// How to answer
        #[arg(long, value_enum, default_value_t = Format::Text)]
        format: Format,
    },
    /// Work out a published bundle again and say whether it agrees with the report
    Verify {
        /// Folder of the bundle
        bundle: PathBuf,
        /// Folder of the report, to compare it too
        #[arg(long, value_name = "FOLDER")]
        report: Option<PathBuf>,
        /// How to answer
        #[arg(long, value_enum, default_value_t = Format::Text)]
        format: Format,
    },
    /// Say what a marking or a code may be
    Read(ReadArguments),
    /// Measure things on a dossier's photographs; without --at, work out all that is recorded
    Measure(MeasureArguments),
    /// List outlines on a photograph that may be parts
    Outlines(OutlineArguments),
    /// Write numbered and rectified pictures of a dossier's photographs
    Picture(PictureArguments),
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
    /// Print the licences of everything this program is made of
    Notices,
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
