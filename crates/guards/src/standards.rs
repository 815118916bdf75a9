//! What standards and common practice say in figures, each with where it is from and how that was checked.
//!
//! In: nothing. Out: rows, and formulas over them. Not here: any verdict of safety. No text of IEC, ISO or UN was
//! read in full: rows say how many public sources were read. A row from memory, or one on which sources part, gives no
//! hard verdict ([`Row::is_hard`]).

mod contacts;
mod discharge;
mod parts;
mod transport;

pub use contacts::{CONTACTS, ES1, ES2, EnergyClass, capacitor_limit_v, mixed_share};
pub use discharge::{DISCHARGE, SURGE, charge_c, discharge_a, energy_j, surge_a};
pub use parts::{
    PARTS, breakdown_v, fuse_rating_a, pulse_power_factor, pulse_power_share, straight_clamp_v,
    trip_a,
};
pub use transport::TRANSPORT;

use serde::Serialize;

/// How a row was checked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Checked {
    /// Read in the named source.
    Read,
    /// Read in as many public sources that quote it.
    ReadIn(u8),
    /// Calculated from the rows beside it.
    Calculated,
    /// From memory.
    Memory,
    /// Sources part, or an edition decides.
    Split,
}

/// One figure.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Row {
    /// What it is.
    pub what: &'static str,
    /// Its figure, as printed.
    pub value: &'static str,
    /// Where it is from.
    pub source: &'static str,
    /// How that was checked.
    pub checked: Checked,
}

impl Row {
    /// Returns whether a verdict may rest on it.
    pub fn is_hard(&self) -> bool {
        !matches!(self.checked, Checked::Memory | Checked::Split)
    }
}

pub(crate) const fn row(
    what: &'static str,
    value: &'static str,
    source: &'static str,
    checked: Checked,
) -> Row {
    Row {
        what,
        value,
        source,
        checked,
    }
}
