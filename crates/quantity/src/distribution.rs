//! Distributions of an input. All parameters are in the coherent SI unit.
//!
//! In: parameters. Out: expectation, standard deviation, quantiles, a check of the parameters.
//! Not here: drawing (`sheet/random.rs`), choosing a distribution for a written figure
//! (`sheet/input.rs`).
//! Source: JCGM 101:2008, 6.4 (rectangular, inexact limits, trapezoid, triangular, arcsine,
//! normal, scaled t); beta-PERT as Beta(1 + λ(m−a)/(b−a), 1 + λ(b−m)/(b−a)).

use crate::format::COVERAGE;
use crate::special::{beta_quantile, normal_quantile, t_quantile};

/// The state of knowledge about one input.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
#[serde(rename_all = "kebab-case", tag = "kind")]
pub enum Distribution {
    /// A value without doubt (a definition, a count).
    Exact {
        /// The value.
        value: f64,
    },
    /// Normal.
    Normal {
        /// Expectation.
        mean: f64,
        /// Standard deviation.
        sd: f64,
    },
    /// Rectangular between two limits.
    Rectangular {
        /// Lower limit.
        low: f64,
        /// Upper limit.
        high: f64,
    },
    /// Triangular.
    Triangular {
        /// Lower limit.
        low: f64,
        /// Most likely value.
        mode: f64,
        /// Upper limit.
        high: f64,
    },
    /// Arcsine (U-shaped) between two limits.
    Arcsine {
        /// Lower limit.
        low: f64,
        /// Upper limit.
        high: f64,
    },
    /// Symmetric trapezoid.
    Trapezoid {
        /// Lower limit.
        low: f64,
        /// Upper limit.
        high: f64,
        /// Ratio of the top's width to the base's, 0 (triangle) to 1 (rectangle).
        top: f64,
    },
    /// Rectangular whose limits are known to ± `inexactness` (JCGM 101, 6.4.3).
    CurvilinearTrapezoid {
        /// Lower limit.
        low: f64,
        /// Upper limit.
        high: f64,
        /// Half-width of the doubt about each limit.
        inexactness: f64,
    },
    /// Beta-PERT with weight `lambda` on the mode (4 is usual).
    Pert {
        /// Lower limit.
        low: f64,
        /// Most likely value.
        mode: f64,
        /// Upper limit.
        high: f64,
        /// Weight of the mode.
        lambda: f64,
    },
    /// Lognormal.
    Lognormal {
        /// Expectation of the natural logarithm.
        mu: f64,
        /// Standard deviation of the natural logarithm.
        sigma: f64,
    },
    /// Student-t shifted to `mean` and scaled by `scale`.
    ScaledT {
        /// Centre.
        mean: f64,
        /// Scale: the standard uncertainty in the sense of the GUM.
        scale: f64,
        /// Degrees of freedom.
        degrees_of_freedom: f64,
    },
}

/// Why parameters do not make a distribution.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{0}")]
pub struct DistributionError(pub String);

impl Distribution {
    /// Returns kind and parameters, the same for equal distributions only.
    pub(crate) fn words(&self) -> [u64; 5] {
        let of = |kind: u64, [a, b, c, d]: [f64; 4]| {
            [kind, a.to_bits(), b.to_bits(), c.to_bits(), d.to_bits()]
        };
        match *self {
            Self::Exact { value } => of(0, [value, 0.0, 0.0, 0.0]),
            Self::Normal { mean, sd } => of(1, [mean, sd, 0.0, 0.0]),
            Self::Rectangular { low, high } => of(2, [low, high, 0.0, 0.0]),
            Self::Triangular { low, mode, high } => of(3, [low, mode, high, 0.0]),
            Self::Arcsine { low, high } => of(4, [low, high, 0.0, 0.0]),
            Self::Trapezoid { low, high, top } => of(5, [low, high, top, 0.0]),
            Self::CurvilinearTrapezoid {
                low,
                high,
                inexactness,
            } => of(6, [low, high, inexactness, 0.0]),
            Self::Pert {
                low,
                mode,
                high,
                lambda,
            } => of(7, [low, mode, high, lambda]),
            Self::Lognormal { mu, sigma } => of(8, [mu, sigma, 0.0, 0.0]),
            Self::ScaledT {
                mean,
                scale,
                degrees_of_freedom,
            } => of(9, [mean, scale, degrees_of_freedom, 0.0]),
        }
    }

