//! From what a claim says to the interval its true value must lie in.
//!
//! In: the claim's figure, sense, kind and tolerance. Out: limits in SI and the reading in words.
//!
//! A stated bound (`at least`, `up to`, a range) is the limit itself; only `exactly` and `about`
//! need a tolerance, and one is assumed where the claim grants none.

use crate::assumed;
use crate::ledger::Ledger;
use quantity::{Dimension, Sense, Stated, format_quantity};
use record::{Claim, ClaimKind};

/// The values that satisfy a claim, in SI.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Acceptance {
    pub(crate) low: Option<f64>,
    pub(crate) high: Option<f64>,
    /// The width that a measurement must be fine against, SI.
    pub(crate) tolerance: f64,
}

/// Which way a promise of this kind is broken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Promise {
    /// Less than said breaks it.
    AtLeast,
    /// More than said breaks it.
    AtMost,
    /// Either breaks it.
    Both,
}

fn promise(kind: ClaimKind) -> Promise {
    match kind {
        ClaimKind::RunTime
        | ClaimKind::QuickCharge
        | ClaimKind::Recharges
        | ClaimKind::NoiseReduction => Promise::AtLeast,
        ClaimKind::ChargingTime | ClaimKind::Delay => Promise::AtMost,
        _ => Promise::Both,
    }
}

/// The tolerance granted where a claim states none: a fraction of the value for `exactly` and for
/// `about`. Half a unit of the last printed digit is granted if that is more.
pub(crate) fn default_fraction(kind: ClaimKind) -> (f64, f64) {
    let (exactly, about) = match kind {
        ClaimKind::Mass => (assumed::MASS_EXACTLY, assumed::MASS_ABOUT),
        ClaimKind::Dimension => (assumed::SIZE_EXACTLY, assumed::SIZE_ABOUT),
        ClaimKind::Capacity | ClaimKind::Energy => {
            (assumed::CAPACITY_EXACTLY, assumed::CAPACITY_ABOUT)
        }
        ClaimKind::NoiseReduction => (assumed::NOISE_EXACTLY, assumed::NOISE_ABOUT),
        _ => (assumed::OTHER_EXACTLY, assumed::OTHER_ABOUT),
    };
    (exactly.si(), about.si())
}

/// Returns the acceptance interval of a figure; notes how it was read.
pub(crate) fn acceptance(claim: &Claim, value: &Stated, ledger: &mut Ledger) -> Acceptance {
    let factor = value.unit.factor();
    let half_digit = 0.5 * value.last_digit.abs() * factor;
    let (exactly, about) = default_fraction(claim.kind);
    let fraction = if value.sense == Sense::About {
        about
    } else {
        exactly
    };
    let assumed = half_digit.max(fraction * value.value.abs() * factor);
    let granted = claim.tolerance.as_ref().and_then(|t| {
        if t.dimension() == value.dimension() {
            Some(t.value.abs() * t.unit.factor())
        } else if t.dimension() == Dimension::NONE {
            Some(t.si().abs() * value.value.abs() * factor)
        } else {
            ledger.unused(format!(
                "tolerance {t}: expected {}, found {}",
                value.dimension(),
                t.dimension()
            ));
            None
        }
    });
    let own = granted.unwrap_or(0.0);
    let loose = granted.unwrap_or(assumed);
    let (si, way) = (value.si(), promise(claim.kind));
    // "Up to 40 h" promises that 40 h can be reached; "up to 38 g" promises no more than 38 g.
    let (low, high, words) = match (value.sense, way) {
        (Sense::Exactly | Sense::About, Promise::Both) => (
            Some(si - loose),
            Some(si + loose),
            "lies within the tolerance of the figure",
        ),
        (Sense::Exactly | Sense::About, Promise::AtLeast) => (
            Some(si - loose),
            None,
            "reaches the figure less the tolerance; more does not break the promise",
        ),
        (Sense::Exactly | Sense::About, Promise::AtMost) => (
            None,
            Some(si + loose),
            "stays below the figure plus the tolerance; less does not break the promise",
        ),
        (Sense::AtLeast, _) => (Some(si - own), None, "is at least the figure"),
        (Sense::UpTo, Promise::AtLeast) => (
            Some(si - own),
            None,
            "reaches the figure in the best mode stated",
        ),
        (Sense::UpTo, _) => (None, Some(si + own), "is at most the figure"),
        (Sense::Between, _) => (
            Some(value.low_si() - own),
            Some(value.high_si() + own),
            "lies inside the range",
        ),
    };
    ledger.assume(format!("“{value}” is read as: the true value {words}"));
    let relies_on_tolerance = matches!(value.sense, Sense::Exactly | Sense::About);
    let shown = |t: f64| format_quantity(crate::basis::tidy(t / factor), &value.unit.difference());
    match (granted, relies_on_tolerance) {
        (Some(t), _) => ledger.assume(format!("tolerance {} as stated in claim {}", shown(t), claim.id)),
        (None, true) => ledger.assume(format!(
            "tolerance ± {} assumed (the greater of {} % and half the last digit); state `tolerance = \"…\"` in \
             claim {} to change it",
            shown(assumed),
            crate::basis::tidy(fraction * 100.0),
            claim.id
        )),
        (None, false) => {}
    }
    Acceptance {
        low,
        high,
        tolerance: loose.max(half_digit),
    }
}

impl Acceptance {
    /// Returns how far a value is from the nearest limit, SI.
    pub(crate) fn distance(&self, value: f64) -> Option<f64> {
        let gaps = [self.low, self.high];
        gaps.into_iter()
            .flatten()
            .map(|limit| (value - limit).abs())
            .min_by(f64::total_cmp)
    }
    /// Returns whether a value satisfies the claim.
    pub(crate) fn contains(&self, value: f64) -> bool {
        // A hair of slack, so that 38.00 g meets a limit of 38 g after conversion.
        let slack = 1e-12 * value.abs();
        self.low.is_none_or(|l| value + slack >= l) && self.high.is_none_or(|h| value <= h + slack)
    }
}
