//! Levels in decibels: what they are relative to, and what combines with what.
//!
//! In: dimensions. Out: the dimension of a sum or difference, or nothing where there is none.
//! A level with a reference (dBm) is a point on a scale; a plain dB is a distance on any such
//! scale. So points differ by a distance, a distance moves a point, and two points do not add.
//! Not here: energy sums and averages of levels, which are formulas.
//! Source: ISO 80000-1:2009, annex C, and the SI Brochure, 9th edition, table 8 (a level says
//! which quantity it is of and what its reference value is); IEC 61672-1 for the weightings.

use crate::Dimension;

/// What a level is relative to. Levels of unlike references are as unlike as metre and second.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum LevelReference {
    /// A-weighted sound pressure, 20 µPa.
    SoundA,
    /// C-weighted sound pressure, 20 µPa.
    SoundC,
    /// Sound pressure with the flat weighting Z, 20 µPa.
    SoundZ,
    /// Sound pressure without a stated weighting, 20 µPa.
    SoundPressure,
    /// Power, 1 mW.
    Milliwatt,
    /// Antenna gain over an isotropic radiator.
    Isotropic,
    /// Voltage, 1 V.
    Volt,
    /// Voltage, √0.6 V (1 mW in 600 Ω).
    Unloaded,
    /// The full scale of a digital signal.
    FullScale,
}

impl LevelReference {
    /// Every reference known, in the order of its exponent.
    pub const ALL: [Self; 9] = [
        Self::SoundA,
        Self::SoundC,
        Self::SoundZ,
        Self::SoundPressure,
        Self::Milliwatt,
        Self::Isotropic,
        Self::Volt,
        Self::Unloaded,
        Self::FullScale,
    ];

    /// Returns the symbol of the unit (`dBm`).
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::SoundA => "dB(A)",
            Self::SoundC => "dB(C)",
            Self::SoundZ => "dB(Z)",
            Self::SoundPressure => "dBSPL",
            Self::Milliwatt => "dBm",
            Self::Isotropic => "dBi",
            Self::Volt => "dBV",
            Self::Unloaded => "dBu",
            Self::FullScale => "dBFS",
        }
    }

    /// The word for a level of this reference.
    pub(crate) const fn name(self) -> &'static str {
        match self {
            Self::SoundA => "level in dB(A)",
            Self::SoundC => "level in dB(C)",
            Self::SoundZ => "level in dB(Z)",
            Self::SoundPressure => "level in dBSPL",
            Self::Milliwatt => "level in dBm",
            Self::Isotropic => "level in dBi",
            Self::Volt => "level in dBV",
            Self::Unloaded => "level in dBu",
            Self::FullScale => "level in dBFS",
        }
    }
}

impl Dimension {
    /// Returns the reference of a level that has one.
    pub fn level_reference(self) -> Option<LevelReference> {
        LevelReference::ALL
            .into_iter()
            .find(|&r| self == Self::level(r))
    }

    /// Returns whether this is a level, with or without a reference.
    pub fn is_level(self) -> bool {
        self == Self::LEVEL || self.level_reference().is_some()
    }

    /// Returns the dimension of a sum, or `None` where the two do not add. A plain level adds to
    /// a level with a reference; two levels with references do not add, even if these are alike.
    pub fn plus(self, other: Self) -> Option<Self> {
        if !self.has_reference() && !other.has_reference() {
            return (self == other).then_some(self);
        }
        match (self.level_reference(), other.level_reference()) {
            (Some(_), Some(_)) => None,
            (Some(_), None) => (other == Self::LEVEL).then_some(self),
            (None, Some(_)) => (self == Self::LEVEL).then_some(other),
            (None, None) => (self == other).then_some(self),
        }
    }

    /// Returns the dimension of a difference, or `None` where there is none. Levels of one
    /// reference differ by a plain level.
    pub fn minus(self, other: Self) -> Option<Self> {
        if !self.has_reference() && !other.has_reference() {
            return (self == other).then_some(self);
        }
        match (self.level_reference(), other.level_reference()) {
            (Some(a), Some(b)) => (a == b).then_some(Self::LEVEL),
            (Some(_), None) => (other == Self::LEVEL).then_some(self),
            (None, Some(_)) => None,
            (None, None) => (self == other).then_some(self),
        }
    }
}

/// What to say beside a refusal to combine two dimensions, if they are levels.
pub(crate) fn remedy(left: Dimension, right: Dimension) -> &'static str {
    match (left.level_reference(), right.level_reference()) {
        (Some(a), Some(b)) if a == b => {
            " (a plain dB adds to a level; powers add, their levels do not)"
        }
        (None, None) => "",
        _ if left.is_level() && right.is_level() => {
            " (levels compare and subtract only with the same reference; only a plain dB adds to one)"
        }
        _ => "",
    }
}
