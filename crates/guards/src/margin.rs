//! Whether one rating leaves room for another, as a probability.
//!
//! In: what each is distributed like. Out: the probability that one is below the other, or between two.
//! Not here: which ratings belong together. They compare only at the same pulse, the same temperature and the same
//! edition of a standard; a caller who does not know these has nothing to compare.

use serde::{Deserialize, Serialize};
use statrs::function::erf::{erfc, erfc_inv};

/// How many equal shares a distribution is cut into where no closed form stands.
const SHARES: u32 = 4096;

/// What is known of a rating, all in one unit.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Law {
    /// Known.
    Exact(f64),
    /// Anywhere between, none likelier.
    Uniform {
        /// Least.
        low: f64,
        /// Greatest.
        high: f64,
    },
    /// Least, typical and greatest of a data sheet.
    Triangular {
        /// Least.
        low: f64,
        /// Most likely.
        mode: f64,
        /// Greatest.
        high: f64,
    },
    /// Normal.
    Normal {
        /// Mean.
        mean: f64,
        /// Standard deviation.
        sd: f64,
    },
}

impl Law {
    /// Returns the probability of a value at or below a limit.
    pub fn below(self, limit: f64) -> f64 {
        match self {
            Self::Exact(value) => f64::from(u8::from(value <= limit)),
            Self::Uniform { low, high } if low < high => {
                ((limit - low) / (high - low)).clamp(0.0, 1.0)
            }
            Self::Triangular { low, mode, high } if low < high => {
                if limit <= low {
                    0.0
                } else if limit >= high {
                    1.0
                } else if limit <= mode {
                    (limit - low).powi(2) / ((high - low) * (mode - low))
                } else {
                    1.0 - (high - limit).powi(2) / ((high - low) * (high - mode))
                }
            }
            Self::Normal { mean, sd } if sd > 0.0 => {
                0.5 * erfc((mean - limit) / (sd * std::f64::consts::SQRT_2))
            }
            Self::Uniform { low: value, .. }
            | Self::Triangular { mode: value, .. }
            | Self::Normal { mean: value, .. } => Self::Exact(value).below(limit),
        }
    }

    /// Returns the probability of a value above one limit and at most another.
    pub fn between(self, low: f64, high: f64) -> f64 {
        (self.below(high) - self.below(low)).max(0.0)
    }

    /// Returns the probability of being at or below another that does not depend on it. Exact where one of them is
    /// known or both are normal, otherwise within 1e-4.
    pub fn below_other(self, other: Self) -> f64 {
        match (self, other) {
            (_, Self::Exact(limit)) => self.below(limit),
            (Self::Exact(value), _) => 1.0 - other.below(value),
            (Self::Normal { mean, sd }, Self::Normal { mean: m, sd: s }) => Self::Normal {
                mean: mean - m,
                sd: sd.hypot(s),
            }
            .below(0.0),
            _ => {
                let share = |k: u32| (f64::from(k) + 0.5) / f64::from(SHARES);
                let sum: f64 = (0..SHARES)
                    .map(|k| self.below(other.quantile(share(k))))
                    .sum();
                sum / f64::from(SHARES)
            }
        }
    }

    /// Returns the value below which a share of all lie.
    fn quantile(self, share: f64) -> f64 {
        match self {
            Self::Exact(value) => value,
            Self::Uniform { low, high } => low + share * (high - low),
            Self::Triangular { low, mode, high } if low < high => {
                let turn = (mode - low) / (high - low);
                if share <= turn {
                    low + (share * (high - low) * (mode - low)).sqrt()
                } else {
                    high - ((1.0 - share) * (high - low) * (high - mode)).sqrt()
                }
            }
            Self::Triangular { mode, .. } => mode,
            Self::Normal { mean, sd } => {
                mean - sd * std::f64::consts::SQRT_2 * erfc_inv(2.0 * share)
            }
        }
    }
}
