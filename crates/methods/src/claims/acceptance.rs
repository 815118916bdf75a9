//! From what a claim says to the interval its true value must lie in.
//!
//! In: the claim's figure, sense, kind and tolerance. Out: limits in SI and the reading in words.
//!
//! A promise of more (run time, capacity, light) is kept by more than said, one of less (charging time,
//! delay) by less: of a range only the end that can break it counts, and "up to" asks no more than the
//! bare figure. A stated bound of what may be broken both ways (`at most 14 mm`) is the limit itself;
//! everything else needs a tolerance, and one is assumed where the claim grants none: a share of the figure,
//! or half its last digit if that is more; of a promise never more than "about" would grant, and of what is
//! counted no half. "About" in the text counts as "about" of the figure.

use crate::Limits;
use crate::assumed;
use crate::grounds::Grounds;
use quantity::{Dimension, Sense, Stated, Unit, format_quantity, units};
use record::{Claim, ClaimKind};

/// The values that satisfy a claim, in SI.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Acceptance {
    pub(crate) low: Option<f64>,
    pub(crate) high: Option<f64>,
    /// The width that a measurement must be fine against, SI.
    pub(crate) tolerance: f64,
    /// What was granted beyond the figure, in words; empty where nothing was.
    pub(crate) granted: String,
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

fn promise(claim: &Claim) -> Promise {
    match claim.kind {
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
        ClaimKind::Power => power(&claim.text.to_lowercase()),
        _ => Promise::Both,
    }
}

/// Power that is given is a promise of more, power that is used up one of less.
fn power(text: &str) -> Promise {
    let says = |words: &[&str]| words.iter().any(|w| text.contains(w));
    if says(&["charg", "output", "deliver", "suppl", "gives", "provides"]) {
        Promise::AtLeast
    } else if says(&["consum", "draws", "uses", "standby", "stand-by", "only"]) {
        Promise::AtMost
    } else {
        Promise::Both
    }
}

/// Whether more than the figure keeps the claim, so that a test has to show that more was asked for.
pub(super) fn more_is_kept(claim: &Claim) -> bool {
    promise(claim) == Promise::AtLeast
}

/// The tolerance granted where a claim states none: a fraction of the value for `exactly` and for
/// `about`.
pub(crate) fn default_fraction(kind: ClaimKind) -> (f64, f64) {
    let (exactly, about) = match kind {
        ClaimKind::Mass => (assumed::MASS_EXACTLY, assumed::MASS_ABOUT),
        ClaimKind::Dimension => (assumed::SIZE_EXACTLY, assumed::SIZE_ABOUT),
        ClaimKind::Capacity | ClaimKind::Energy => {
            (assumed::CAPACITY_EXACTLY, assumed::CAPACITY_ABOUT)
        }
        ClaimKind::NoiseReduction => (assumed::NOISE_EXACTLY, assumed::NOISE_ABOUT),
        ClaimKind::Power => (assumed::POWER_EXACTLY, assumed::POWER_EXACTLY),
        _ => (assumed::OTHER_EXACTLY, assumed::OTHER_ABOUT),
    };
    (exactly.si(), about.si())
}

/// Returns the acceptance interval of a figure; notes how it was read.
pub(crate) fn acceptance(claim: &Claim, value: &Stated, grounds: &mut Grounds) -> Acceptance {
    let factor = value.unit.factor();
    let way = promise(claim);
    let (exactly, about) = default_fraction(claim.kind);
    let half_digit = half_digit(claim.kind, way, value, about);
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
            grounds.unused(format!(
                "tolerance {t}: expected {}, found {}",
                value.dimension(),
                t.dimension()
            ));
            None
        }
    });
    let own = granted.unwrap_or(0.0);
    let loose = granted.unwrap_or(assumed);
    let si = value.si();
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
    let shown = |t: f64| format_quantity(crate::inputs::tidy(t / factor), &value.unit.difference());
    let percent = crate::inputs::tidy(fraction * 100.0);
    let granted = match (granted, relies_on_tolerance) {
        (Some(t), _) => {
            grounds.assume(format!(
                "tolerance {} as stated in claim {}",
                shown(t),
                claim.id
            ));
            if t > 0.0 {
                format!("we allow {}", shown(t))
            } else {
                String::new()
            }
        }
        (None, true) => {
            grounds.assume(format!(
                "tolerance {} assumed, the greater of {percent} % and what the printed digits leave open; state \
                 `tolerance = \"…\"` in claim {} to change it",
                shown(assumed),
                claim.id
            ));
            if half_digit > fraction * value.value.abs() * factor {
                format!("we allow {} for its rounding", shown(half_digit))
            } else if fraction > 0.0 {
                format!("we allow {percent}\u{202f}%")
            } else {
                String::new()
            }
        }
        (None, false) => String::new(),
    };
    Acceptance {
        low,
        high,
        tolerance: loose.max(half_digit),
        granted,
        unit: value.unit.clone(),
    }
}

/// What the printed digits leave open: half of the last one. A count has no halves, and a promise is not
/// widened by more than `about` would ("1 h" is not kept by half an hour).
fn half_digit(kind: ClaimKind, way: Promise, value: &Stated, about: f64) -> f64 {
    let half = 0.5 * value.last_digit.abs() * value.unit.factor();
    match (kind, way) {
        (ClaimKind::Recharges, _) => 0.0,
        (_, Promise::Both) => half,
        _ => half.min(about * value.value.abs() * value.unit.factor()),
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
const ROUGH: [&str; 21] = [
    "about",
    "approx.",
    "approximately",
    "approx",
    "around",
    "roughly",
    "ca.",
    "nearly",
    "almost",
    "~",
    "≈",
    "etwa",
    "rund",
    "env.",
    "environ",
    "circa",
    "cerca de",
    "około",
    "около",
    "约",
    "約",
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
    /// Returns the limits as data, in the unit of the claim.
    pub(crate) fn limits(&self) -> Limits {
        let own = |si: Option<f64>| si.map(|si| crate::inputs::tidy(self.unit.of_si(si)));
        Limits {
            low: own(self.low),
            high: own(self.high),
            tolerance: crate::inputs::tidy(self.tolerance / self.unit.factor()),
            granted: self.granted.clone(),
            unit: self.unit.clone(),
        }
    }

    /// Returns the limits in words: `at least 38 h`, `37.24 to 38.76 g`.
    pub(crate) fn words(&self) -> String {
        let shown = |si: f64| format_quantity(crate::inputs::tidy(self.unit.of_si(si)), &self.unit);
        match (self.low, self.high) {
            (Some(low), Some(high)) => {
                let low = crate::inputs::tidy(self.unit.of_si(low));
                format!("{} to {}", format_quantity(low, &units::one()), shown(high))
            }
            (Some(low), None) => format!("at least {}", shown(low)),
            (None, Some(high)) => format!("at most {}", shown(high)),
            (None, None) => "any value".to_string(),
        }
    }
    /// Returns what was granted beyond the figure, as the end of a sentence.
    pub(crate) fn grant(&self) -> String {
        match self.granted.as_str() {
            "" => String::new(),
            granted => format!(" ({granted})"),
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
