//! The arguments of `underlid bench`.

use clap::{Args, Subcommand, ValueEnum};
use std::path::PathBuf;

/// Where sizes are taken from that are not typed.
#[derive(Debug, Args)]
pub(crate) struct FromItem {
    /// Item of a dossier whose measured size is taken where none is given (id)
    #[arg(long, value_name = "ID")]
    pub(crate) item: Option<String>,
    /// Folder that holds dossier.toml [default: the current one]
    #[arg(long = "in", value_name = "FOLDER", requires = "item")]
    pub(crate) folder: Option<PathBuf>,
}

/// The calculations.
#[derive(Debug, Subcommand)]
pub(crate) enum BenchCommand {
    /// Current that a track bears, width that a current needs (IPC-2221)
    #[command(
        after_help = "Examples:\n  underlid bench trace --width \"0.25 ± 0.02 mm\"\n  underlid bench trace --current \"1 A\" --warmer \"20 K\" --internal"
    )]
    Trace {
        /// Width of the track; the width of --item if not given
        #[arg(long)]
        width: Option<String>,
        /// Current that needs a width
        #[arg(long)]
        current: Option<String>,
        /// Thickness of the copper
        #[arg(long, default_value = "35 µm")]
        copper: String,
        /// How much warmer it may get than what is around it, in kelvin
        #[arg(long, default_value = "10 K")]
        warmer: String,
        /// The track lies between layers
        #[arg(long)]
        internal: bool,
        /// Where sizes are taken from.
        #[command(flatten)]
        from: FromItem,
    },
    /// Inductance of a flat coil by three published forms, resonance with a capacitor
    #[command(
        after_help = "Example:\n  underlid bench coil --shape circle --turns 10 --outer \"40 mm\" --width \"0.8 mm\" --space \"0.2 mm\" --capacitor \"100 nF\""
    )]
    Coil {
        /// Outline
        #[arg(long, value_enum)]
        shape: ShapeName,
        /// Turns
        #[arg(long)]
        turns: f64,
        /// Outer diameter, or width of a square; the diameter of --item if not given
        #[arg(long)]
        outer: Option<String>,
        /// Width of the conductor
        #[arg(long)]
        width: String,
        /// Space between turns
        #[arg(long)]
        space: String,
        /// Capacitor across it
        #[arg(long)]
        capacitor: Option<String>,
        /// Where sizes are taken from.
        #[command(flatten)]
        from: FromItem,
    },
    /// Length of a quarter of a wave, frequency of an antenna's length
    #[command(
        after_help = "Example:\n  underlid bench wave --frequency \"2.44 GHz\" --permittivity 2.2"
    )]
    Wave {
        /// Frequency
        #[arg(long)]
        frequency: Option<String>,
        /// Length of the conductor; the length of --item if not given
        #[arg(long)]
        length: Option<String>,
        /// Effective permittivity around the conductor: 1 in air
        #[arg(long, default_value_t = 1.0)]
        permittivity: f64,
        /// Where sizes are taken from.
        #[command(flatten)]
        from: FromItem,
    },
    /// Heat in a resistor, and how much warmer it gets
    #[command(
        after_help = "Example:\n  underlid bench resistor --current \"1.5 A\" --resistance \"20 mΩ\" --thermal 250 --around \"60 °C\""
    )]
    Resistor {
        /// Current
        #[arg(long)]
        current: String,
        /// Resistance
        #[arg(long)]
        resistance: String,
        /// Kelvin by which a watt warms it
        #[arg(long, value_name = "K/W")]
        thermal: Option<f64>,
        /// Temperature around it
        #[arg(long)]
        around: Option<String>,
    },
}

/// Outlines of coils.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum ShapeName {
    /// Four sides.
    Square,
    /// Six sides.
    Hexagon,
    /// Eight sides.
    Octagon,
    /// Round.
    Circle,
}
