//! Inputs of a sheet, and how an origin chooses a distribution.
//!
//! In: written figures, instruments, origins. Out: an [`Input`] with a distribution in SI.
//! Not here: reading the text of a figure (`stated.rs`).
//! Source: JCGM 100:2008, 4.3 (limits), F.2.2.1 (resolution); the sum of two rectangular distributions is
//! a symmetric trapezoid (JCGM 101:2008, 6.4.4).

use crate::{Dimension, Distribution, Origin, Source, Spread, Stated, Unit};

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

/// Half-width of an estimate without a stated spread, as a fraction of its value.
const ESTIMATE: f64 = 0.2;
/// Weight of the most likely value in an estimate.
const PERT_WEIGHT: f64 = 4.0;

impl Input {
    /// Makes an input from a written figure. The writing's own spread wins, see
    /// [`Stated::stated_distribution`]; otherwise the origin chooses:
    ///
    /// | origin | distribution |
    /// | --- | --- |
    /// | measured | rectangular within half the resolution (the instrument's, else the last digit), combined with the limit of error |
    /// | label, data sheet, derived | rectangular within half the last digit written |
    /// | estimated, assumed | PERT, ±20 % |
    /// | standard | exact |
    ///
    /// A whole number of pieces is exact unless it is estimated or assumed. `accuracy` counts for
    /// measured figures only.
    pub fn stated(
        name: impl Into<String>,
        stated: &Stated,
        accuracy: Option<Accuracy>,
        source: Source,
    ) -> Self {
        let distribution = stated
            .stated_distribution()
            .unwrap_or_else(|| chosen(stated, accuracy, source.origin));
        let degrees = match stated.spread {
            Spread::PlusMinus {
                degrees_of_freedom, ..
            } => degrees_of_freedom,
            _ => None,
        };
        let input = Self::distributed(name, distribution, stated.unit.clone(), source);
        match degrees {
            Some(nu) => input.with_degrees_of_freedom(nu),
            None => input,
        }
    }

    /// Makes an input without doubt; `value` in `unit`.
    pub fn exact(name: impl Into<String>, value: f64, unit: Unit, source: Source) -> Self {
        let distribution = Distribution::Exact {
            value: unit.to_si(value),
        };
        Self::distributed(name, distribution, unit, source)
    }

    /// Makes an input with a given distribution (parameters in SI). A scaled t brings its degrees
    /// of freedom along.
    pub fn distributed(
        name: impl Into<String>,
        distribution: Distribution,
        unit: Unit,
        source: Source,
    ) -> Self {
        let degrees_of_freedom = match distribution {
            Distribution::ScaledT {
                degrees_of_freedom, ..
            } if degrees_of_freedom.is_finite() => Some(degrees_of_freedom),
            _ => None,
        };
        Self {
            name: name.into(),
            unit,
            distribution,
            degrees_of_freedom,
            source,
        }
    }

    /// Sets the degrees of freedom of the standard uncertainty; an infinite number counts as none.
    #[must_use]
    pub fn with_degrees_of_freedom(mut self, degrees_of_freedom: f64) -> Self {
        self.degrees_of_freedom = degrees_of_freedom.is_finite().then_some(degrees_of_freedom);
        self
    }
}

impl Input {
    /// Returns the distribution that draws follow: with few degrees of freedom a normal distribution is a scaled t
    /// (JCGM 101:2008, 6.4.9.2).
    pub(super) fn sampling_distribution(&self) -> Distribution {
        match (self.distribution, self.degrees_of_freedom) {
            (Distribution::Normal { mean, sd }, Some(degrees_of_freedom)) if sd > 0.0 => {
                Distribution::ScaledT {
                    mean,
                    scale: sd,
                    degrees_of_freedom,
                }
            }
            (distribution, _) => distribution,
        }
    }
}

/// Chooses the distribution of a figure that states no spread.
fn chosen(stated: &Stated, accuracy: Option<Accuracy>, origin: Origin) -> Distribution {
    let value = stated.si();
    let last_digit = (stated.last_digit * stated.unit.factor()).abs();
    let counted = stated.dimension() == Dimension::COUNT && stated.value.fract() == 0.0;
    match origin {
        Origin::Standard => Distribution::Exact { value },
        Origin::Estimated | Origin::Assumed | Origin::Unknown => {
            let side = stated.value.abs() * ESTIMATE;
            let low = stated.unit.to_si(stated.value - side);
            let high = stated.unit.to_si(stated.value + side);
            if high > low {
                Distribution::Pert {
                    low,
                    mode: value,
                    high,
                    lambda: PERT_WEIGHT,
                }
            } else {
                Distribution::Exact { value }
            }
        }
        _ if counted => Distribution::Exact { value },
        Origin::Label | Origin::DataSheet | Origin::Derived => rectangular(value, last_digit / 2.0),
        Origin::Measured => {
            let accuracy = accuracy.unwrap_or_default();
            let reading = (stated.value * stated.unit.factor()).abs();
            let resolution = accuracy.resolution.map_or(last_digit, f64::abs);
            let limit = accuracy.absolute.map_or(0.0, f64::abs)
                + accuracy.relative.map_or(0.0, f64::abs) * reading;
            reading_within(value, resolution / 2.0, limit)
        }
    }
}

fn rectangular(value: f64, half_width: f64) -> Distribution {
    if half_width > 0.0 {
        Distribution::Rectangular {
            low: value - half_width,
            high: value + half_width,
        }
    } else {
        Distribution::Exact { value }
    }
}

/// The sum of two independent rectangular errors with half-widths `a` and `b`.
fn reading_within(value: f64, a: f64, b: f64) -> Distribution {
    if a > 0.0 && b > 0.0 {
        let half = a + b;
        Distribution::Trapezoid {
            low: value - half,
            high: value + half,
            top: (a - b).abs() / half,
        }
    } else {
        rectangular(value, a + b)
    }
}
