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

/// What is asked of a marking.
#[derive(Debug, Args)]
pub(crate) struct ReadArguments {
    /// The marking as seen, in the notation of the dossier.
    #[arg(
        value_name = "MARKING",
        required_unless_present_any = ["batch", "photo"],
        help = "The marking as seen, in one or several words: ? unreadable, [8B] one of several, \
                ~ rubbed away at an edge, {} or {Maker} a logo, | next line"
    )]
    pub(crate) text: Vec<String>,
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
    /// Maker, from a logo or a label
    #[arg(long)]
    pub(crate) maker: Option<String>,
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
    /// A part on the same board; may be given several times. The catalogue's column seen_with says what
    /// was seen beside it before
    #[arg(long, value_name = "NAME")]
    pub(crate) beside: Vec<String>,
    /// Lists of registered hardware addresses (CSV of the registration authority)
    #[arg(long, value_name = "FILE")]
    pub(crate) addresses: Vec<PathBuf>,
    /// List of USB vendors and products (usb.ids)
    #[arg(long, value_name = "FILE")]
    pub(crate) usb_ids: Option<PathBuf>,
    /// Show also what is less likely, and what speaks for and against each part
    #[arg(long)]
    pub(crate) all: bool,
    /// How to answer
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub(crate) format: Format,
}

/// What to measure, or what of known size is marked.
#[derive(Debug, Args)]
pub(crate) struct MeasureArguments {
    /// Folder that holds dossier.toml
    pub(crate) folder: PathBuf,
    /// Photo id; without --at, only its measures are worked out
    #[arg(long, value_name = "ID", required_if_eq("row", "true"))]
    pub(crate) photo: Option<String>,
    /// Points marked, pixels from the top left corner, such as "120,80 640,82"
    #[arg(long, value_name = "X,Y …", requires = "photo")]
    pub(crate) at: Option<String>,
    /// What the points give: length, width, height, thickness, diameter, body, area, pitch, angle,
    /// distance
    #[arg(long, value_name = "WORD", requires = "at")]
    pub(crate) what: Option<String>,
    /// Item measured
    #[arg(long, value_name = "ID", requires = "at")]
    pub(crate) item: Option<String>,
    /// The points are those of a thing of known size: a length between two points ("50 mm"), the four
    /// corners of a rectangle ("40 x 30 mm"), or a common thing by name ("ID-1 card")
    #[arg(long, value_name = "SIZE", requires = "at", conflicts_with_all = ["what", "item"])]
    pub(crate) known: Option<String>,
    /// Find the row of equal things (ruler ticks, pins) between two points; gives count and pitch
    #[arg(long, requires = "at", conflicts_with_all = ["what", "known", "snap"])]
    pub(crate) row: bool,
    /// What is counted of the row: things are narrower than the gaps between them
    #[arg(long, value_enum, value_name = "WHAT", default_value_t = CountName::Things, requires = "row")]
    pub(crate) count: CountName,
    /// The row is a ruler with marks so far apart, such as "1 mm"
    #[arg(long, value_name = "LENGTH", requires = "row", conflicts_with = "item")]
    pub(crate) every: Option<String>,
    /// What to call the thing of known size
    #[arg(long, value_name = "TEXT", requires = "at")]
    pub(crate) name: Option<String>,
    /// Move the points to the edges, corners or rim that the picture shows near them
    #[arg(long, requires = "at")]
    pub(crate) snap: bool,
    /// Standard uncertainty of a point marked by hand, pixels
    #[arg(long, value_name = "PIXELS", requires = "at")]
    pub(crate) within: Option<f64>,
    /// Height of the points above the plane of the things of known size, such as "1.6 mm"; "0 mm" in it
    #[arg(long, value_name = "LENGTH", requires = "at", conflicts_with_all = ["known", "every"])]
    pub(crate) height: Option<String>,
    /// Keep it in the dossier; an older measure of the same thing stays in the record
    #[arg(long, requires = "at")]
    pub(crate) save: bool,
    /// Folder for pictures of what was measured
    #[arg(long, value_name = "FOLDER")]
    pub(crate) pictures: Option<PathBuf>,
    /// How to answer
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub(crate) format: Format,
}

/// Where to look for outlines.
#[derive(Debug, Args)]
pub(crate) struct OutlineArguments {
    /// Folder that holds dossier.toml
    pub(crate) folder: PathBuf,
    /// Photo id
    #[arg(value_name = "PHOTO")]
    pub(crate) photo: String,
    /// Outlines around one place, pixels from the top left corner, such as "120,80"
    #[arg(long, value_name = "X,Y")]
    pub(crate) at: Option<String>,
    /// Least probability of what is listed; 0.3 if not given
    #[arg(long, value_name = "NUMBER", conflicts_with = "at")]
    pub(crate) least: Option<f64>,
    /// How to answer
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub(crate) format: Format,
}

/// Which pictures to write, and how.
#[derive(Debug, Args)]
pub(crate) struct PictureArguments {
    /// Folder that holds dossier.toml
    pub(crate) folder: PathBuf,
    /// Photo ids; all if none is given
    #[arg(long = "photo", value_name = "ID")]
    pub(crate) photos: Vec<String>,
    /// Folder with typefaces for scripts that the packed ones lack [default: those of the system]; may be given
    /// several times
    #[arg(long = "fonts", value_name = "FOLDER")]
    pub(crate) typefaces: Option<Vec<PathBuf>>,
    /// Folder for the pictures [default: FOLDER/pictures]
    #[arg(long, value_name = "FOLDER")]
    pub(crate) into: Option<PathBuf>,
    /// Also write each photo with something of known size as seen from straight above
    #[arg(long)]
    pub(crate) rectified: bool,
    /// Pixels per millimetre of rectified pictures; about those of the photo if not given
    #[arg(long, value_name = "NUMBER", requires = "rectified")]
    pub(crate) per_mm: Option<f64>,
    /// How values between pixels are made
    #[arg(long, value_enum, default_value_t = KernelName::Cubic, requires = "rectified")]
    pub(crate) kernel: KernelName,
    /// Light lines for a dark page
    #[arg(long)]
    pub(crate) dark: bool,
    /// Width of the column that the pictures are made for, mm
    #[arg(long, value_name = "MM", default_value_t = 150.0)]
    pub(crate) column: f64,
    /// How to answer
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub(crate) format: Format,
}

/// What is counted of a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum CountName {
    /// What is narrower than what lies between.
    Things,
    /// What lies between the things.
    Gaps,
    /// What is darker.
    Dark,
    /// What is brighter.
    Bright,
}

/// Interpolation of rectified pictures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum KernelName {
    /// From 2 × 2 pixels.
    Bilinear,
    /// From 4 × 4 pixels.
    Cubic,
    /// From 8 × 8 pixels.
    Lanczos,
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
    /// Take in tables (CSV, TSV, XLSX) and open symbol libraries (files, or a folder of them)
    Import(ImportArguments),
    /// Add top-marking codes to one part
    Code(CodeArguments),
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
