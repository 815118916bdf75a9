//! Why a charge could not be worked out.

use crate::{Binding, cell::MAX_PAIRS};

/// Why a charge could not be worked out. Numbers are in the units that the messages name.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ChargingError {
    /// An open-circuit voltage needs a line to be read from.
    #[error("the open-circuit voltage has {points} points; give at least two")]
    TooFewPoints {
        /// Points given.
        points: usize,
    },
    /// A point of the open-circuit voltage does not continue the ones before it.
    #[error(
        "point {row} of the open-circuit voltage is no number, lies outside 0 to 1, or does not rise; order the points by state of charge, with voltages that never fall"
    )]
    TablePoint {
        /// Which point, from one.
        row: usize,
    },
    /// An open-circuit voltage cannot be moved in proportion to that end.
    #[error(
        "an open-circuit voltage from {bottom_v} V cannot be stretched to end at {top_v} V; give a higher end"
    )]
    Stretch {
        /// Volts where the table begins.
        bottom_v: f64,
        /// Volts where it was to end.
        top_v: f64,
    },
    /// A figure that can only be positive is not.
    #[error("{what} is {value}; give a positive number")]
    NotPositive {
        /// Which figure, with its unit.
        what: &'static str,
        /// Its value.
        value: f64,
    },
    /// A figure lies outside what it can be.
    #[error("{what} is {value}; give a number from {from} to {to}")]
    OutOfRange {
        /// Which figure, with its unit.
        what: &'static str,
        /// Its value.
        value: f64,
        /// The least it can be.
        from: f64,
        /// The most it can be.
        to: f64,
    },
    /// The equations are written for few pairs.
    #[error("the cell has {pairs} pairs of resistance and capacitance; give at most {MAX_PAIRS}")]
    TooManyPairs {
        /// Pairs given.
        pairs: usize,
    },
    /// A state that the cell cannot be in.
    #[error(
        "a state of charge of {soc} is outside the open-circuit voltage's table ({from} to {to}), or a pair's voltage is no number"
    )]
    State {
        /// State of charge, a share.
        soc: f64,
        /// Where the table begins.
        from: f64,
        /// Where the table ends.
        to: f64,
    },
    /// Nothing limits the current.
    #[error("stage {stage} has no limit of current, voltage or power; give one")]
    NoLimit {
        /// Which stage, from one.
        stage: usize,
    },
    /// More limits than a stage can hold.
    #[error("a stage holds at most {most} limits")]
    TooManyLimits {
        /// The most it holds.
        most: usize,
    },
    /// The cell is full by its table before the charger stops.
    #[error(
        "the open-circuit voltage ends at {ocv_v} V (state of charge {soc}) while {current_a} A still flow, limited by {binding}; give a table that reaches the charger's voltage, or stretch it and say so"
    )]
    TableEndsBelow {
        /// State of charge where the table ends.
        soc: f64,
        /// Volts there.
        ocv_v: f64,
        /// Amperes that still flow into the cell.
        current_a: f64,
        /// What limits them.
        binding: Binding,
    },
    /// The stage has no end that it can reach.
    #[error(
        "stage {stage} never ends: the charger's current tends to {tends_to_a} A, limited by {binding}; give a termination current above it, a time or a state of charge"
    )]
    NeverEnds {
        /// Which stage, from one.
        stage: usize,
        /// Amperes out of the charger in the long run.
        tends_to_a: f64,
        /// What limits them.
        binding: Binding,
    },
    /// The cell cannot give the power that is drawn.
    #[error(
        "the cell cannot give {watt} W through {ohm} ohm at {ocv_v} V; draw less or give a lower resistance"
    )]
    PowerTooHigh {
        /// Watts drawn.
        watt: f64,
        /// Series resistance in ohms.
        ohm: f64,
        /// Volts behind the resistance.
        ocv_v: f64,
    },
    /// The supply cannot feed what hangs on it.
    #[error(
        "nothing is left for the charger: the input gives {input_w} W and {taken_w} W are taken before it"
    )]
    NothingLeft {
        /// Watts at the input.
        input_w: f64,
        /// Watts taken before.
        taken_w: f64,
    },
    /// A charge pump cannot work from this source.
    #[error(
        "a charge pump divides its input voltage, which must follow the cell, but the source is fixed at {volt} V; give a programmable source"
    )]
    FixedBeforePump {
        /// Volts of the source.
        volt: f64,
    },
    /// A stage that counts time cannot be cut into slices.
    #[error("stage {stage} ends by time or has a timer, which cells on a common input cannot have")]
    TimedOnCommonInput {
        /// Which stage, from one.
        stage: usize,
    },
    /// A word that advertises power is not one that is known.
    #[error("{word:#010X} is no fixed, variable, battery or programmable supply that is known")]
    PowerWord {
        /// The word.
        word: u32,
    },
    /// The equations change too often to be followed.
    #[error(
        "the charge was not finished after {pieces} pieces, at {time_s} s; a time constant is too short for the power-limited part"
    )]
    TooManyPieces {
        /// Pieces worked out.
        pieces: usize,
        /// Seconds reached.
        time_s: f64,
    },
}
