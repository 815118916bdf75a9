//! Hands: how long putting together takes and costs.
//!
//! In: pieces with a time for handling and one for insertion, from a table of the user's own. Out: seconds, the index
//! of assembly, cost.
//! Source: design for assembly (Boothroyd, Dewhurst): Σ count × (handling + insertion); index 3 s × parts that must be
//! there / total. Published tables of two products do not add up in three rows and are not copied.

/// Seconds that an ideal part takes.
const IDEAL_SECONDS: f64 = 3.0;

/// One row of an assembly.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Act {
    /// How often.
    pub count: f64,
    /// Seconds to pick up and orient.
    pub handling: f64,
    /// Seconds to insert or fasten.
    pub insertion: f64,
}

impl Act {
    /// Returns the seconds of all.
    pub fn seconds(&self) -> f64 {
        self.count * (self.handling + self.insertion)
    }
}

/// Returns the seconds of a whole assembly.
pub fn seconds(acts: &[Act]) -> f64 {
    acts.iter().map(Act::seconds).sum()
}

/// Returns the index of assembly, 0 to 1: what it would take of ideal parts that must be there, over what it takes.
pub fn index(needed: f64, seconds: f64) -> f64 {
    IDEAL_SECONDS * needed / seconds
}

/// Returns the cost of seconds of labour: `hour` is the whole cost of an hour, not the wage alone; `balance` the share
/// of the time that the stations of a line are busy.
pub fn labour(seconds: f64, hour: f64, balance: f64) -> f64 {
    seconds / 3600.0 * hour / balance
}

/// Returns whole cost over wages.
pub fn loading(whole: f64, wages: f64) -> f64 {
    whole / wages
}

/// Returns the standard deviation of the logarithm of a figure whose 95 % range is `low` to `high`.
pub fn sigma_of_range(low: f64, high: f64) -> f64 {
    (high / low).ln() / (2.0 * NORMAL_975)
}

/// Quantile of the normal distribution at 97.5 %.
const NORMAL_975: f64 = 1.959_963_984_540_054;
