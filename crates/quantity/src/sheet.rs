//! The derivation graph: terms made of named inputs, evaluated in several ways.

use crate::{Dimension, Distribution, Figure, Source, Stated, Unit};
use std::sync::Arc;

/// One input of a sheet.
#[derive(Debug, Clone)]
pub struct Input {
    /// Name in the formula ("capacity").
    pub name: String,
    /// The unit it is shown in.
    pub unit: Unit,
    /// The state of knowledge, in the coherent SI unit.
    pub distribution: Distribution,
    /// Degrees of freedom; `None` if infinite.
    pub degrees_of_freedom: Option<f64>,
    /// Where it comes from.
    pub source: Source,
}

/// What an instrument can tell apart and how far it may be off, in SI; used by [`Input::stated`].
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Accuracy {
    /// Digital resolution: the reading is rectangular within ± half of it.
    pub resolution: Option<f64>,
    /// Limit of error (half-width), constant part.
    pub absolute: Option<f64>,
    /// Limit of error as a fraction of the reading.
    pub relative: Option<f64>,
}

impl Input {
    /// Makes an input from a written figure. The writing's own spread wins; otherwise the origin
    /// chooses: measured – rectangular by resolution (instrument's or last digit) combined with
    /// the limit of error; data sheet and label – rectangular in half the last digit written;
    /// estimated – PERT ±20 % unless stated; standard – exact.
    pub fn stated(
        _name: impl Into<String>,
        _stated: &Stated,
        _accuracy: Option<Accuracy>,
        _source: Source,
    ) -> Self {
        unimplemented!()
    }
    /// Makes an input without doubt.
    pub fn exact(_name: impl Into<String>, _value: f64, _unit: Unit, _source: Source) -> Self {
        unimplemented!()
    }
    /// Makes an input with a given distribution (parameters in SI).
    pub fn distributed(
        _name: impl Into<String>,
        _distribution: Distribution,
        _unit: Unit,
        _source: Source,
    ) -> Self {
        unimplemented!()
    }
}

/// A formula that the graph cannot look into (an ODE run, a search).
pub type OpaqueModel = Arc<dyn Fn(&[f64]) -> f64 + Send + Sync>;

/// Why a sheet could not give an answer.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum SheetError {
    /// An operation joined unlike dimensions.
    #[error("cannot {operation} {left} and {right}")]
    Dimension {
        /// "add", "compare" …
        operation: &'static str,
        /// Left side.
        left: Dimension,
        /// Right side.
        right: Dimension,
    },
    /// A parameter or result is not usable.
    #[error("{0}")]
    Value(String),
}

/// An arena of terms. Errors of operators are kept and returned by the evaluations.
#[derive(Debug, Default)]
pub struct Sheet {
    _private: (),
}

/// A handle on one node. Copy; has `+ - * /`, negation, operations with `f64` scalars
/// (`2.0 * t`, `t * 2.0`, `t / 2.0`), and functions.
#[derive(Debug, Clone, Copy)]
pub struct Term<'s> {
    _sheet: &'s Sheet,
    _id: u32,
}

/// First-order propagation of several results at once; all in SI.
#[derive(Debug, Clone, PartialEq)]
pub struct Propagation {
    /// Values.
    pub values: Vec<f64>,
    /// Covariance matrix, row by row.
    pub covariance: Vec<Vec<f64>>,
    /// Effective degrees of freedom (Welch–Satterthwaite), infinite where it applies; NaN where
    /// correlated inputs rule it out.
    pub degrees_of_freedom: Vec<f64>,
    /// Sensitivities: one row per result, one column per input in order of creation.
    pub sensitivities: Vec<Vec<f64>>,
    /// Second-order part of the variance (GUM 5.1.2 note), per result.
    pub second_order_variance: Vec<f64>,
    /// Second-order shift of the expectation, per result.
    pub second_order_shift: Vec<f64>,
}

/// Settings of a Monte-Carlo run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MonteCarlo {
    /// Number of draws.
    pub draws: u64,
    /// Seed.
    pub seed: u64,
    /// Number of threads; the answer does not depend on it.
    pub threads: usize,
    /// Whether to return the draws themselves.
    pub keep_samples: bool,
}

/// The outcome of a Monte-Carlo run; SI.
#[derive(Debug, Clone)]
pub struct Sampled {
    /// Mean.
    pub mean: f64,
    /// Standard deviation.
    pub sd: f64,
    /// The draws in order, if asked for.
    pub samples: Option<Vec<f64>>,
}

impl Sampled {
    /// Returns the value below which the fraction `p` of the draws lies.
    pub fn quantile(&self, _p: f64) -> f64 {
        unimplemented!()
    }
    /// Returns the fraction of draws at or below `x` (SI).
    pub fn probability_at_most(&self, _x: f64) -> f64 {
        unimplemented!()
    }
    /// Returns the probabilistically symmetric coverage interval.
    pub fn symmetric(&self, _p: f64) -> (f64, f64) {
        unimplemented!()
    }
    /// Returns the shortest coverage interval.
    pub fn shortest(&self, _p: f64) -> (f64, f64) {
        unimplemented!()
    }
}

