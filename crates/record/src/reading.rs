//! Measured values and instruments.

use crate::{Evidence, Moment, Note};
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
    /// What the value still holds of a vessel or a zero: taken off.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tare: Option<Stated>,
    /// When it was begun.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub started: Option<Moment>,
    /// When it was finished.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stopped: Option<Moment>,
    /// Taken before this step (id); after the last step it depends on if not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub before: Option<String>,
    /// Taken after this step (id).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub after: Option<String>,
    /// Items that were already missing when the item was measured.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub without: Vec<String>,
    /// Set when nothing that is published may tell it.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub private: bool,
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
    Unknown,
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
    /// Standard deviation of repeated readings.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub repeatability: Option<Stated>,
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
