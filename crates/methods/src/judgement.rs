//! What a printed claim says beside what was found: a row of the table of claims, a line of its plot.
//!
//! In: what settled a claim. Out: plain data. Not here: settling it (`claims`), the sentence.

use crate::{Cell, Verdict};
use quantity::Unit;
use serde::{Deserialize, Serialize};

/// How a claim came out, part by part.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Judgement {
    /// How the claim is read ("that TH310 is in it"); none where it is taken as printed.
    pub meaning: Option<String>,
    /// What was found: a quantity with its uncertainty, a part; nothing where nothing was.
    pub found: Cell,
    /// How it was found ("weighed", "computed", "is TH310 (read)").
    pub how: String,
    /// What a figure has to keep.
    pub limits: Option<Limits>,
    /// Why nothing is decided, where nothing is.
    pub open: Option<OpenReason>,
    /// Why it came out so, as a clause; empty where `how` says it.
    pub why: String,
}

/// Limits that the true value of a claim's figure has to keep, in `unit`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Limits {
    /// The unit of the claim.
    pub unit: Unit,
    /// The least value that keeps it.
    pub low: Option<f64>,
    /// The greatest value that keeps it.
    pub high: Option<f64>,
    /// Width that is allowed around the figure; 0 where none is.
    pub tolerance: f64,
    /// What is allowed beyond the figure, in words ("2 % granted"); empty where nothing is.
    pub granted: String,
}

/// Where a value lies against its limits, in the unit of these.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Margin {
    /// More than the greatest value, by so much.
    Over(f64),
    /// Less than the least value, by so much.
    Short(f64),
    /// Inside, with so much left to the nearest limit.
    ToSpare(f64),
}

impl Judgement {
    /// Returns what was found as printed, with as many decimals as show on which side of a limit it
    /// lies; without its interval.
    pub fn printed(&self) -> String {
        match &self.found {
            Cell::Quantity(found) => {
                let limits = self.limits.as_ref();
                let ends = limits.map_or_else(Vec::new, |l| l.ends(&found.unit));
                found.clone().without_interval().print_beside(&ends)
            }
            other => other.printed(),
        }
    }
}

impl Limits {
    /// Returns the limits in another unit; none where the dimensions differ.
    pub fn ends(&self, unit: &Unit) -> Vec<f64> {
        let ends = [self.low, self.high].into_iter().flatten();
        let own = |end: f64| unit.of_si(self.unit.to_si(end));
        let same = self.unit.dimension() == unit.dimension();
        ends.filter(|_| same).map(own).collect()
    }

    /// Returns where a value in the unit of the limits lies; `None` where there is no limit.
    pub fn margin(&self, value: f64) -> Option<Margin> {
        let above = self.high.map(|high| value - high);
        let below = self.low.map(|low| low - value);
        match (above, below) {
            (Some(by), _) if by > 0.0 => Some(Margin::Over(by)),
            (_, Some(by)) if by > 0.0 => Some(Margin::Short(by)),
            _ => {
                let left = [above, below].into_iter().flatten().map(|by| -by);
                left.min_by(f64::total_cmp).map(Margin::ToSpare)
            }
        }
    }
}

/// Why a claim is not decided.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum OpenReason {
    /// Only the maker's own print agrees.
    RepeatedNotTested,
    /// It gives no figure or no condition.
    NotTestable,
    /// Nothing recorded answers it.
    NotMeasured,
    /// The limit lies within the uncertainty of what was found.
    LimitInsideUncertainty,
    /// It is not sure enough what the part is.
    IdentityUnsure,
    /// The record contradicts itself.
    RecordContradicts,
    /// What was found can refute it, not prove it.
    RefutesOnly,
    /// What makes it possible is there; it was not tried.
    NotTried,
    /// It takes a comparison with other products.
    OtherProducts,
    /// No product of a library refutes it, and a library cannot prove it.
    NotInLibrary,
    /// The record does not say enough of what is claimed.
    NotUnderstood,
}

impl OpenReason {
    /// Returns the reason in words.
    pub fn words(self) -> &'static str {
        match self {
            Self::RepeatedNotTested => "repeated, not tested",
            Self::NotTestable => "not testable as printed",
            Self::NotMeasured => "not measured",
            Self::LimitInsideUncertainty => "limit inside ±",
            Self::IdentityUnsure => "identity unsure",
            Self::RecordContradicts => "our record contradicts itself",
            Self::RefutesOnly => "a bound only",
            Self::NotTried => "not tried",
            Self::OtherProducts => "needs other products",
            Self::NotInLibrary => "not refuted in this library",
            Self::NotUnderstood => "not recorded what it is about",
        }
    }
}

impl Judgement {
    /// Starts one of a claim about which nothing was found.
    pub(crate) fn nothing(open: OpenReason, why: impl Into<String>) -> Self {
        Self {
            meaning: None,
            found: Cell::Nothing,
            how: String::new(),
            limits: None,
            open: Some(open),
            why: why.into(),
        }
    }

    /// Starts one of a claim about which something was found.
    pub(crate) fn found(found: Cell, how: impl Into<String>) -> Self {
        Self {
            meaning: None,
            found,
            how: how.into(),
            limits: None,
            open: None,
            why: String::new(),
        }
    }

    /// Sets how the claim is read.
    #[must_use]
    pub(crate) fn meaning(mut self, meaning: impl Into<String>) -> Self {
        self.meaning = Some(meaning.into());
        self
    }

    /// Sets why nothing is decided; a verdict that decides has no such reason.
    #[must_use]
    pub(crate) fn open(mut self, verdict: Verdict, reason: OpenReason) -> Self {
        let is_open = matches!(verdict, Verdict::Undecided | Verdict::NeedsEvidence);
        self.open = is_open.then_some(reason);
        self
    }

    /// Sets why it came out so.
    #[must_use]
    pub(crate) fn because(mut self, why: impl Into<String>) -> Self {
        self.why = why.into();
        self
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_margin_is_told_from_the_limit_that_counts() {
        let limits = |low, high| Limits {
            unit: Unit::parse("g").expect("a unit"),
            low,
            high,
            tolerance: 2.0,
            granted: String::new(),
        };
        let both = limits(Some(36.0), Some(40.0));
        assert_eq!(both.margin(41.5), Some(Margin::Over(1.5)));
        assert_eq!(both.margin(35.0), Some(Margin::Short(1.0)));
        assert_eq!(both.margin(39.0), Some(Margin::ToSpare(1.0)));
        assert_eq!(
            limits(Some(4.0), None).margin(6.0),
            Some(Margin::ToSpare(2.0))
        );
        assert_eq!(limits(None, None).margin(6.0), None);
    }
}
