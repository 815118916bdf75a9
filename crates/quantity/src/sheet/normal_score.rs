//! Distributions as functions of a standard normal score.
//!
//! In: a distribution. Out: its quantiles x(z) = F⁻¹(Φ(z)) on one grid of scores for all distributions,
//! moments, Hermite coefficients, the distribution at any score. Smooth functions of a score are integrated
//! by the trapezoidal rule on that grid, which for them converges faster than any power of the
//! step (L. N. Trefethen, J. A. C. Weideman, SIAM Review 56 (2014) 385).
//! Not here: quantiles at a probability (`distribution.rs`).

use crate::Distribution;
use crate::special::normal_probability;
use std::collections::HashMap;
use std::sync::{Arc, LazyLock, Mutex, PoisonError};

/// Nodes of the grid.
pub(super) const NODES: usize = 89;
/// The greatest score of the grid: what lies beyond has a probability of 4·10⁻⁸.
const REACH: f64 = 5.5;
const STEP: f64 = 2.0 * REACH / (NODES - 1) as f64;

/// The grid: scores, their probabilities Φ(z), and weights of the trapezoidal rule.
pub(super) struct Grid {
    pub(super) z: [f64; NODES],
    pub(super) below: [f64; NODES],
    pub(super) weight: [f64; NODES],
}

pub(super) static GRID: LazyLock<Grid> = LazyLock::new(|| {
    let z: [f64; NODES] = std::array::from_fn(|k| -REACH + STEP * k as f64);
    let density = z.map(|z| (-0.5 * z * z).exp());
    let whole: f64 = density.iter().sum();
    Grid {
        below: z.map(normal_probability),
        weight: density.map(|d| d / whole),
        z,
    }
});

/// Expectation and second to fourth cumulant.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct Cumulants {
    pub(super) mean: f64,
    pub(super) variance: f64,
    pub(super) third: f64,
    pub(super) fourth: f64,
}

impl Cumulants {
    /// Returns those of values that have the given weights.
    pub(super) fn of(values: &[f64], weights: &[f64]) -> Self {
        let pairs = || values.iter().zip(weights);
        let mean = pairs().map(|(x, w)| x * w).sum::<f64>();
        let moment = |n: i32| pairs().map(|(x, w)| (x - mean).powi(n) * w).sum::<f64>();
        let variance = moment(2);
        Self {
            mean,
            variance,
            third: moment(3),
            fourth: moment(4) - 3.0 * variance * variance,
        }
    }

    /// Returns those of a multiple.
    pub(super) fn scaled(self, c: f64) -> Self {
        Self {
            mean: c * self.mean,
            variance: c.powi(2) * self.variance,
            third: c.powi(3) * self.third,
            fourth: c.powi(4) * self.fourth,
        }
    }

    /// Returns those of the sum of two independent quantities.
    pub(super) fn plus(self, other: Self) -> Self {
        Self {
            mean: self.mean + other.mean,
            variance: self.variance + other.variance,
            third: self.third + other.third,
            fourth: self.fourth + other.fourth,
        }
    }
}

/// A distribution on the grid: x(z) = `offset` + `scale` × shape(z).
#[derive(Clone)]
pub(super) struct ScoredDistribution {
    shape: Arc<Shape>,
    offset: f64,
    scale: f64,
    /// The exact expectation and standard deviation, where they exist.
    mean: f64,
    sd: f64,
}

/// A distribution of no particular place and width on the grid.
struct Shape {
    values: [f64; NODES],
    cumulants: Cumulants,
    /// Few degrees of freedom: moments say little about it.
    heavy: bool,
    felt: f64,
    /// A multiple of the score itself.
    straight: bool,
}

/// Degrees of freedom below which a t distribution is told by its shape and not by its moments.
const HEAVY: f64 = 30.0;
/// Shapes that are kept; then the memory is emptied.
const MOST_KEPT: usize = 512;

type Key = (u8, u64);
static SHAPES: LazyLock<Mutex<HashMap<Key, Arc<Shape>>>> = LazyLock::new(Mutex::default);

