//! Units: symbol, factor to the coherent SI unit, offset, dimension.
//!
//! In: symbols the way the trade writes them. Out: a [`Unit`] whose symbol is the one printed.
//! Not here: numbers and their spread (`stated`), digits (`format`).
//! Factors: SI Brochure, 9th edition, tables 4, 7 and 8; international yard and pound (1959).

mod read;
mod scripts;
mod table;
mod text;
pub mod units;

pub(crate) use read::{has_spaced_word, money_prefix};

use crate::Dimension;
use std::fmt;
use std::sync::Arc;

/// A unit of measurement. `si = value × factor + offset`.
#[derive(Debug, Clone, PartialEq)]
pub struct Unit {
    symbol: Arc<str>,
    factor: f64,
    offset: f64,
    dimension: Dimension,
}

/// Why a unit could not be read.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum UnitError {
    /// No unit or prefixed unit has this symbol.
    #[error("unknown unit '{symbol}'{}", read::nearest(part).map(|n| format!(", did you mean '{n}'?")).unwrap_or_default())]
    Unknown {
        /// The symbol as written.
        symbol: String,
        /// The part of it that is no unit. Which one is nearest is looked up when the error is told: of the words of a
        /// sentence most are no unit, and nobody is told so.
        part: String,
    },
    /// The symbol has more than one reading, or its parts do not join.
    #[error("unit '{symbol}' {reason}")]
    Unclear {
        /// The symbol as written.
        symbol: String,
        /// Why it is not taken and what to write instead.
        reason: String,
    },
}

impl Unit {
    /// Reads a unit symbol the way the trade writes it: `mAh`, `mΩ`, `Wh/kg`, `mm²`, `mm2`, `°C`,
    /// `uF`, `pcs`, `EUR/pcs`, `%`, `dB`. The empty text is the plain number 1.
    ///
    /// # Errors
    /// [`UnitError::Unknown`], which tells the nearest symbol known; [`UnitError::Unclear`] with the
    /// readings that a symbol may have.
    pub fn parse(symbol: &str) -> Result<Self, UnitError> {
        read::unit(symbol)
    }

    /// Makes a unit from its parts; the symbol must be the canonical one.
    pub(crate) fn from_parts(
        symbol: impl Into<Arc<str>>,
        factor: f64,
        offset: f64,
        dimension: Dimension,
    ) -> Self {
        Self {
            symbol: symbol.into(),
            factor,
            offset,
            dimension,
        }
    }

    /// Returns the coherent SI unit of `dimension` under its usual symbol (`J`, `C`, `kg`).
    pub fn coherent(dimension: Dimension) -> Self {
        Self::from_parts(read::coherent_symbol(dimension), 1.0, 0.0, dimension)
    }

    /// Returns the symbol as printed, with the SI Brochure's characters (`µ`, `Ω`, `²`).
    pub fn symbol(&self) -> &str {
        &self.symbol
    }

    /// Returns the dimension.
    pub fn dimension(&self) -> Dimension {
        self.dimension
    }

    /// Converts a value in this unit to the coherent SI unit.
    pub fn to_si(&self, value: f64) -> f64 {
        value * self.factor + self.offset
    }

    /// Converts a value in the coherent SI unit to this unit.
    pub fn of_si(&self, si: f64) -> f64 {
        (si - self.offset) / self.factor
    }

    /// Returns the factor that turns a difference in this unit into the coherent SI unit.
    pub fn factor(&self) -> f64 {
        self.factor
    }

    /// Returns the unit for differences: `°C` gives `K`, a level with a reference (`dB(A)`) gives
    /// `dB`, every other unit itself.
    #[must_use]
    pub fn difference(&self) -> Self {
        match &*self.symbol {
            "°C" => units::kelvin(),
            _ if self.dimension.is_level() => units::decibel(),
            // Only the zero of the scale goes; the size of the degree stays.
            _ => Self {
                offset: 0.0,
                ..self.clone()
            },
        }
    }
}

impl fmt::Display for Unit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.symbol)
    }
}
