//! Dimensions: integer exponents of the SI base quantities, count, level and currencies.

use crate::LevelReference;
use std::fmt;
use std::ops::{Div, Mul};

/// A currency. Amounts in different currencies never add without a stated exchange rate.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Currency {
    /// Euro.
    Eur,
    /// United States dollar.
    Usd,
    /// Chinese yuan renminbi.
    Cny,
    /// Pound sterling.
    Gbp,
    /// Japanese yen.
    Jpy,
}

impl Currency {
    /// Every currency known, in the order of its exponent.
    pub const ALL: [Currency; 5] = [Self::Eur, Self::Usd, Self::Cny, Self::Gbp, Self::Jpy];

    /// Returns the ISO 4217 code.
    pub fn code(self) -> &'static str {
        match self {
            Self::Eur => "EUR",
            Self::Usd => "USD",
            Self::Cny => "CNY",
            Self::Gbp => "GBP",
            Self::Jpy => "JPY",
        }
    }
}

/// The order of the exponents: length, mass, time, current, temperature, amount of substance,
/// luminous intensity, count, level (decibel), memory (byte), then one per currency and one per
/// reference of a level.
const MONEY: usize = 10;
const REFERENCES: usize = MONEY + Currency::ALL.len();
const BASES: usize = REFERENCES + LevelReference::ALL.len();
const SYMBOLS: [&str; BASES] = [
    "m", "kg", "s", "A", "K", "mol", "cd", "pcs", "dB", "B", "EUR", "USD", "CNY", "GBP", "JPY",
    "dB(A)", "dB(C)", "dB(Z)", "dBSPL", "dBm", "dBi", "dBV", "dBu", "dBFS",
];

/// Integer exponents of the base quantities. Currencies are bases of their own, so that euro and
/// dollar are as unlike as metre and second. Decibel is a base of its own, so that a level never
/// adds to a plain ratio, and so is every reference of a level, so that dBm and dB(A) never meet;
/// [`Dimension::plus`] and [`Dimension::minus`] say what a plain dB may do to them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub struct Dimension([i8; BASES]);

