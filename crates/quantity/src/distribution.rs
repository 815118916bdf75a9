//! Distributions of an input. All parameters are in the coherent SI unit.

/// The state of knowledge about one input.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
#[serde(rename_all = "kebab-case", tag = "kind")]
pub enum Distribution {
    /// A value without doubt (a definition, a count).
    Exact { value: f64 },
    /// Normal.
    Normal { mean: f64, sd: f64 },
    /// Rectangular between two limits.
    Rectangular { low: f64, high: f64 },
    /// Triangular.
    Triangular { low: f64, mode: f64, high: f64 },
    /// Arcsine (U-shaped) between two limits.
    Arcsine { low: f64, high: f64 },
    /// Symmetric trapezoid; `top` is the ratio of the top's width to the base's.
    Trapezoid { low: f64, high: f64, top: f64 },
    /// Rectangular whose limits are known to ± `inexactness` (JCGM 101, 6.4.3).
    CurvilinearTrapezoid { low: f64, high: f64, inexactness: f64 },
    /// Beta-PERT with weight `lambda` on the mode (4 is usual).
    Pert { low: f64, mode: f64, high: f64, lambda: f64 },
    /// Lognormal: `mu` and `sigma` of the logarithm.
    Lognormal { mu: f64, sigma: f64 },
    /// Student-t shifted to `mean` and scaled by `scale`.
    ScaledT { mean: f64, scale: f64, degrees_of_freedom: f64 },
}

/// Why parameters do not make a distribution.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{0}")]
pub struct DistributionError(pub String);

impl Distribution {
    /// Returns the expectation.
    pub fn mean(&self) -> f64 {
        unimplemented!()
    }
    /// Returns the standard deviation; infinite where it does not exist.
    pub fn sd(&self) -> f64 {
        unimplemented!()
    }
    /// Returns the value below which the fraction `p` lies.
    pub fn quantile(&self, _p: f64) -> f64 {
        unimplemented!()
    }
    /// Checks the order and finiteness of the parameters.
    ///
    /// # Errors
    /// A sentence naming the parameter at fault.
    pub fn validate(&self) -> Result<(), DistributionError> {
        unimplemented!()
    }
}
