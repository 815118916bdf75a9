//! From what a claim says to the interval its true value must lie in.
//!
//! In: the claim's figure, sense, kind and tolerance. Out: limits in SI and the reading in words.
//!
//! A promise of more (run time, capacity, light) is kept by more than said, one of less (charging time,
//! delay) by less: of a range only the end that can break it counts, and "up to" asks no more than the
//! bare figure. A stated bound of what may be broken both ways (`at most 14 mm`) is the limit itself;
//! everything else needs a tolerance, and one is assumed where the claim grants none. "About" in the
//! text counts as "about" of the figure.

use crate::assumed;
use crate::ledger::Ledger;
use quantity::{Dimension, Sense, Stated, Unit, format_quantity};
use record::{Claim, ClaimKind};

/// The values that satisfy a claim, in SI.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Acceptance {
    pub(crate) low: Option<f64>,
    pub(crate) high: Option<f64>,
    /// The width that a measurement must be fine against, SI.
    pub(crate) tolerance: f64,
    /// The unit of the claim, in which the limits are told.
    pub(crate) unit: Unit,
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
        | ClaimKind::NoiseReduction
        | ClaimKind::Capacity
        | ClaimKind::Energy
        | ClaimKind::LuminousFlux
        | ClaimKind::ViewAngle
        | ClaimKind::Resolution => Promise::AtLeast,
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
    let sense = sense(claim, value);
    let fraction = if sense == Sense::About {
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
    let (low, high) = match (sense, way) {
        (Sense::Exactly | Sense::About, Promise::Both) => (Some(si - loose), Some(si + loose)),
        (Sense::Exactly | Sense::About | Sense::UpTo, Promise::AtLeast) => (Some(si - loose), None),
        (Sense::Exactly | Sense::About | Sense::UpTo, Promise::AtMost) => (None, Some(si + loose)),
        (Sense::AtLeast, _) => (Some(si - own), None),
        (Sense::UpTo, Promise::Both) => (None, Some(si + own)),
        (Sense::Between, Promise::AtLeast) => (Some(value.low_si() - own), None),
        (Sense::Between, Promise::AtMost) => (None, Some(value.high_si() + own)),
        (Sense::Between, Promise::Both) => {
            (Some(value.low_si() - own), Some(value.high_si() + own))
        }
    };
    let relies_on_tolerance = !matches!(
        (sense, way),
        (Sense::AtLeast | Sense::Between, _) | (Sense::UpTo, Promise::Both)
    );
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
        unit: value.unit.clone(),
    }
}

/// How the claim means its figure: a figure that the text calls rough is rough.
fn sense(claim: &Claim, value: &Stated) -> Sense {
    if value.sense == Sense::Exactly && calls_rough(&claim.text, value) {
        Sense::About
    } else {
        value.sense
    }
}

/// Words that make the figure behind them rough.
const ROUGH: [&str; 12] = [
    "about",
    "approx.",
    "approximately",
    "approx",
    "around",
    "roughly",
    "circa",
    "ca.",
    "nearly",
    "almost",
    "~",
    "≈",
];

/// Returns whether the text puts such a word right before the figure.
fn calls_rough(text: &str, value: &Stated) -> bool {
    let text = text.to_lowercase();
    let figure = value.value.to_string();
    text.match_indices(&figure).any(|(at, _)| {
        let before = text[..at].trim_end();
        ROUGH.iter().any(|word| before.ends_with(word))
    })
}

impl Acceptance {
    /// Returns the limits in words: `at least 38 h`, `37.2 g to 38.8 g`.
    pub(crate) fn words(&self) -> String {
        let shown = |si: f64| format_quantity(crate::basis::tidy(self.unit.of_si(si)), &self.unit);
        match (self.low, self.high) {
            (Some(low), Some(high)) => format!("{} to {}", shown(low), shown(high)),
            (Some(low), None) => format!("at least {}", shown(low)),
            (None, Some(high)) => format!("at most {}", shown(high)),
            (None, None) => "any value".to_string(),
        }
    }
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
