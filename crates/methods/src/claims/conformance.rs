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

/// Returns the probability that the true value of `term` satisfies the claim.
///
/// # Errors
/// As [`Sheet::value`].
pub(crate) fn probability(
    sheet: &Sheet,
    term: Term<'_>,
    limits: &Acceptance,
) -> Result<f64, SheetError> {
    let spread = sheet.propagate(&[term])?;
    let variance = spread
        .covariance
        .first()
        .and_then(|row| row.first())
        .copied()
        .unwrap_or(0.0);
    if variance <= 0.0 {
        return Ok(if limits.contains(sheet.value(term)?) {
            1.0
        } else {
            0.0
        });
    }
    let below = match limits.low {
        Some(low) => sheet.probability_at_most(term, low)?,
        None => 0.0,
    };
    let up_to = match limits.high {
        Some(high) => sheet.probability_at_most(term, high)?,
        None => 1.0,
    };
    Ok((up_to - below).clamp(0.0, 1.0))
}

/// Returns the verdict for a conformance probability.
pub(crate) fn decide(probability: f64) -> Verdict {
    if probability >= DECISION {
        Verdict::Holds
    } else if probability <= 1.0 - DECISION {
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
