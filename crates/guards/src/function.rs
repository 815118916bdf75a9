//! What can go wrong, and what a part does against it.
//!
//! In: a hazard. Out: the functions that answer it. Not here: which part has a function.
//! Source: the table of functions by hazard beside the published cases (`tests/published`); the functions against
//! reverse polarity are common practice (a series diode or transistor).

use serde::{Deserialize, Serialize};

/// What a part does to protect others or itself. A function belongs to a part in one place: a charger that regulates
/// is no over-voltage switch of its input unless its data say so.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Function {
    /// Switches off above a voltage.
    OverVoltageSwitch,
    /// Clamps a voltage.
    Clamp,
    /// Takes electrostatic discharges.
    Discharge,
    /// Melts.
    Fuse,
    /// Trips by heat and comes back.
    ResettableFuse,
    /// Limits or switches off a current.
    CurrentLimit,
    /// Switches off a short circuit.
    ShortCircuit,
    /// Lets no current flow backwards.
    ReverseBlocking,
    /// Stands a supply connected the wrong way round.
    ReversePolarity,
    /// Holds the voltage of a cell at its limit.
    ChargeRegulation,
    /// Ends a charge above a limit.
    OverCharge,
    /// Ends a discharge below a limit.
    OverDischarge,
    /// Ends a charge or discharge outside a range of temperature.
    OverTemperature,
}

/// What can go wrong.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Hazard {
    /// More voltage at an input than the parts behind it stand.
    OverVoltage,
    /// A supply connected the wrong way round.
    ReversePolarity,
    /// A spark from a person or a plug.
    ElectrostaticDischarge,
    /// More current out of a contact than it may give.
    OverCurrent,
    /// Current out of an input, into a supply that is off.
    ReverseCurrent,
    /// A cell above its limit voltage.
    OverCharge,
    /// A cell below its end voltage.
    OverDischarge,
    /// A loop of low resistance across a cell.
    ShortCircuit,
    /// A cell charged outside its range of temperature.
    OverTemperature,
}

impl Hazard {
    /// All hazards, those that come from outside first.
    pub const ALL: [Self; 9] = [
        Self::OverVoltage,
        Self::ReversePolarity,
        Self::ElectrostaticDischarge,
        Self::OverCurrent,
        Self::ReverseCurrent,
        Self::OverCharge,
        Self::OverDischarge,
        Self::ShortCircuit,
        Self::OverTemperature,
    ];

    /// Returns the functions any one of which answers it.
    pub fn answered_by(self) -> &'static [Function] {
        use Function as F;
        match self {
            Self::OverVoltage => &[F::OverVoltageSwitch, F::Clamp],
            Self::ReversePolarity => &[F::ReversePolarity],
            Self::ElectrostaticDischarge => &[F::Clamp, F::Discharge],
            Self::OverCurrent => &[F::Fuse, F::ResettableFuse, F::CurrentLimit],
            Self::ReverseCurrent => &[F::ReverseBlocking],
            Self::OverCharge => &[F::ChargeRegulation, F::OverCharge],
            Self::OverDischarge => &[F::OverDischarge],
            Self::ShortCircuit => &[F::ShortCircuit, F::Fuse, F::ResettableFuse],
            Self::OverTemperature => &[F::OverTemperature],
        }
    }

    /// Returns whether the hazard is a loop, whose return path runs through ground.
    pub fn is_a_loop(self) -> bool {
        self == Self::ShortCircuit
    }
}
