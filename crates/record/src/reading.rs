//! Measured values, instruments, photographs.

use crate::{Evidence, Note};
use quantity::Stated;
use serde::{Deserialize, Serialize};

/// `[[readings]]`: one measured value.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Reading {
    /// Id.
    pub id: String,
    /// The item measured (one piece of it, unless `pieces` says how many).
    pub item: String,
    /// What was measured.
    pub what: ReadingSubject,
    /// Mode of use (for currents and times).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mode: Option<String>,
    /// The value as read.
    pub value: Stated,
    /// The instrument.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub instrument: Option<String>,
    /// How many pieces were on the scale together; 1 if not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pieces: Option<u32>,
    /// Taken before this step (id); after the last step it depends on if not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub before: Option<String>,
    /// Taken after this step (id).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub after: Option<String>,
    /// Items that were already missing when the item was measured.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub without: Vec<String>,
    /// Where it is seen.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub evidence: Vec<Evidence>,
    /// Free notes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<Note>,
}

/// What a reading measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs, reason = "the words are the trade's own")]
pub enum ReadingSubject {
    Mass,
    Length,
    Width,
    Height,
    Thickness,
    Diameter,
    Voltage,
    Current,
    Charge,
    Energy,
    Resistance,
    Temperature,
    RunTime,
    ChargingTime,
    Delay,
    NoiseReduction,
}

/// `[[instruments]]`
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Instrument {
    /// Id.
    pub id: String,
    /// What it is ("pocket scale").
    pub name: String,
    /// Digital resolution (`0.01 g`).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub resolution: Option<Stated>,
    /// Limit of error (`0.03 g`, or `0.5 %` of the reading).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub accuracy: Option<Stated>,
    /// Date of last calibration, in words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub calibrated: Option<String>,
    /// Free notes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<Note>,
}

/// `[[correlations]]`: a stated correlation of two readings (a common scale error).
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Correlation {
    /// Two reading ids.
    pub between: [String; 2],
    /// Correlation coefficient, −1 to 1.
    pub coefficient: f64,
    /// Why.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub because: Option<String>,
}

/// `[[photos]]`
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Photo {
    /// Id.
    pub id: String,
    /// File name inside `photos/`.
    pub file: String,
    /// Caption.
    pub caption: String,
    /// A known length in view.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub scale: Option<ScaleReference>,
    /// Named regions.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub regions: Vec<Region>,
    /// Taken after this step.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub after: Option<String>,
    /// Free notes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<Note>,
}

/// Two points a known distance apart.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct ScaleReference {
    /// First point, pixels.
    pub from: [f64; 2],
    /// Second point, pixels.
    pub to: [f64; 2],
    /// The distance between them (`20 mm`).
    pub length: Stated,
}

/// A rectangle in a photograph, pixels.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Region {
    /// Id within the photo.
    pub id: String,
    /// Left, top, width, height in pixels.
    pub rect: [u32; 4],
    /// The item seen there.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub item: Option<String>,
    /// Set when the rectangle is the outline of the item, so that it can be measured.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub outline: bool,
    /// Caption.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub caption: Option<String>,
}
