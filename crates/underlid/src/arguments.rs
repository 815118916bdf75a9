//! The command line as data: what all commands share here, what one group of them takes in a file of its own.

mod bench;
mod captions;
mod catalogue;
mod entries;
mod library;
mod log;
mod manner;
mod measure;
mod past;
mod pictures;
mod publish;
mod read;
mod serve;

pub(crate) use bench::{BenchCommand, FromItem, ShapeName};
pub(crate) use captions::CaptionArguments;
pub(crate) use catalogue::{CatalogueCommand, CodeArguments, ImportArguments};
pub(crate) use entries::{AddArguments, NewArguments, RemoveArguments, SetArguments, tip};
pub(crate) use library::{
    ExportArguments, FindArguments, LibraryCommand, PeopleCommand, RoleArgument, TakeInArguments,
};
pub(crate) use log::{LogArguments, SeatName};
pub(crate) use manner::{Colour, Format, Manner, format_in};
pub(crate) use measure::{CountName, MeasureArguments};
pub(crate) use past::PastArguments;
pub(crate) use pictures::{KernelName, OutlineArguments, PictureArguments};
pub(crate) use publish::PublishArguments;
pub(crate) use read::ReadArguments;
pub(crate) use serve::ServeArguments;

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
    /// How every command speaks.
    #[command(flatten)]
    pub(crate) manner: Manner,
}

const AFTER_HELP: &str = "\
Start here:
  underlid demo                 check and publish an invented product
  underlid new my-product       start a dossier
  underlid add item --help      what can be recorded of an item
  underlid check my-product     find every mistake in the text
  underlid publish my-product   write the report folder
  underlid read 4K7             say what a marking or a code may be
  underlid serve --open         do all of it in a browser

FOLDER is the current folder where it is left out.

Exit codes: 0 done, 1 the dossier has mistakes, 2 wrong usage, 3 cannot be done as asked, 4 no answer,
130 stopped by Ctrl-C.";

/// The commands.
#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Check and publish the demonstration product, all invented
    Demo {
        /// Folder for the dossier and its report
        #[arg(long, value_name = "FOLDER", default_value = "underlid-demo")]
        into: PathBuf,
        /// Open the report when it is written
        #[arg(long)]
        open: bool,
    },
    /// Start a dossier: a commented text, with the facts of the product if they are given
    New(NewArguments),
    /// Add a claim, an item, a photo, a step, a reading …, checked before it is written
    Add(AddArguments),
    /// Set one value of a dossier
    Set(SetArguments),
    /// Remove a value or an entry of a dossier
    Remove(RemoveArguments),
    /// Find every mistake in a dossier's text, and what looks like a slip of the decimal point
    #[command(
        after_help = "Examples:\n  underlid check\n  underlid check my-product --format json"
    )]
    Check {
        /// Folder that holds dossier.toml [default: the current one]
        folder: Option<PathBuf>,
    },
    /// List what is left to do: parts to identify, things to measure, each before which step
    #[command(
        after_help = "Examples:\n  underlid tasks\n  underlid tasks my-product --pictures to-identify"
    )]
    Tasks {
        /// Folder that holds dossier.toml [default: the current one]
        folder: Option<PathBuf>,
        /// Catalogue of known parts, besides those in FOLDER/catalogue; may be given several times
        #[arg(long = "catalogue", value_name = "FILE")]
        catalogues: Vec<PathBuf>,
        /// Folder for a crop of each part that is to be identified
        #[arg(long, value_name = "FOLDER")]
        pictures: Option<PathBuf>,
    },
    /// Examine a dossier and print the verdicts
    #[command(
        after_help = "Examples:\n  underlid examine my-product\n  underlid examine --catalogue known.csv --format json"
    )]
    Examine {
        /// Folder that holds dossier.toml [default: the current one]
        folder: Option<PathBuf>,
        /// Catalogue of known parts, besides those in FOLDER/catalogue; may be given several times
        #[arg(long = "catalogue", value_name = "FILE")]
        catalogues: Vec<PathBuf>,
    },
    /// Examine a dossier and write its report: pages, workbook, parts list, findings
    #[command(
        after_help = "Examples:\n  underlid publish --open\n  underlid publish my-product --into report --catalogue known.csv"
    )]
    Publish(PublishArguments),
    /// List what is missing before a report is published
    Ready {
        /// Folder that holds dossier.toml [default: the current one]
        folder: Option<PathBuf>,
        /// Catalogue of known parts, besides those in FOLDER/catalogue; may be given several times
        #[arg(long = "catalogue", value_name = "FILE")]
        catalogues: Vec<PathBuf>,
    },
    /// Work out a published bundle again and say whether it agrees with the report
    Verify {
        /// Folder of the bundle
        bundle: PathBuf,
        /// Folder of the report, to compare it too
        #[arg(long, value_name = "FOLDER")]
        report: Option<PathBuf>,
    },
    /// Say what a marking or a code may be
    Read(ReadArguments),
    /// Listen to a dossier's sound recordings and write down what is heard: levels, delays, what is wrong
    Listen {
        /// The dossier's folder; this one or one above it if not given
        folder: Option<PathBuf>,
    },
    /// Say what the log of a USB or bench meter holds: charge, energy, phases, resistances
    Log(LogArguments),
    /// Proof-read the captions of a film against its dossier: names, part numbers, figures
    Captions(CaptionArguments),
    /// Read articles and captions published before for part numbers, makers and roles, and take them into a library
    Past(PastArguments),
    /// Calculate from geometry: tracks, flat coils, antennas, resistors
    Bench {
        /// What to calculate.
        #[command(subcommand)]
        command: BenchCommand,
    },
    /// Measure things on a dossier's photographs; without --at, work out all that is recorded
    Measure(MeasureArguments),
    /// List outlines on a photograph that may be parts
    Outlines(OutlineArguments),
    /// Write numbered and rectified pictures of a dossier's photographs
    Picture(PictureArguments),
    /// Serve a library of dossiers to a browser on this machine
    #[command(
        after_help = "Examples:\n  underlid serve --open\n  underlid serve my-library --port 8086\n  underlid serve my-library --address 192.0.2.7 --port 8086"
    )]
    Serve(ServeArguments),
    /// Keep many dossiers in one folder, with their histories
    Library {
        /// What to do.
        #[command(subcommand)]
        command: LibraryCommand,
    },
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
    /// Print the completions of a shell; `underlid completions bash --help` says where they go
    #[command(after_help = COMPLETIONS)]
    Completions {
        /// Which shell
        #[arg(value_enum)]
        shell: clap_complete::Shell,
    },
    /// Print the manual page, of one command if it is named
    #[command(
        after_help = "Examples:\n  underlid man > underlid.1\n  underlid man add item > underlid-add-item.1"
    )]
    Man {
        /// The command, such as add item
        #[arg(value_name = "COMMAND")]
        command: Vec<String>,
    },
}

const COMPLETIONS: &str = "\
Where they go:
  bash  underlid completions bash > ~/.local/share/bash-completion/completions/underlid
  zsh   underlid completions zsh > ~/.zfunc/_underlid   (with fpath+=~/.zfunc before compinit)
  fish  underlid completions fish > ~/.config/fish/completions/underlid.fish";

/// The formats that have a schema.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum SchemaOf {
    /// dossier.toml, for editors.
    Dossier,
    /// findings.json.
    Findings,
}
