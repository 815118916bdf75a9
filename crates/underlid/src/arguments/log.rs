//! The arguments of `underlid log`.

use clap::{Args, ValueEnum};
use std::path::PathBuf;

/// What is read of a log.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  underlid log charge.csv\n  underlid log meter.txt --interval 1 --seat socket --format json"
)]
pub(crate) struct LogArguments {
    /// Text (CSV and its like) or workbook (XLSX) of a USB or bench meter
    pub(crate) file: PathBuf,
    /// Seconds between rows, for a log without a time column
    #[arg(long, value_name = "SECONDS")]
    pub(crate) interval: Option<f64>,
    /// Seconds over which the highest power is taken
    #[arg(long, value_name = "SECONDS", default_value_t = 10.0)]
    pub(crate) window: f64,
    /// Where the meter sat; a socket is not a cell
    #[arg(long, value_enum)]
    pub(crate) seat: Option<SeatName>,
}

/// Where a meter may sit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum SeatName {
    /// At the cell or pack.
    Cell,
    /// Between source and product.
    Socket,
    /// Between product and load.
    Output,
}
