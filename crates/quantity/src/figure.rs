//! A result as plain data: value, uncertainty, interval, working, inputs. Owned; written and read.
//!
//! Formats without infinite numbers, such as JSON, write null for them; it is read back as the
//! infinity that belongs there.

use crate::{Locator, Unit, format_beside, time_unit};
use serde::{Deserialize, Deserializer, Serialize};

/// Where a number comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Origin {
    /// Read off a label, a package or an advertisement.
    Label,
    /// Measured with an instrument.
    Measured,
    /// From a data sheet.
    DataSheet,
    /// Estimated by the analyst.
    Estimated,
    /// From a standard, a regulation or a definition.
    Standard,
    /// Assumed because nothing better is known.
    Assumed,
    /// Computed from other numbers.
    Derived,
    /// Not known.
    Unknown,
}

impl Origin {
    /// Returns the word for it in files ("data-sheet").
    pub fn key(self) -> &'static str {
        match self {
            Self::Label => "label",
            Self::Measured => "measured",
            Self::DataSheet => "data-sheet",
            Self::Estimated => "estimated",
            Self::Standard => "standard",
            Self::Assumed => "assumed",
            Self::Unknown => "unknown",
            Self::Derived => "derived",
        }
    }
}

/// Where one input comes from, in words and as places in the record.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Source {
    /// The kind of origin.
    pub origin: Origin,
    /// Where it stands.
    pub evidence: Vec<Locator>,
    /// A note for the reader; empty if none.
    pub note: String,
}

/// A coverage interval.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Interval {
    /// Coverage probability, 0 to 1.
    pub probability: f64,
    /// Lower end, in the figure's unit.
    #[serde(deserialize_with = "or_least")]
    pub low: f64,
    /// Upper end, in the figure's unit.
    #[serde(deserialize_with = "or_greatest")]
    pub high: f64,
}

/// One named input of a figure.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct FigureInput {
    /// Name in the formula.
    pub name: String,
    /// Value and 95 % interval as printed.
    pub text: String,
    /// Origin, evidence and note.
    pub source: Source,
    /// Share of the result's variance, 0 to 1 (first order).
    pub variance_share: f64,
}

/// One result with everything a reader needs to check it. Numbers are in `unit`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Figure {
    /// What it is ("energy").
    pub name: String,
    /// The value, in `unit`.
    pub value: f64,
    /// Standard uncertainty, in `unit` (of a difference); infinite where there is none.
    #[serde(deserialize_with = "or_greatest")]
    pub standard_uncertainty: f64,
    /// Effective degrees of freedom (the next lower whole number, GUM G.4.1); `None` if infinite.
    /// The interval does not rest on them, see `docs/uncertainty.md`.
    pub degrees_of_freedom: Option<f64>,
    /// 95 % coverage interval.
    pub interval: Interval,
    /// The unit.
    pub unit: Unit,
    /// Value and 95 % interval as printed, ± being half of it: `4.62 ± 0.14 Wh`.
    pub text: String,
    /// The working, line by line: with names, with numbers, the result; sub-results first.
    pub working: Vec<String>,
    /// The inputs it rests on, greatest share first.
    pub inputs: Vec<FigureInput>,
    /// Warnings (for example: first order is not enough, and why).
    pub notes: Vec<String>,
    /// How value and interval were found: `first order`, `first order, with the distribution of
    /// capacity`, `first order, with the distributions combined`, `distributions combined`, or
    /// `quasi-Monte Carlo, 4 096 points`.
    pub method: String,
}

impl Figure {
    /// Returns the text with as many decimals as show on which side of `limits` (in `unit`) the
    /// value lies.
    pub fn beside(&self, limits: &[f64]) -> String {
        let ends = (self.interval.low, self.interval.high);
        Self::told(self.value, ends, limits, &self.unit)
    }

    /// Writes a value with its interval, a time in the unit that it is told in.
    pub fn told(value: f64, interval: (f64, f64), limits: &[f64], unit: &Unit) -> String {
        let told = time_unit(value, unit).unwrap_or_else(|| unit.clone());
        let to = |x: f64| {
            if told == *unit {
                x
            } else {
                told.of_si(unit.to_si(x))
            }
        };
        let limits: Vec<f64> = limits.iter().map(|x| to(*x)).collect();
        format_beside(to(value), (to(interval.0), to(interval.1)), &limits, &told)
    }
}

/// Reads a number, and null as the greatest.
fn or_greatest<'de, D: Deserializer<'de>>(deserializer: D) -> Result<f64, D::Error> {
    Ok(Option::deserialize(deserializer)?.unwrap_or(f64::INFINITY))
}

/// Reads a number, and null as the least.
fn or_least<'de, D: Deserializer<'de>>(deserializer: D) -> Result<f64, D::Error> {
    Ok(Option::deserialize(deserializer)?.unwrap_or(f64::NEG_INFINITY))
}
