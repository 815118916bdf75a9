//! The numbers that a factorisation can be done in: plain ones, and ones that carry a derivative.
//!
//! A [`Dual`] is a value with its rate of change; doing a computation in them gives its derivative exactly
//! (forward-mode differentiation: A. Griewank, A. Walther, *Evaluating Derivatives*, 2008, chapter 3).

use std::ops::{Add, Div, Mul, Neg, Sub};

/// A number of a factorisation.
pub(super) trait Number:
    Copy
    + Add<Output = Self>
    + Sub<Output = Self>
    + Mul<Output = Self>
    + Div<Output = Self>
    + Neg<Output = Self>
    + From<f64>
{
    /// Returns the value without what it carries.
    fn value(self) -> f64;
    /// Returns whether it is nothing at all.
    fn is_nothing(self) -> bool;
}

impl Number for f64 {
    fn value(self) -> f64 {
        self
    }
    fn is_nothing(self) -> bool {
        self == 0.0
    }
}

/// A value and its derivative.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Dual {
    /// The value.
    pub(super) value: f64,
    /// Its rate of change.
    pub(super) rate: f64,
}

impl From<f64> for Dual {
    fn from(value: f64) -> Self {
        Self { value, rate: 0.0 }
    }
}

impl Number for Dual {
    fn value(self) -> f64 {
        self.value
    }
    fn is_nothing(self) -> bool {
        self.value == 0.0 && self.rate == 0.0
    }
}

impl Add for Dual {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self {
            value: self.value + other.value,
            rate: self.rate + other.rate,
        }
    }
}

impl Sub for Dual {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        self + -other
    }
}

impl Neg for Dual {
    type Output = Self;
    fn neg(self) -> Self {
        Self {
            value: -self.value,
            rate: -self.rate,
        }
    }
}

impl Mul for Dual {
    type Output = Self;
    fn mul(self, other: Self) -> Self {
        Self {
            value: self.value * other.value,
            rate: self.rate * other.value + self.value * other.rate,
        }
    }
}

impl Div for Dual {
    type Output = Self;
    fn div(self, other: Self) -> Self {
        let value = self.value / other.value;
        Self {
            value,
            rate: (self.rate - value * other.rate) / other.value,
        }
    }
}
