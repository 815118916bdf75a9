//! Reading what people write about a quantity.
//!
//! In: `620 mAh`, `83.4(2) g`, `14 ± 0.05 mm`, `10-12 h`, `typ 3.0 (2.8…3.2) mA`,
//! `9 V ⎓ 1.67 A`, `5 V ⎓ 3 A / 9 V ⎓ 2 A`. Out: value, unit, sense and spread, with the text kept as written; or one
//! sentence that says what is wrong at which bytes and what to write instead.
//! Not here: what a figure is taken to mean where nothing is said (`sheet`).

mod coverage;
mod cursor;
mod figure;
mod number;
mod prefix;
mod rating;
mod remedy;
mod sense;
mod spread;
mod symbol;

use crate::{Dimension, Distribution, Quantity, Unit};
use cursor::Cursor;
use figure::FigureSetting;
use std::fmt;
use std::str::FromStr;

pub use rating::{Choice, Rating};

/// How a statement means its figure.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Sense {
    /// `28 g`.
    Exactly,
    /// `about 28 g`, `~28 g`, `approx. 28 g`, `typ 3 mA`.
    About,
    /// `up to 40 h`, `≤ 40 h`, `max. 40 h`, `< 40 h`.
    UpTo,
    /// `≥35 dB`, `at least 35 dB`, `min. 35 dB`, `> 35 dB`, `over 35 dB`.
    AtLeast,
    /// `10-12 h`, `10 h to 12 h`, `10…12 h`, `10 – 12 h`.
    Between,
}

/// What the writing says about the spread, in the statement's unit.
#[derive(Debug, Clone, PartialEq)]
pub enum Spread {
    /// Nothing is said.
    None,
    /// `14 ± 0.05 mm`, optionally `, k=2` and `, dof=9`. Without `k` the half-width of a tolerance.
    PlusMinus {
        /// Half-width as written.
        half_width: f64,
        /// Coverage factor, where stated: then `half_width / k` is a standard uncertainty.
        coverage_factor: Option<f64>,
        /// Degrees of freedom, where stated.
        degrees_of_freedom: Option<f64>,
    },
    /// `83.4(2) g`: the standard uncertainty in the last digits.
    Standard(f64),
    /// `10-12 h`.
    Range {
        /// Lower end.
        low: f64,
        /// Upper end.
        high: f64,
    },
    /// `typ 3.0 (2.8…3.2) mA`.
    MinTypMax {
        /// Least value.
        low: f64,
        /// Greatest value.
        high: f64,
    },
}

/// One figure as somebody wrote it. Displays, serialises and compares as its text.
#[derive(Debug, Clone)]
pub struct Stated {
    /// The text as written.
    pub text: String,
    /// How the figure is meant.
    pub sense: Sense,
    /// The figure (middle of a range), in `unit`.
    pub value: f64,
    /// The unit.
    pub unit: Unit,
    /// The spread the writing states.
    pub spread: Spread,
    /// The place value of the last digit written: `83.4` gives 0.1 (in `unit`).
    pub last_digit: f64,
    /// Whether the text is a lone margin such as `± 0.2 g`, whose value is the half-width.
    pub margin: bool,
}

/// Why a text could not be read as a quantity. Displays as one sentence with the remedy.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{message}")]
pub struct ReadError {
    /// Byte range in the text that is at fault.
    pub at: std::ops::Range<usize>,
    /// What is wrong and what to write instead.
    pub message: String,
}

impl Stated {
    /// Reads one figure. A lone `± 0.2 g` states a margin: its value is the half-width.
    ///
    /// # Errors
    /// [`ReadError`] for unknown units, missing numbers and ambiguous texts (`1,234 g` names both
    /// readings).
    pub fn parse(text: &str) -> Result<Self, ReadError> {
        let mut cursor = Cursor::new(text);
        let mut stated = figure::read(&mut cursor, FigureSetting::Alone)?;
        cursor.skip_spaces();
        // A full stop ends a sentence.
        cursor.eat('.');
        cursor.skip_spaces();
        if !cursor.at_end() {
            return Err(remedy::leftover(&cursor));
        }
        stated.text = text.to_string();
        Ok(stated)
    }

