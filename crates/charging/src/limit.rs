//! What holds a charger's current down, and which of several limits binds.
//!
//! In: limits of a stage. Out: the current at any voltage of the cell, which limit binds, and at which voltage
//! the next one takes over.
//! Not here: where the limits come from (`charger`), how the cell answers (`walk`).
//!
//! All limits are functions of one number, the voltage w behind the cell's series resistance as the charger meets
//! it: w = OCV + Σu − R0·load. The charger gives the least current that any limit allows, and none when the cell
//! stands above the voltage limit. So limits change place at fixed values of w, which are found in closed form.

use crate::ChargingError;
use std::fmt;

/// Most limits of one stage.
pub const MAX_LIMITS: usize = 6;

/// A law that gives the charger's current.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Law {
    /// A current in amperes.
    Current(f64),
    /// A voltage behind a resistance: at the cell's terminals with none, at a source through a cable with one.
    Voltage {
        /// Volts.
        volt: f64,
        /// Ohms between that voltage and the cell's terminals.
        ohm: f64,
    },
    /// Watts at the cell's terminals; negative watts are drawn from the cell.
    Power(f64),
    /// Watts that a linear charger may turn into heat: current times what is left of the input voltage.
    Heat {
        /// Watts.
        watt: f64,
        /// Volts at the source.
        input_v: f64,
        /// Ohms of the cable from the source.
        ohm: f64,
    },
}

/// What binds at a moment.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Binding {
    /// The charger's set current.
    ChargeCurrent,
    /// The charger's set voltage.
    ChargeVoltage,
    /// The current that the source offers.
    SourceCurrent,
    /// The power that the source offers.
    SourcePower,
    /// The charger's own limit of input current.
    InputLimit,
    /// The least input voltage at which the charger takes more current.
    InputVoltage,
    /// What the converter needs between its input and the cell.
    Headroom,
    /// The charger's temperature.
    Temperature,
    /// The cell stands above the voltage limit: no current.
    Full,
    /// No charge is meant to flow.
    Rest,
    /// What is drawn from the cell.
    Draw,
}

impl Binding {
    /// The charger is held below what it was set to, so that a timer may run slower.
    #[must_use]
    pub fn holds_back(self) -> bool {
        matches!(
            self,
            Binding::SourceCurrent
                | Binding::SourcePower
                | Binding::InputLimit
                | Binding::InputVoltage
                | Binding::Temperature
        )
    }
}

impl fmt::Display for Binding {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Binding::ChargeCurrent => "the charge current",
            Binding::ChargeVoltage => "the charge voltage",
            Binding::SourceCurrent => "the source's current",
            Binding::SourcePower => "the source's power",
            Binding::InputLimit => "the input current limit",
            Binding::InputVoltage => "the input voltage",
            Binding::Headroom => "the converter's headroom",
            Binding::Temperature => "the charger's temperature",
            Binding::Full => "a cell above the charge voltage",
            Binding::Rest => "rest",
            Binding::Draw => "what is drawn",
        })
    }
}

/// One limit: its law and what it stands for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limit {
    /// The law.
    pub law: Law,
    /// What binds when this limit does.
    pub binding: Binding,
}

/// The limits of a stage, without a place in memory of their own.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    list: [Limit; MAX_LIMITS],
    count: usize,
}

impl Default for Limits {
    fn default() -> Limits {
        let none = Limit {
            law: Law::Current(0.0),
            binding: Binding::Rest,
        };
        Limits {
            list: [none; MAX_LIMITS],
            count: 0,
        }
    }
}

impl Limits {
    /// No limits yet.
    #[must_use]
    pub fn new() -> Limits {
        Limits::default()
    }

    /// The same with one more.
    ///
    /// # Errors
    /// A figure that is not finite or has the wrong sign; more than [`MAX_LIMITS`].
    pub fn and(mut self, law: Law, binding: Binding) -> Result<Limits, ChargingError> {
        law.check()?;
        let slot = self
            .list
            .get_mut(self.count)
            .ok_or(ChargingError::TooManyLimits { most: MAX_LIMITS })?;
        *slot = Limit { law, binding };
        self.count += 1;
        Ok(self)
    }

