//! The arguments of `underlid read`.

use clap::Args;
use std::path::PathBuf;

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
}
