//! Hours against units made.
//!
//! In: what one unit takes, the rate per doubling. Out: hours of a unit, of a block of units, by the unit theory
//! (Crawford: each unit follows the power law) and by the average theory (Wright: the cumulative average does).
//! Source: T. P. Wright, "Factors affecting the cost of airplanes", J. Aeronaut. Sci. 3 (1936) 122; notes with worked
//! outputs named beside the tests. Misprints met in print and not copied: (m − 0.05) for (m − 0.5) in the integral and
//! the mid-unit; [ln T − ln t]/[ln n − 1] for ln(T/t)/ln n − 1.
//!
//! Not for prices that fall with volume: the same effect would be counted twice.

/// A rate of learning: what a doubling of the units leaves of the hours, 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rate(f64);

impl Rate {
    /// Makes a rate; none outside 0 to 1.
    pub fn new(rate: f64) -> Option<Self> {
        (rate > 0.0 && rate <= 1.0).then_some(Self(rate))
    }

    /// Makes the rate that has an exponent.
    pub fn of_slope(slope: f64) -> Option<Self> {
        Self::new(slope.exp2())
    }

    /// Makes the rate by which `units` units took `total` in all and the first `first`, by the average theory.
    pub fn of_total(total: f64, first: f64, units: f64) -> Option<Self> {
        Self::of_slope((total / first).ln() / units.ln() - 1.0)
    }

    /// The rate.
    pub fn rate(self) -> f64 {
        self.0
    }

    /// The exponent of the power law: log₂ of the rate.
    pub fn slope(self) -> f64 {
        self.0.log2()
    }

    /// Hours of unit `unit` where unit `from` takes `hours`, by the unit theory.
    pub fn unit(self, hours: f64, unit: f64, from: f64) -> f64 {
        hours * (unit / from).powf(self.slope())
    }

    /// Hours of the units `first` to `last` where unit `first` takes `hours`, by the unit theory, added up.
    pub fn block(self, hours: f64, first: u64, last: u64) -> f64 {
        let slope = self.slope();
        let sum: f64 = (first..=last).rev().map(|k| (k as f64).powf(slope)).sum();
        hours * (first as f64).powf(-slope) * sum
    }

    /// As [`Rate::block`] by the integral from half a unit before to half a unit after: within 0.04 % from unit 1,
    /// closer from later ones.
    pub fn block_integral(self, hours: f64, first: f64, last: f64) -> f64 {
        let slope = self.slope();
        let power = 1.0 + slope;
        let span = (last + 0.5).powf(power) - (first - 0.5).powf(power);
        hours * first.powf(-slope) / power * span
    }

    /// The unit that takes the mean of a block.
    pub fn middle(self, first: f64, last: f64) -> f64 {
        let power = 1.0 + self.slope();
        let span = (last + 0.5).powf(power) - (first - 0.5).powf(power);
        (span / (power * (last - first + 1.0))).powf(1.0 / self.slope())
    }

    /// Hours of the first `units` units where the first takes `hours`, by the average theory.
    pub fn total(self, hours: f64, units: f64) -> f64 {
        hours * units.powf(1.0 + self.slope())
    }

    /// Hours of one unit by the average theory.
    pub fn unit_of_average(self, hours: f64, unit: f64) -> f64 {
        self.total(hours, unit) - self.total(hours, unit - 1.0)
    }

    /// The number of units by which the hours have come down to a share of the first.
    pub fn reaches(self, share: f64) -> f64 {
        share.powf(1.0 / self.slope())
    }
}
