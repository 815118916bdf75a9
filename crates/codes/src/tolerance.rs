//! Tolerance letters.
//!
//! In: a letter. Out: per cent, or picofarads for small capacitances. Source: IEC 60062, clause 4, as
//! given in four or five agreeing public lists per letter; where lists differ it is said.

use crate::text::plain;
use serde::Serialize;

/// Limits of a tolerance.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case", tag = "limits")]
pub enum Tolerance {
    /// Per cent of the value.
    Percent {
        /// How far below, %.
        minus: f64,
        /// How far above, %.
        plus: f64,
    },
    /// A fixed width, for capacitances below 10 pF.
    Picofarad {
        /// How far to either side, pF.
        either: f64,
    },
}

impl Tolerance {
    /// The same per cent to either side.
    pub fn percent(either: f64) -> Self {
        Self::Percent {
            minus: either,
            plus: either,
        }
    }
}

impl std::fmt::Display for Tolerance {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Percent { minus, plus } if minus == plus => write!(f, "± {} %", plain(*plus)),
            Self::Percent { minus, plus } => {
                write!(f, "-{} % / +{} %", plain(*minus), plain(*plus))
            }
            Self::Picofarad { either } => write!(f, "± {} pF", plain(*either)),
        }
    }
}

/// A tolerance with what is doubtful about it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Letter {
    pub(crate) tolerance: Tolerance,
    pub(crate) caution: &'static str,
}

/// Reads a tolerance letter; `farad` is the capacitance it belongs to, none for other parts.
pub(crate) fn letter(letter: char, farad: Option<f64>) -> Option<Letter> {
    let (minus, plus, caution) = match letter {
        'B' => (0.1, 0.1, ""),
        'C' => (0.25, 0.25, ""),
        'D' => (0.5, 0.5, ""),
        'F' => (1.0, 1.0, ""),
        'G' => (2.0, 2.0, ""),
        'H' => (
            3.0,
            3.0,
            "tolerance H is 3 % in some lists and 2.5 % in others",
        ),
        'J' => (5.0, 5.0, ""),
        'K' => (10.0, 10.0, ""),
        'M' => (20.0, 20.0, ""),
        'N' => (30.0, 30.0, ""),
        'Q' => (10.0, 30.0, "tolerance Q is given in one list only"),
        'S' => (20.0, 50.0, ""),
        'T' => (10.0, 50.0, ""),
        'Z' => (20.0, 80.0, "one old table gives Z as +100/-20 %"),
        'E' if farad.is_none() => (0.005, 0.005, "tolerance E: not checked in a source"),
        'L' if farad.is_none() => (0.01, 0.01, "tolerance L: not checked in a source"),
        'P' if farad.is_none() => (0.02, 0.02, "tolerance P: not checked in a source"),
        'W' if farad.is_none() => (0.05, 0.05, "tolerance W: not checked in a source"),
        'P' => (0.0, 100.0, "P is -0/+100 % on old capacitors"),
        _ => return None,
    };
    let tolerance = match farad {
        // Below 10 pF the letters B to G are picofarads.
        Some(farad) if farad < 10e-12 && matches!(letter, 'B' | 'C' | 'D' | 'F' | 'G') => {
            Tolerance::Picofarad { either: plus }
        }
        _ => Tolerance::Percent { minus, plus },
    };
    Some(Letter { tolerance, caution })
}

/// How usual a tolerance is on a capacitor: less than 1 % is rare.
pub(crate) fn usual_on_capacitor(tolerance: Tolerance) -> f64 {
    match tolerance {
        Tolerance::Percent { plus, .. } if plus < 1.0 => 0.1,
        _ => 1.0,
    }
}

/// Returns a tolerance as an addition to a value (`, ± 5 %`), empty without one.
pub(crate) fn suffix(tolerance: Option<Tolerance>) -> String {
    tolerance.map_or_else(String::new, |t| format!(", {t}"))
}