    /// Reads one figure and demands a dimension ("expected charge, found energy (4.6 Wh)").
    ///
    /// # Errors
    /// As [`Stated::parse`], and for another dimension.
    pub fn parse_as(text: &str, dimension: Dimension) -> Result<Self, ReadError> {
        let stated = Self::parse(text)?;
        if stated.dimension() == dimension {
            return Ok(stated);
        }
        Err(remedy::other_dimension(text, &stated, dimension))
    }

    /// Returns whether the text is a lone margin such as `± 0.2 g`.
    pub fn is_margin(&self) -> bool {
        self.margin
    }

    /// Returns the figure as a quantity.
    pub fn quantity(&self) -> Quantity {
        Quantity::new(self.value, self.unit.clone())
    }
    /// Returns the value in the coherent SI unit.
    pub fn si(&self) -> f64 {
        self.unit.to_si(self.value)
    }
    /// Returns the dimension.
    pub fn dimension(&self) -> Dimension {
        self.unit.dimension()
    }
    /// Returns the lower end in the coherent SI unit: of a range, of limits, of a tolerance `±`
    /// without `k`; the value itself where none is written.
    pub fn low_si(&self) -> f64 {
        self.unit.to_si(self.ends().0)
    }

    /// Returns the upper end in the coherent SI unit; see [`Stated::low_si`].
    pub fn high_si(&self) -> f64 {
        self.unit.to_si(self.ends().1)
    }

    /// Returns both ends in the statement's unit.
    fn ends(&self) -> (f64, f64) {
        match self.spread {
            Spread::Range { low, high } | Spread::MinTypMax { low, high } => (low, high),
            Spread::PlusMinus {
                half_width,
                coverage_factor: None,
                ..
            } => (self.centre() - half_width, self.centre() + half_width),
            _ => (self.centre(), self.centre()),
        }
    }

    /// Returns the middle in the statement's unit: zero for a lone margin.
    fn centre(&self) -> f64 {
        if self.is_margin() { 0.0 } else { self.value }
    }

    /// Returns the distribution that the writing itself states, in SI: `±` without `k` rectangular,
    /// with `k` normal (scaled t with `dof`), concise normal, range rectangular, min/typ/max
    /// triangular; `None` where nothing is said. A lone margin is centred on zero; a spread of
    /// width zero is exact.
    pub fn stated_distribution(&self) -> Option<Distribution> {
        let centre = self.unit.to_si(self.centre());
        let (low, high) = (self.low_si(), self.high_si());
        let factor = self.unit.factor();
        let exact = Distribution::Exact { value: centre };
        let normal = |sd: f64| match sd > 0.0 {
            true => Distribution::Normal { mean: centre, sd },
            false => exact,
        };
        Some(match self.spread {
            Spread::None => return None,
            Spread::Standard(u) => normal(u * factor),
            Spread::PlusMinus {
                half_width,
                coverage_factor: Some(k),
                degrees_of_freedom,
            } => {
                let scale = half_width * factor / k;
                match degrees_of_freedom {
                    Some(degrees_of_freedom) if scale > 0.0 => Distribution::ScaledT {
                        mean: centre,
                        scale,
                        degrees_of_freedom,
                    },
                    _ => normal(scale),
                }
            }
            _ if low >= high => exact,
            Spread::MinTypMax { .. } => Distribution::Triangular {
                low,
                mode: centre.clamp(low, high),
                high,
            },
            _ => Distribution::Rectangular { low, high },
        })
    }
}

impl FromStr for Stated {
    type Err = ReadError;
    fn from_str(text: &str) -> Result<Self, ReadError> {
        Self::parse(text)
    }
}

impl fmt::Display for Stated {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}

impl PartialEq for Stated {
    fn eq(&self, other: &Self) -> bool {
        self.text == other.text
    }
}

impl serde::Serialize for Stated {
    fn serialize<S: serde::Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        s.serialize_str(&self.text)
    }
}

impl<'de> serde::Deserialize<'de> for Stated {
    fn deserialize<D: serde::Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        let text = String::deserialize(d)?;
        Self::parse(&text).map_err(serde::de::Error::custom)
    }
}
