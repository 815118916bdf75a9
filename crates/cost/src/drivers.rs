//! What the doubt of a cost rests on, and which single quote would narrow it most.
//!
//! In: a bill, a volume. Out: shares of the variance; the interval as it would be with one price known.
//! Source: first-order variance shares (I. M. Sobol', 1993). The cost is a sum of products of independent unknowns, over
//! yields that hardly vary, so the share of one is its derivative at the means times its deviation, squared; the variance
//! with its second-order part (GUM 5.1.2, note) is exact for products of two.

use crate::Band;
use crate::bill::{Bill, BillError, Kept, Sort};
use quantity::Sheet;

/// One thing that the doubt rests on.
#[derive(Debug, Clone, PartialEq)]
pub struct Driver {
    /// Its name.
    pub name: String,
    /// What sort.
    pub sort: Sort,
    /// Whether a source stands behind it.
    pub sourced: bool,
    /// Share of the variance that would go if it were known, 0 to 1.
    pub share: f64,
    /// Its number among the unknowns; none for the distance of one line from the last break of its ladder.
    pub unknown: Option<usize>,
}

/// The spread with its drivers.
#[derive(Debug, Clone, PartialEq)]
pub struct Drivers {
    /// Expectation of the cost.
    pub mean: f64,
    /// Standard deviation.
    pub sd: f64,
    /// Greatest share first.
    pub drivers: Vec<Driver>,
}

/// What one quote would do.
#[derive(Debug, Clone, PartialEq)]
pub struct Quote {
    /// The price to ask for.
    pub name: String,
    /// Its number among the unknowns.
    pub unknown: usize,
    /// Its share of the variance.
    pub share: f64,
    /// The band as it would be, were the price as it is now thought of.
    pub then: Band,
}

impl Bill {
    /// Returns what the doubt of the cost at a volume rests on.
    ///
    /// # Errors
    /// As [`Bill::point`].
    pub fn drivers(&self, volume: f64) -> Result<Drivers, BillError> {
        let sheet = Sheet::new();
        let derived = self.derived(&sheet, volume, Kept::Moments)?;
        let found = sheet.propagate(&[derived.total])?;
        let variance = found.covariance[0][0] + found.second_order_variance[0];
        let slopes = found.sensitivities[0].iter();
        let mut drivers: Vec<Driver> = derived
            .inputs
            .into_iter()
            .zip(slopes)
            .map(|(behind, slope)| {
                let part = (slope * behind.sd).powi(2);
                Driver {
                    name: behind.name,
                    sort: behind.sort,
                    sourced: behind.sourced,
                    share: if variance > 0.0 { part / variance } else { 0.0 },
                    unknown: behind.unknown,
                }
            })
            .collect();
        drivers.sort_by(|a, b| b.share.total_cmp(&a.share));
        Ok(Drivers {
            mean: found.values[0] + found.second_order_shift[0],
            sd: variance.sqrt(),
            drivers,
        })
    }
}

impl Drivers {
    /// Returns the single quote that would narrow the 80 % interval most: that of the price with the greatest share. None
    /// where no price is in doubt.
    pub fn best_quote(&self, volume: f64) -> Option<Quote> {
        let prices = self
            .drivers
            .iter()
            .filter(|d| d.sort == Sort::Price && d.share > 0.0);
        let (driver, unknown) = prices.filter_map(|d| Some((d, d.unknown?))).next()?;
        let left = self.sd * self.sd * (1.0 - driver.share);
        Some(Quote {
            name: driver.name.clone(),
            unknown,
            share: driver.share,
            then: Band::of_moments(volume, self.mean, left),
        })
    }
}
