//! The arguments of `underlid measure`.

use clap::{Args, ValueEnum};
use std::path::PathBuf;

/// What to measure, or what of known size is marked.
#[derive(Debug, Args)]
pub(crate) struct MeasureArguments {
    /// Folder that holds dossier.toml [default: the current one]
    pub(crate) folder: Option<PathBuf>,
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