macro_rules! dimensions {
    ($($(#[$doc:meta])* $name:ident = [$($e:expr),*];)*) => {
        $($(#[$doc])* pub const $name: Dimension = Dimension::of(&[$($e),*]);)*
    };
}

impl Dimension {
    pub(crate) const fn of(head: &[i8]) -> Self {
        let mut all = [0; BASES];
        let mut i = 0;
        while i < head.len() {
            all[i] = head[i];
            i += 1;
        }
        Self(all)
    }

    dimensions! {
        /// A plain number, ratio or percentage.
        NONE = [];
        /// Length.
        LENGTH = [1];
        /// Area.
        AREA = [2];
        /// Volume.
        VOLUME = [3];
        /// Mass.
        MASS = [0, 1];
        /// Time.
        TIME = [0, 0, 1];
        /// Electric current.
        CURRENT = [0, 0, 0, 1];
        /// Thermodynamic temperature.
        TEMPERATURE = [0, 0, 0, 0, 1];
        /// Frequency.
        FREQUENCY = [0, 0, -1];
        /// Electric charge.
        CHARGE = [0, 0, 1, 1];
        /// Electric potential difference.
        VOLTAGE = [2, 1, -3, -1];
        /// Energy.
        ENERGY = [2, 1, -2];
        /// Power.
        POWER = [2, 1, -3];
        /// Electric resistance.
        RESISTANCE = [2, 1, -3, -2];
        /// Capacitance.
        CAPACITANCE = [-2, -1, 4, 2];
        /// Inductance.
        INDUCTANCE = [2, 1, -2, -2];
        /// Pressure.
        PRESSURE = [-1, 1, -2];
        /// Energy per mass.
        SPECIFIC_ENERGY = [2, 0, -2];
        /// Energy per volume.
        ENERGY_DENSITY = [-1, 1, -2];
        /// Luminous flux (and intensity, since the steradian is a plain number).
        LUMINOUS_FLUX = [0, 0, 0, 0, 0, 0, 1];
        /// Number of pieces.
        COUNT = [0, 0, 0, 0, 0, 0, 0, 1];
        /// Level difference in decibels: a plain dB, without a reference.
        LEVEL = [0, 0, 0, 0, 0, 0, 0, 0, 1];
        /// Size of a memory, in bytes.
        MEMORY = [0, 0, 0, 0, 0, 0, 0, 0, 0, 1];
    }

    /// Returns the dimension of an amount of money in `currency`.
    pub const fn money(currency: Currency) -> Self {
        let mut all = [0; BASES];
        all[MONEY + currency as usize] = 1;
        Self(all)
    }

    /// Returns the dimension of a level above `reference`.
    pub const fn level(reference: LevelReference) -> Self {
        let mut all = [0; BASES];
        all[REFERENCES + reference as usize] = 1;
        Self(all)
    }

    /// Returns whether a reference of a level takes part.
    pub(crate) fn has_reference(self) -> bool {
        self.0[REFERENCES..].iter().any(|e| *e != 0)
    }

    /// Returns whether this is a plain number.
    pub fn is_none(self) -> bool {
        self == Self::NONE
    }

    /// Returns this dimension raised to an integer power, saturating at ±127.
    #[must_use]
    pub fn powi(self, n: i8) -> Self {
        Self(self.0.map(|e| e.saturating_mul(n)))
    }

    /// Returns the `n`-th root, or `None` where an exponent is not divisible.
    pub fn root(self, n: i8) -> Option<Self> {
        (n != 0 && self.0.iter().all(|e| e % n == 0)).then(|| Self(self.0.map(|e| e / n)))
    }

    /// Returns the word for this dimension ("charge", "energy"), if there is one.
    pub fn name(self) -> Option<&'static str> {
        const NAMES: [(Dimension, &str); 22] = [
            (Dimension::LUMINOUS_FLUX, "luminous flux"),
            (Dimension::NONE, "plain number"),
            (Dimension::LENGTH, "length"),
            (Dimension::AREA, "area"),
            (Dimension::VOLUME, "volume"),
            (Dimension::MASS, "mass"),
            (Dimension::TIME, "time"),
            (Dimension::CURRENT, "current"),
            (Dimension::TEMPERATURE, "temperature"),
            (Dimension::FREQUENCY, "frequency"),
            (Dimension::CHARGE, "charge"),
            (Dimension::VOLTAGE, "voltage"),
            (Dimension::ENERGY, "energy"),
            (Dimension::POWER, "power"),
            (Dimension::RESISTANCE, "resistance"),
            (Dimension::CAPACITANCE, "capacitance"),
            (Dimension::INDUCTANCE, "inductance"),
            (Dimension::PRESSURE, "pressure or energy density"),
            (Dimension::SPECIFIC_ENERGY, "specific energy"),
            (Dimension::COUNT, "count"),
            (Dimension::LEVEL, "level"),
            (Dimension::MEMORY, "memory size"),
        ];
        let plain = NAMES.iter().find(|(d, _)| *d == self).map(|(_, n)| *n);
        plain.or_else(|| self.level_reference().map(LevelReference::name))
    }

    /// Returns the base symbols with their exponents, those that are not zero.
    pub(crate) fn exponents(self) -> impl Iterator<Item = (&'static str, i8)> {
        SYMBOLS.into_iter().zip(self.0).filter(|(_, e)| *e != 0)
    }
}

impl Mul for Dimension {
    type Output = Self;
    fn mul(self, other: Self) -> Self {
        Self(std::array::from_fn(|i| {
            self.0[i].saturating_add(other.0[i])
        }))
    }
}

impl Div for Dimension {
    type Output = Self;
    fn div(self, other: Self) -> Self {
        Self(std::array::from_fn(|i| {
            self.0[i].saturating_sub(other.0[i])
        }))
    }
}

impl fmt::Display for Dimension {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.name() {
            Some(name) => f.write_str(name),
            None => f.write_str(crate::Unit::coherent(*self).symbol()),
        }
    }
}