impl ScoredDistribution {
    pub(super) fn new(distribution: &Distribution) -> Self {
        let (key, standard, offset, scale) = standard(distribution);
        let kept = || SHAPES.lock().unwrap_or_else(PoisonError::into_inner);
        let found = kept().get(&key).map(Arc::clone);
        let shape = found.unwrap_or_else(|| {
            let shape = Arc::new(Shape::new(&standard));
            let mut kept = kept();
            if kept.len() >= MOST_KEPT {
                kept.clear();
            }
            kept.insert(key, Arc::clone(&shape));
            shape
        });
        Self {
            shape,
            offset,
            scale,
            mean: distribution.mean(),
            sd: distribution.sd(),
        }
    }

    /// Returns the value at a node of the grid.
    pub(super) fn node(&self, k: usize) -> f64 {
        self.offset + self.scale * self.shape.values[k]
    }

    /// Returns the value at any score: exact at the nodes, of third order between them.
    pub(super) fn at(&self, z: f64) -> f64 {
        self.offset + self.scale * interpolated(&self.shape.values, z)
    }

    /// Turns scores into values.
    pub(super) fn map(&self, scores: &mut [f64]) {
        if self.shape.straight {
            scores
                .iter_mut()
                .for_each(|z| *z = self.offset + self.sd * *z);
        } else {
            scores.iter_mut().for_each(|z| *z = self.at(*z));
        }
    }

    /// Returns the moments.
    pub(super) fn cumulants(&self) -> Cumulants {
        let exact = self.sd * self.sd;
        let found = self.shape.cumulants.scaled(self.scale);
        Cumulants {
            mean: self.mean,
            variance: if exact.is_finite() {
                exact
            } else {
                found.variance
            },
            ..found
        }
    }

    /// Whether the distribution is normal or exact.
    pub(super) fn is_normal(&self) -> bool {
        self.shape.straight
    }

    /// Whether moments say little about the distribution.
    pub(super) fn is_heavy(&self) -> bool {
        self.shape.heavy
    }

    /// Returns the least part of a sum's spread at which a heavy distribution shows.
    pub(super) fn felt(&self) -> f64 {
        self.shape.felt
    }

    /// Returns the coefficients of the orthonormal Hermite polynomials of degree 1 to `N` in x(z),
    /// in standard deviations as found on the grid.
    pub(super) fn hermite<const N: usize>(&self) -> [f64; N] {
        let grid = &*GRID;
        let spread = self.shape.cumulants.variance.sqrt();
        let mut found = [0.0; N];
        for k in 0..NODES {
            let x = self.shape.values[k] / spread * grid.weight[k];
            let (mut before, mut here) = (1.0, grid.z[k]);
            for (n, sum) in found.iter_mut().enumerate() {
                *sum += x * here;
                let degree = (n + 1) as f64;
                let next = (grid.z[k] * here - degree.sqrt() * before) / (degree + 1.0).sqrt();
                (before, here) = (here, next);
            }
        }
        found
    }

    /// Returns the product-moment correlation with another distribution at equal (or with `sign` −1 at
    /// opposite) scores: the most that can be had.
    pub(super) fn extreme(&self, other: &Self, sign: f64) -> f64 {
        let (a, b) = (&self.shape, &other.shape);
        let product = |k: usize| {
            let l = if sign > 0.0 { k } else { NODES - 1 - k };
            GRID.weight[k] * (a.values[k] - a.cumulants.mean) * (b.values[l] - b.cumulants.mean)
        };
        let whole: f64 = (0..NODES).map(product).sum();
        whole / (a.cumulants.variance * b.cumulants.variance).sqrt()
    }
}

impl Shape {
    fn new(distribution: &Distribution) -> Self {
        let values = std::array::from_fn(|k| match *distribution {
            // Beyond the reach of the probability's own digits.
            Distribution::Normal { mean, sd } => mean + sd * GRID.z[k],
            Distribution::Lognormal { mu, sigma } => (mu + sigma * GRID.z[k]).exp(),
            _ => distribution.quantile(GRID.below[k]),
        });
        let degrees = match distribution {
            Distribution::ScaledT {
                degrees_of_freedom, ..
            } => *degrees_of_freedom,
            _ => f64::INFINITY,
        };
        let straight = matches!(
            distribution,
            Distribution::Normal { .. } | Distribution::Exact { .. }
        );
        let mut cumulants = Cumulants::of(&values, &GRID.weight);
        if straight {
            (cumulants.third, cumulants.fourth) = (0.0, 0.0);
        }
        Self {
            cumulants,
            straight,
            values,
            heavy: degrees < HEAVY,
            felt: match degrees {
                ..3.0 => 0.01,
                ..5.0 => 0.03,
                _ => 0.1,
            },
        }
    }
}