    /// Returns the expectation.
    pub fn mean(&self) -> f64 {
        match *self {
            Self::Exact { value } => value,
            Self::Normal { mean, .. } | Self::ScaledT { mean, .. } => mean,
            Self::Rectangular { low, high }
            | Self::Arcsine { low, high }
            | Self::Trapezoid { low, high, .. }
            | Self::CurvilinearTrapezoid { low, high, .. } => low + (high - low) / 2.0,
            Self::Triangular { low, mode, high } => (low + mode + high) / 3.0,
            Self::Pert {
                low,
                mode,
                high,
                lambda,
            } => (low + lambda * mode + high) / (lambda + 2.0),
            Self::Lognormal { mu, sigma } => (mu + sigma * sigma / 2.0).exp(),
        }
    }

    /// Returns the standard deviation; infinite where it does not exist.
    pub fn sd(&self) -> f64 {
        match *self {
            Self::Exact { .. } => 0.0,
            Self::Normal { sd, .. } => sd,
            Self::Rectangular { low, high } => (high - low) / 12f64.sqrt(),
            Self::Triangular { low, mode, high } => {
                // The same as the usual formula, written in differences so that it does not cancel.
                let (a, b) = (mode - low, high - mode);
                ((a * a + a * b + b * b) / 18.0).sqrt()
            }
            Self::Arcsine { low, high } => (high - low) / 8f64.sqrt(),
            Self::Trapezoid { low, high, top } => {
                (high - low) / 2.0 * ((1.0 + top * top) / 6.0).sqrt()
            }
            Self::CurvilinearTrapezoid {
                low,
                high,
                inexactness,
            } => ((high - low).powi(2) / 12.0 + inexactness.powi(2) / 9.0).sqrt(),
            Self::Pert {
                low, high, lambda, ..
            } => {
                let mean = self.mean();
                ((mean - low) * (high - mean) / (lambda + 3.0)).sqrt()
            }
            Self::Lognormal { sigma, .. } => self.mean() * (sigma * sigma).exp_m1().sqrt(),
            Self::ScaledT {
                scale,
                degrees_of_freedom: nu,
                ..
            } => {
                if nu > 2.0 {
                    if nu.is_finite() {
                        scale * (nu / (nu - 2.0)).sqrt()
                    } else {
                        scale
                    }
                } else {
                    f64::INFINITY
                }
            }
        }
    }

    /// Returns the ends of the 95 % interval with equal probabilities on both sides.
    pub fn interval(&self) -> (f64, f64) {
        let tail = (1.0 - COVERAGE) / 2.0;
        (self.quantile(tail), self.quantile(1.0 - tail))
    }