    /// The limits, in the order they were given.
    #[must_use]
    pub fn list(&self) -> &[Limit] {
        self.list.get(..self.count).unwrap_or_default()
    }

    /// The limit that binds at `w`: the least current; of equal ones the first.
    pub(crate) fn binding(&self, w: f64, r0: f64) -> Option<Limit> {
        let mut least: Option<(Limit, f64)> = None;
        for limit in self.list() {
            let current = limit.law.allowed(w, r0);
            if least.is_none_or(|(_, other)| current < other) {
                least = Some((*limit, current));
            }
        }
        least.map(|(limit, _)| match limit.law {
            // A charger gives current and takes none.
            Law::Voltage { volt, .. } if w > volt + FULL => Limit {
                law: Law::Current(0.0),
                binding: Binding::Full,
            },
            _ => limit,
        })
    }

    /// The nearest values of w above and below at which another limit takes over from `bound`.
    pub(crate) fn takeovers(&self, bound: Limit, w: f64, r0: f64) -> Takeovers {
        let mut next = Takeovers {
            rising: f64::INFINITY,
            falling: f64::NEG_INFINITY,
        };
        if bound.binding == Binding::Full {
            let volts = self.list().iter().filter_map(|limit| match limit.law {
                Law::Voltage { volt, .. } => Some(volt),
                _ => None,
            });
            next.falling = volts.fold(f64::INFINITY, f64::min);
            return next;
        }
        if let Law::Voltage { volt, .. } = bound.law {
            next.rising = volt + FULL;
        }
        if let Law::Heat { watt, input_v, ohm } = bound.law {
            next.rising = heat_edge(watt, input_v, r0 + ohm);
        }
        for other in self.list() {
            let Some(meet) = bound.law.meets(other.law, r0) else {
                continue;
            };
            let falls_faster = other.law.slope(meet, r0) < bound.law.slope(meet, r0);
            if falls_faster && meet >= w - NEAR {
                next.rising = next.rising.min(meet);
            } else if !falls_faster && meet <= w + NEAR {
                next.falling = next.falling.max(meet);
            }
        }
        next
    }
}

/// Volts within which two values of w are the same.
pub(crate) const NEAR: f64 = 1e-12;

/// Volts by which a cell must stand above the voltage limit to count as full: a current that dies away must not
/// pass to and fro over zero by its last digits.
const FULL: f64 = 1e-9;

/// Where other limits take over.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Takeovers {
    pub(crate) rising: f64,
    pub(crate) falling: f64,
}

impl Law {
    fn check(self) -> Result<(), ChargingError> {
        let positive = |what, value: f64| {
            if value.is_finite() && value > 0.0 {
                Ok(())
            } else {
                Err(ChargingError::NotPositive { what, value })
            }
        };
        let not_negative = |what, value: f64| {
            if value.is_finite() && value >= 0.0 {
                Ok(())
            } else {
                Err(ChargingError::OutOfRange {
                    what,
                    value,
                    from: 0.0,
                    to: f64::MAX,
                })
            }
        };
        match self {
            Law::Current(ampere) => not_negative("current in amperes", ampere),
            Law::Voltage { volt, ohm } => {
                positive("voltage in volts", volt)?;
                not_negative("resistance before the cell in ohms", ohm)
            }
            Law::Power(watt) => positive("power in watts", watt.abs()),
            Law::Heat { watt, input_v, ohm } => {
                positive("heat of the charger in watts", watt)?;
                positive("input voltage in volts", input_v)?;
                not_negative("resistance of the cable in ohms", ohm)
            }
        }
    }