/// Variance-based sensitivity indices per input in order of creation.
#[derive(Debug, Clone, PartialEq)]
pub struct VarianceShares {
    /// First-order index.
    pub first: Vec<f64>,
    /// Total index.
    pub total: Vec<f64>,
}

impl Sheet {
    /// Makes an empty sheet.
    pub fn new() -> Self {
        unimplemented!()
    }
    /// Adds an input.
    pub fn input(&self, _input: Input) -> Term<'_> {
        unimplemented!()
    }
    /// Adds a plain number that belongs to the formula (printed as itself).
    pub fn number(&self, _value: f64) -> Term<'_> {
        unimplemented!()
    }
    /// Adds a constant with a unit (printed with its unit).
    pub fn constant(&self, _value: f64, _unit: &Unit) -> Term<'_> {
        unimplemented!()
    }
    /// Adds the sum of terms as one node; an empty sum is an error kept in the sheet.
    pub fn sum<'s>(&'s self, _terms: &[Term<'s>]) -> Term<'s> {
        unimplemented!()
    }
    /// Adds a model that the graph cannot look into; derivatives are numeric.
    pub fn opaque<'s>(
        &'s self,
        _name: &str,
        _arguments: &[Term<'s>],
        _dimension: Dimension,
        _model: OpaqueModel,
    ) -> Term<'s> {
        unimplemented!()
    }
    /// States the correlation coefficient of two inputs.
    pub fn correlate(&self, _a: Term<'_>, _b: Term<'_>, _coefficient: f64) {
        unimplemented!()
    }
    /// Returns the value of a term in SI at the inputs' expectations.
    ///
    /// # Errors
    /// The first error kept in the sheet, or a non-finite value.
    pub fn value(&self, _term: Term<'_>) -> Result<f64, SheetError> {
        unimplemented!()
    }
    /// Propagates uncertainty to first order, with the second-order check.
    ///
    /// # Errors
    /// As [`Sheet::value`].
    pub fn propagate(&self, _terms: &[Term<'_>]) -> Result<Propagation, SheetError> {
        unimplemented!()
    }
    /// Samples a term.
    ///
    /// # Errors
    /// As [`Sheet::value`].
    pub fn monte_carlo(&self, _term: Term<'_>, _run: MonteCarlo) -> Result<Sampled, SheetError> {
        unimplemented!()
    }
    /// Estimates variance-based sensitivity indices by pick-freeze sampling.
    ///
    /// # Errors
    /// As [`Sheet::value`].
    pub fn variance_shares(
        &self,
        _term: Term<'_>,
        _draws: u64,
        _seed: u64,
    ) -> Result<VarianceShares, SheetError> {
        unimplemented!()
    }
    /// Returns the working: for each named sub-result and then the term one line
    /// `energy = capacity × nominal voltage = 1200 mAh × 3.85 V = 4.62 Wh ± 0.07 Wh`.
    ///
    /// # Errors
    /// As [`Sheet::value`].
    pub fn working(&self, _term: Term<'_>) -> Result<Vec<String>, SheetError> {
        unimplemented!()
    }
    /// Returns everything about a term as plain data. First order where it suffices; where the
    /// second-order check says it does not, or a distribution has no normal shape, the interval
    /// comes from a seeded Monte-Carlo run and a note says so.
    ///
    /// # Errors
    /// As [`Sheet::value`].
    pub fn figure(&self, _term: Term<'_>) -> Result<Figure, SheetError> {
        unimplemented!()
    }
    /// Returns the probability that `term <= limit` (SI): normal or t by first order, sampled
    /// where first order is not enough.
    ///
    /// # Errors
    /// As [`Sheet::value`].
    pub fn probability_at_most(&self, _term: Term<'_>, _limit: f64) -> Result<f64, SheetError> {
        unimplemented!()
    }
}

impl<'s> Term<'s> {
    /// Names the term and the unit it is shown in; a named term gets its own line of working.
    #[must_use]
    pub fn named(self, _name: &str, _unit: &Unit) -> Term<'s> {
        unimplemented!()
    }
    /// Returns the dimension.
    pub fn dimension(self) -> Dimension {
        unimplemented!()
    }
    /// Square root.
    #[must_use]
    pub fn sqrt(self) -> Term<'s> {
        unimplemented!()
    }
    /// Integer power.
    #[must_use]
    pub fn powi(self, _n: i8) -> Term<'s> {
        unimplemented!()
    }
    /// Smaller of two.
    #[must_use]
    pub fn min(self, _other: Term<'s>) -> Term<'s> {
        unimplemented!()
    }
    /// Greater of two.
    #[must_use]
    pub fn max(self, _other: Term<'s>) -> Term<'s> {
        unimplemented!()
    }
    /// Linear interpolation in a table of (x, y), both SI; flat outside.
    #[must_use]
    pub fn interpolate(self, _name: &str, _table: &[(f64, f64)], _unit: &Unit) -> Term<'s> {
        unimplemented!()
    }
    // also: ln, exp, powf(Term), sin, cos, tan, asin, acos, atan, abs
}
