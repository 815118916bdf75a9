//! A number with its unit.

use crate::{Dimension, Unit};
use std::fmt;

/// A value in a unit, as written or as wished for printing.
#[derive(Debug, Clone, PartialEq)]
pub struct Quantity {
    /// The number, in `unit`.
    pub value: f64,
    /// The unit.
    pub unit: Unit,
}

/// Why a quantity does not fit where it stands.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ConvertError {
    /// The dimensions differ.
    #[error("expected {expected}, found {found} ({text})")]
    Dimension {
        /// What the place asks for.
        expected: Dimension,
        /// What was given.
        found: Dimension,
        /// The quantity as text.
        text: String,
    },
}

impl Quantity {
    /// Makes a quantity of `value` in `unit`.
    pub fn new(value: f64, unit: Unit) -> Self {
        Self { value, unit }
    }
    /// Returns the value in the coherent SI unit.
    pub fn si(&self) -> f64 {
        self.unit.to_si(self.value)
    }
    /// Returns the same quantity in another unit.
    ///
    /// # Errors
    /// [`ConvertError::Dimension`] where the dimensions differ.
    pub fn to(&self, unit: &Unit) -> Result<Self, ConvertError> {
        if self.unit.dimension() == unit.dimension() {
            Ok(Self::new(unit.of_si(self.si()), unit.clone()))
        } else {
            Err(ConvertError::Dimension {
                expected: unit.dimension(),
                found: self.unit.dimension(),
                text: self.to_string(),
            })
        }
    }
}

impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&crate::format_quantity(self.value, &self.unit))
    }
}
