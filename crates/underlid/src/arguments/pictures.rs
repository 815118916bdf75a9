//! The arguments of `underlid outlines` and `underlid picture`.

use clap::{Args, ValueEnum};
use std::path::PathBuf;

/// Where to look for outlines.
#[derive(Debug, Args)]
#[command(allow_missing_positional = true)]
pub(crate) struct OutlineArguments {
    /// Folder that holds dossier.toml [default: the current one]
    pub(crate) folder: Option<PathBuf>,
    /// Photo id
    #[arg(value_name = "PHOTO", required = true)]
    pub(crate) photo: String,
    /// Outlines around one place, pixels from the top left corner, such as "120,80"
    #[arg(long, value_name = "X,Y")]
    pub(crate) at: Option<String>,
    /// Least probability of what is listed; 0.3 if not given
    #[arg(long, value_name = "NUMBER", conflicts_with = "at")]
    pub(crate) least: Option<f64>,
}

/// Which pictures to write, and how.
#[derive(Debug, Args)]
pub(crate) struct PictureArguments {
    /// Folder that holds dossier.toml [default: the current one]
    pub(crate) folder: Option<PathBuf>,
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
