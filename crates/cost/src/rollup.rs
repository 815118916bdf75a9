//! Draws of a whole bill.
//!
//! In: a bill, volumes, a seed. Out: median and 80 % interval of the cost of one piece, the same over volumes.
//! Source: JCGM 101:2008, 7 (propagation of distributions); every unknown is drawn once for all lines that share it.

use crate::bill::{Bill, BillError, Kept};
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

    /// Draws the cost over volumes with one seed, so that the curve is as smooth as the prices are.
    ///
    /// # Errors
    /// As [`Bill::point`].
    pub fn curve(&self, volumes: &[f64], run: Run) -> Result<Vec<Band>, BillError> {
        let bands = volumes.iter().map(|&v| self.rollup(v, run).map(|r| r.band));
        bands.collect()
    }
}