    /// Returns the value below which the fraction `p` lies; NaN where `p` is not within 0 to 1.
    pub fn quantile(&self, p: f64) -> f64 {
        if !(0.0..=1.0).contains(&p) {
            return f64::NAN;
        }
        match *self {
            Self::Exact { value } => value,
            Self::Normal { mean, sd } => shifted(mean, sd, normal_quantile(p)),
            Self::Rectangular { low, high } => low + (high - low) * p,
            Self::Triangular { low, mode, high } => {
                let width = high - low;
                if p * width <= mode - low {
                    low + (p * width * (mode - low)).sqrt()
                } else {
                    high - ((1.0 - p) * width * (high - mode)).sqrt()
                }
            }
            Self::Arcsine { low, high } => {
                let half = (high - low) / 2.0;
                low + half + half * (std::f64::consts::PI * (p - 0.5)).sin()
            }
            Self::Trapezoid { low, high, top } => {
                mirrored(p, low, high, |p| trapezoid_tail(p, high - low, top))
            }
            Self::CurvilinearTrapezoid {
                low,
                high,
                inexactness,
            } => {
                let middle = low + (high - low) / 2.0;
                let reach =
                    curvilinear_reach((2.0 * p - 1.0).abs(), (high - low) / 2.0, inexactness);
                if p < 0.5 {
                    middle - reach
                } else {
                    middle + reach
                }
            }
            Self::Pert {
                low,
                mode,
                high,
                lambda,
            } => {
                let width = high - low;
                if width <= 0.0 {
                    return low;
                }
                let (a, b) = pert_shape(low, mode, high, lambda);
                low + width * beta_quantile(p, a, b)
            }
            Self::Lognormal { mu, sigma } => shifted(mu, sigma, normal_quantile(p)).exp(),
            Self::ScaledT {
                mean,
                scale,
                degrees_of_freedom,
            } => shifted(mean, scale, t_quantile(p, degrees_of_freedom)),
        }
    }

    /// Checks the order and finiteness of the parameters.
    ///
    /// # Errors
    /// A sentence naming the parameter at fault.
    pub fn validate(&self) -> Result<(), DistributionError> {
        let finite = |named: &[(&str, f64)]| match named.iter().find(|(_, x)| !x.is_finite()) {
            Some((name, _)) => fault(format!("the {name} is not a finite number")),
            None => Ok(()),
        };
        let ordered = |named: &[(&str, f64)]| {
            finite(named)?;
            match named.windows(2).find(|w| w[0].1 > w[1].1) {
                Some(w) => fault(format!(
                    "the {} ({}) lies above the {} ({})",
                    w[0].0, w[0].1, w[1].0, w[1].1
                )),
                None => Ok(()),
            }
        };
        let not_negative = |name: &str, x: f64| {
            if x >= 0.0 {
                Ok(())
            } else {
                fault(format!("the {name} ({x}) is below zero"))
            }
        };
        match *self {
            Self::Exact { value } => finite(&[("value", value)]),
            Self::Normal { mean, sd } => {
                finite(&[("mean", mean), ("standard deviation", sd)])?;
                not_negative("standard deviation", sd)
            }
            Self::Rectangular { low, high } | Self::Arcsine { low, high } => {
                ordered(&[("lower limit", low), ("upper limit", high)])
            }
            Self::Triangular { low, mode, high } => {
                ordered(&[("lower limit", low), ("mode", mode), ("upper limit", high)])
            }
            Self::Trapezoid { low, high, top } => {
                ordered(&[("lower limit", low), ("upper limit", high)])?;
                if (0.0..=1.0).contains(&top) {
                    Ok(())
                } else {
                    fault(format!(
                        "the ratio of top to base ({top}) is not between 0 and 1"
                    ))
                }
            }
            Self::CurvilinearTrapezoid {
                low,
                high,
                inexactness,
            } => {
                ordered(&[("lower limit", low), ("upper limit", high)])?;
                finite(&[("inexactness", inexactness)])?;
                not_negative("inexactness", inexactness)?;
                if inexactness <= (high - low) / 2.0 {
                    Ok(())
                } else {
                    fault(format!(
                        "the inexactness ({inexactness}) is larger than half the distance of the limits"
                    ))
                }
            }
            Self::Pert {
                low,
                mode,
                high,
                lambda,
            } => {
                ordered(&[("lower limit", low), ("mode", mode), ("upper limit", high)])?;
                finite(&[("weight of the mode", lambda)])?;
                not_negative("weight of the mode", lambda)
            }
            Self::Lognormal { mu, sigma } => {
                finite(&[
                    ("mean of the logarithm", mu),
                    ("deviation of the logarithm", sigma),
                ])?;
                not_negative("deviation of the logarithm", sigma)
            }
            Self::ScaledT {
                mean,
                scale,
                degrees_of_freedom,
            } => {
                finite(&[("mean", mean), ("scale", scale)])?;
                not_negative("scale", scale)?;
                if degrees_of_freedom > 0.0 {
                    Ok(())
                } else {
                    fault(format!(
                        "the degrees of freedom ({degrees_of_freedom}) are not above zero"
                    ))
                }
            }
        }
    }

