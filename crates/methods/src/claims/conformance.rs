//! The conformance probability and the decision.
//!
//! In: a term and an acceptance interval. Out: the probability that the true value lies inside,
//! the verdict, and the uncertainty that would decide.
//! Source: JCGM 106:2012, clauses 7.2 to 7.4 (normal state of knowledge); the decision limits 0.95
//! and 0.05 are this tool's.

use super::acceptance::Acceptance;
use crate::Verdict;
use crate::assumed;
use quantity::{Sheet, SheetError, Term};

/// At or above this probability a claim holds; at or below its complement it fails.
pub(crate) const DECISION: f64 = assumed::CLAIM_DECIDED.number();
/// Quantile of the standard normal distribution at [`DECISION`].
const QUANTILE: f64 = 1.644_853_626_951_472_7;
/// The publication behind the decision.
pub(crate) const SOURCE: &str = "JCGM 106:2012, Evaluation of measurement data – The role of measurement uncertainty in conformity assessment, 7";

/// Where the true value lies, as probabilities: inside the limits, below them, above them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Conformance {
    pub(crate) inside: f64,
    pub(crate) below: f64,
    pub(crate) above: f64,
}

/// Returns the probabilities that the true value of `term` satisfies the claim, or which limit it breaks.
///
/// # Errors
/// As [`Sheet::value`].
pub(crate) fn probability(
    sheet: &Sheet,
    term: Term<'_>,
    limits: &Acceptance,
) -> Result<Conformance, SheetError> {
    let spread = sheet.propagate(&[term])?;
    let variance = spread
        .covariance
        .first()
        .and_then(|row| row.first())
        .copied()
        .unwrap_or(0.0);
    if variance <= 0.0 {
        let value = sheet.value(term)?;
        let inside = limits.contains(value);
        let below = !inside && limits.low.is_some_and(|low| value < low);
        let share = |is: bool| f64::from(u8::from(is));
        return Ok(Conformance {
            inside: share(inside),
            below: share(below),
            above: share(!inside && !below),
        });
    }
    let below = match limits.low {
        Some(low) => sheet.probability_at_most(term, low)?,
        None => 0.0,
    };
    let above = match limits.high {
        Some(high) => 1.0 - sheet.probability_at_most(term, high)?,
        None => 0.0,
    };
    Ok(Conformance {
        inside: (1.0 - above - below).clamp(0.0, 1.0),
        below,
        above,
    })
}

/// Returns the verdict. A claim fails only where the value is known to break one of its limits: a wide
/// reading that reaches beyond both says nothing, however little of it lies inside.
pub(crate) fn decide(found: Conformance) -> Verdict {
    if found.inside >= DECISION {
        Verdict::Holds
    } else if found.below.max(found.above) >= DECISION {
        Verdict::Fails
    } else {
        Verdict::Undecided
    }
}

/// Returns the standard uncertainty with which a value at `distance` from its limit would be
/// decided; `None` where the value lies on the limit.
pub(crate) fn deciding_uncertainty(distance: f64) -> Option<f64> {
    (distance > 0.0 && distance.is_finite()).then(|| distance / QUANTILE)
}