    /// Amperes out of the charger; a power that the cell cannot give is not a number.
    pub(crate) fn supply(self, w: f64, r0: f64) -> f64 {
        match self {
            Law::Current(ampere) => ampere,
            Law::Voltage { volt, ohm } => (volt - w) / (r0 + ohm),
            Law::Power(watt) => 2.0 * watt / (w + (w * w + 4.0 * r0 * watt).sqrt()),
            Law::Heat { watt, input_v, ohm } => {
                let left = input_v - w;
                let square = left * left - 4.0 * (r0 + ohm) * watt;
                if left <= 0.0 || square < 0.0 {
                    // Carried on from the edge, so that a step that reaches over it does not break.
                    (watt / (r0 + ohm)).sqrt()
                } else {
                    2.0 * watt / (left + square.sqrt())
                }
            }
        }
    }

    /// Amperes that the law allows: no current makes so much heat once little voltage is left.
    fn allowed(self, w: f64, r0: f64) -> f64 {
        match self {
            Law::Heat { watt, input_v, ohm } if w > heat_edge(watt, input_v, r0 + ohm) => {
                f64::INFINITY
            }
            _ => self.supply(w, r0),
        }
    }

    /// How the current changes with w, in amperes a volt.
    pub(crate) fn slope(self, w: f64, r0: f64) -> f64 {
        let current = self.supply(w, r0);
        match self {
            Law::Current(_) => 0.0,
            Law::Voltage { ohm, .. } => -1.0 / (r0 + ohm),
            Law::Power(_) => -current / (w + 2.0 * r0 * current),
            Law::Heat { input_v, ohm, .. } => current / (input_v - w - 2.0 * (r0 + ohm) * current),
        }
    }

    /// The w at which two laws give the same current, if they do in their working range.
    fn meets(self, other: Law, r0: f64) -> Option<f64> {
        use Law::{Current, Heat, Power, Voltage};
        // The smaller root of a·i² − b·i + c = 0, written without a difference.
        let root = |a: f64, b: f64, c: f64| {
            let square = b * b - 4.0 * a * c;
            (square >= 0.0).then(|| 2.0 * c / (b + square.sqrt()))
        };
        let meet = match (self, other) {
            (Current(i), Voltage { volt, ohm }) => volt - (r0 + ohm) * i,
            (Current(i), Power(p)) if i > 0.0 => p / i - r0 * i,
            (Current(i), Heat { watt, input_v, ohm }) if i > 0.0 && i * i * (r0 + ohm) <= watt => {
                input_v - (r0 + ohm) * i - watt / i
            }
            (Voltage { volt, ohm }, Power(p)) if p > 0.0 => volt - (r0 + ohm) * root(ohm, volt, p)?,
            (
                Voltage { volt, ohm },
                Heat {
                    watt,
                    input_v,
                    ohm: cable,
                },
            ) => volt - (r0 + ohm) * root(cable - ohm, input_v - volt, watt)?,
            (Voltage { volt, ohm }, Voltage { volt: v2, ohm: r2 }) if ohm != r2 => {
                (volt * (r0 + r2) - v2 * (r0 + ohm)) / (r2 - ohm)
            }
            (Power(p), Heat { watt, input_v, ohm }) if p > 0.0 => {
                let i = root(ohm, input_v, p + watt)?;
                p / i - r0 * i
            }
            (Voltage { .. }, Current(_))
            | (Power(_), Current(_) | Voltage { .. })
            | (Heat { .. }, Current(_) | Voltage { .. } | Power(_)) => {
                return other.meets(self, r0);
            }
            _ => return None,
        };
        if !matches!(self, Heat { .. }) && !matches!(other, Heat { .. }) {
            return meet.is_finite().then_some(meet);
        }
        // A heat limit has a second, larger current for the same heat, which a charger never takes; where only that
        // one meets the other law, they do not meet.
        let (one, two) = (self.supply(meet, r0), other.supply(meet, r0));
        ((one - two).abs() <= 1e-6 * one.abs().max(two.abs())).then_some(meet)
    }
}

/// The w above which so little voltage is left that no current makes that much heat.
fn heat_edge(watt: f64, input_v: f64, ohm: f64) -> f64 {
    input_v - 2.0 * (ohm * watt).sqrt()
}