    /// Returns the standard uncertainty that first-order propagation uses: the standard deviation,
    /// but for a scaled t its scale (GUM 4.2, where the degrees of freedom carry the rest).
    pub(crate) fn standard_uncertainty(&self) -> f64 {
        match *self {
            Self::ScaledT { scale, .. } => scale,
            _ => self.sd(),
        }
    }

    /// Returns the word for the shape.
    pub(crate) fn word(&self) -> &'static str {
        match self {
            Self::Exact { .. } => "exact",
            Self::Normal { .. } => "normal",
            Self::Rectangular { .. } => "rectangular",
            Self::Triangular { .. } => "triangular",
            Self::Arcsine { .. } => "arcsine",
            Self::Trapezoid { .. } => "trapezoidal",
            Self::CurvilinearTrapezoid { .. } => "rectangular with inexact limits",
            Self::Pert { .. } => "PERT",
            Self::Lognormal { .. } => "lognormal",
            Self::ScaledT { .. } => "scaled t",
        }
    }
}

/// Returns the two shape parameters of the beta distribution behind PERT.
pub(crate) fn pert_shape(low: f64, mode: f64, high: f64, lambda: f64) -> (f64, f64) {
    let width = high - low;
    (
        1.0 + lambda * (mode - low) / width,
        1.0 + lambda * (high - mode) / width,
    )
}

fn fault(message: String) -> Result<(), DistributionError> {
    Err(DistributionError(message))
}

/// `mean + spread × z` that does not turn 0 × ∞ into NaN.
fn shifted(mean: f64, spread: f64, z: f64) -> f64 {
    if spread == 0.0 {
        mean
    } else {
        mean + spread * z
    }
}

/// Extends the lower half of a symmetric distribution, given as distance from the lower limit.
fn mirrored(p: f64, low: f64, high: f64, from_low: impl Fn(f64) -> f64) -> f64 {
    if p <= 0.5 {
        low + from_low(p)
    } else {
        high - from_low(1.0 - p)
    }
}

/// Distance from the lower limit of a trapezoid's quantile, for `p` up to one half.
fn trapezoid_tail(p: f64, width: f64, top: f64) -> f64 {
    let slope_width = width * (1.0 - top) / 2.0;
    let height = 2.0 / (1.0 + top);
    let below_slope = height * (1.0 - top) / 4.0;
    if p <= below_slope {
        // Here the density rises linearly from zero.
        (2.0 * p * slope_width * width / height).sqrt()
    } else {
        slope_width + (p - below_slope) * width / height
    }
}

/// Half-width around the middle that holds the fraction `p` of a curvilinear trapezoid with
/// half-width `w` and inexactness `d`.
///
/// |x| ≤ z has probability z/2d·ln((w+d)/(w−d)) up to z = w−d, and z/2d·ln((w+d)/z) + (z−w+d)/2d
/// beyond.
fn curvilinear_reach(p: f64, w: f64, d: f64) -> f64 {
    if d <= 0.0 {
        return w * p;
    }
    let (inner, outer) = (w - d, w + d);
    if p >= 1.0 {
        // The distribution is so thin there that the search below would end too early.
        return outer;
    }
    let at = |z: f64| {
        if z <= 0.0 {
            0.0
        } else if z <= inner {
            z / (2.0 * d) * (outer / inner).ln()
        } else {
            (z * (outer / z).ln() + z - inner) / (2.0 * d)
        }
    };
    let (mut low, mut high) = (0.0, outer);
    for _ in 0..200 {
        let middle = low + (high - low) / 2.0;
        if middle <= low || middle >= high {
            break;
        }
        if at(middle) < p {
            low = middle
        } else {
            high = middle
        }
    }
    high
}