/// Returns the value between nodes from a cubic through the four nearest, beyond the ends the
/// value there.
pub(super) fn interpolated(values: &[f64; NODES], z: f64) -> f64 {
    let place = ((z + REACH) / STEP).clamp(0.0, (NODES - 1) as f64);
    let k = (place as usize).clamp(1, NODES - 3);
    let t = place - k as f64;
    let (a, b, c, d) = (values[k - 1], values[k], values[k + 1], values[k + 2]);
    let (s, u, v) = (t + 1.0, t - 1.0, t - 2.0);
    -a * t * u * v / 6.0 + b * s * u * v / 2.0 - c * s * t * v / 2.0 + d * s * t * u / 6.0
}

/// Returns a distribution's key, its standard form, and place and scale that lead back.
fn standard(distribution: &Distribution) -> (Key, Distribution, f64, f64) {
    // Ratios that differ by rounding share a shape.
    let ratio = |part: f64, whole: f64| {
        if whole > 0.0 {
            (part / whole * 1e9).round() / 1e9
        } else {
            0.0
        }
    };
    let key = |kind: u8, parameter: f64| (kind, parameter.to_bits());
    match *distribution {
        Distribution::Exact { value } => {
            let standard = Distribution::Exact { value: 0.0 };
            (key(0, 0.0), standard, value, 1.0)
        }
        Distribution::Normal { mean, sd } => {
            let standard = Distribution::Normal { mean: 0.0, sd: 1.0 };
            (key(1, 0.0), standard, mean, sd)
        }
        Distribution::Rectangular { low, high } => {
            let standard = Distribution::Rectangular {
                low: 0.0,
                high: 1.0,
            };
            (key(2, 0.0), standard, low, high - low)
        }
        Distribution::Triangular { low, mode, high } => {
            let mode = ratio(mode - low, high - low);
            let standard = Distribution::Triangular {
                low: 0.0,
                mode,
                high: 1.0,
            };
            (key(3, mode), standard, low, high - low)
        }
        Distribution::Arcsine { low, high } => {
            let standard = Distribution::Arcsine {
                low: 0.0,
                high: 1.0,
            };
            (key(4, 0.0), standard, low, high - low)
        }
        Distribution::Trapezoid { low, high, top } => {
            let top = ratio(top, 1.0);
            let standard = Distribution::Trapezoid {
                low: 0.0,
                high: 1.0,
                top,
            };
            (key(5, top), standard, low, high - low)
        }
        Distribution::CurvilinearTrapezoid {
            low,
            high,
            inexactness,
        } => {
            let inexactness = ratio(inexactness, high - low);
            let standard = Distribution::CurvilinearTrapezoid {
                low: 0.0,
                high: 1.0,
                inexactness,
            };
            (key(6, inexactness), standard, low, high - low)
        }
        Distribution::Pert {
            low,
            mode,
            high,
            lambda,
        } => {
            let mode = ratio(mode - low, high - low);
            let standard = Distribution::Pert {
                low: 0.0,
                mode,
                high: 1.0,
                lambda,
            };
            let (kind, bits) = key(7, mode);
            (
                (kind, bits ^ lambda.to_bits().rotate_left(32)),
                standard,
                low,
                high - low,
            )
        }
        Distribution::Lognormal { mu, sigma } => {
            let standard = Distribution::Lognormal { mu: 0.0, sigma };
            (key(8, sigma), standard, 0.0, mu.exp())
        }
        Distribution::ScaledT {
            mean,
            scale,
            degrees_of_freedom,
        } => {
            let standard = Distribution::ScaledT {
                mean: 0.0,
                scale: 1.0,
                degrees_of_freedom,
            };
            (key(9, degrees_of_freedom), standard, mean, scale)
        }
    }
}
