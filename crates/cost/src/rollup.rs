//! Draws of a whole bill.
//!
//! In: a bill, volumes, a seed. Out: median and 80 % interval of the cost of one piece; over volumes, the same by moments.
//! Source: JCGM 101:2008, 7 (propagation of distributions); every unknown is drawn once for all lines that share it.

use crate::bill::{Bill, BillError, Kept, NORMAL_90};
use quantity::{MonteCarlo, Sampled, Sheet};

/// Settings of the draws.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Run {
    /// Number of draws.
    pub draws: u64,
    /// Seed: equal settings give equal answers.
    pub seed: u64,
    /// Threads; the answer does not depend on them.
    pub threads: usize,
}

impl Default for Run {
    fn default() -> Self {
        Self {
            draws: 8_192,
            seed: 1,
            threads: 1,
        }
    }
}

/// What is told of a cost at one volume.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Band {
    /// The volume.
    pub volume: f64,
    /// Half of the draws lie below.
    pub median: f64,
    /// A tenth of the draws lies below.
    pub low: f64,
    /// A tenth of the draws lies above.
    pub high: f64,
}

impl Band {
    /// The lognormal distribution of a mean and a variance.
    pub(crate) fn of_moments(volume: f64, mean: f64, variance: f64) -> Self {
        let square = (variance / (mean * mean)).ln_1p();
        let median = mean * (-square / 2.0).exp();
        let reach = (NORMAL_90 * square.sqrt()).exp();
        Self {
            volume,
            median,
            low: median / reach,
            high: median * reach,
        }
    }

    /// The width of the 80 % interval.
    pub fn width(&self) -> f64 {
        self.high - self.low
    }
}

/// A cost with its draws.
#[derive(Debug, Clone)]
pub struct Rollup {
    /// The band.
    pub band: Band,
    /// The draws.
    pub sampled: Sampled,
}

impl Bill {
    /// Draws the cost of one piece at a volume.
    ///
    /// # Errors
    /// As [`Bill::point`].
    pub fn rollup(&self, volume: f64, run: Run) -> Result<Rollup, BillError> {
        let sheet = Sheet::new();
        let derived = self.derived(&sheet, volume, Kept::Whole)?;
        let settings = MonteCarlo {
            draws: run.draws,
            seed: run.seed,
            threads: run.threads,
            keep_samples: false,
        };
        let sampled = sheet.monte_carlo(derived.total, settings)?;
        let band = Band {
            volume,
            median: sampled.quantile(0.5),
            low: sampled.quantile(0.1),
            high: sampled.quantile(0.9),
        };
        Ok(Rollup { band, sampled })
    }

    /// Returns the cost at a volume without draws: the lognormal distribution of the same mean and variance, which are
    /// exact for sums of products of two unknowns.
    ///
    /// # Errors
    /// As [`Bill::point`].
    pub fn band(&self, volume: f64) -> Result<Band, BillError> {
        let spread = self.drivers(volume)?;
        Ok(Band::of_moments(volume, spread.mean, spread.sd * spread.sd))
    }

    /// Returns the cost over volumes, each as [`Bill::band`].
    ///
    /// # Errors
    /// As [`Bill::point`].
    pub fn curve(&self, volumes: &[f64]) -> Result<Vec<Band>, BillError> {
        volumes.iter().map(|&volume| self.band(volume)).collect()
    }
}
