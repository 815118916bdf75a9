//! Sound recordings, and what was heard in them.

use crate::{Evidence, Moment, Note};
use quantity::Stated;
use serde::{Deserialize, Serialize};

/// `[[recordings]]`: one channel of a sound recording. What was heard in it is recorded; what follows is worked out.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Recording {
    /// Id.
    pub id: String,
    /// File name inside `recordings/`.
    pub file: String,
    /// What was recorded.
    pub what: RecordingKind,
    /// Channel of the file, from 1; the first if not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub channel: Option<u32>,
    /// Whether the product was switched on.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub switched: Option<Switched>,
    /// Number of the seating: how often the product was put in place anew.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub seating: Option<u32>,
    /// The item recorded; the product if not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub item: Option<String>,
    /// Level of a calibrator.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub level: Option<Stated>,
    /// Frequency of a calibrator, hertz; 1000 if not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub frequency: Option<f64>,
    /// Level of a sine that fills the scale, where that is stated for the recorder.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub full_scale: Option<Stated>,
    /// The recording of the calibrator that it belongs to.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub calibrator: Option<String>,
    /// Of an event that the product passes on: the recording of the source.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub source: Option<String>,
    /// Of an event: how much farther its sound travelled to the microphone than that of its source.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub farther: Option<Stated>,
    /// Of an event that a film shows: the frame in which it is first seen, from 0.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub frame: Option<u32>,
    /// Frames of that film in a second.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub frame_rate: Option<f64>,
    /// The recorder or microphone.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub instrument: Option<String>,
    /// When it was begun.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub started: Option<Moment>,
    /// What was heard in it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub heard: Option<Heard>,
    /// Where it is seen.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub evidence: Vec<Evidence>,
    /// Free notes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<Note>,
}

/// What was recorded.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum RecordingKind {
    /// The noise without the product in its way.
    Outside,
    /// The noise behind the product.
    Inside,
    /// What the microphone hears in quiet.
    Quiet,
    /// A calibrator.
    Calibrator,
    /// An event, to tell a delay by.
    Event,
    /// Not noted what it is; it is kept and not used.
    Unknown,
}

/// Whether a product was switched on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Switched {
    /// Switched on, its reduction working.
    On,
    /// Switched off.
    Off,
    /// Not noted.
    Unknown,
}

/// What was heard in a recording. Levels are in decibels, a root mean square of full scale being 0.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Heard {
    /// Length, seconds.
    pub seconds: f64,
    /// Samples in a second.
    pub rate: u32,
    /// Level in each third octave from 50 Hz on.
    pub levels: Vec<f64>,
    /// Places where it was cut off at full scale.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub clipped: Option<u32>,
    /// Places where samples are missing.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub dropouts: Option<u32>,
    /// Sound pressure level that 0 stands for, by this calibrator.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub full_scale: Option<f64>,
    /// How much later it is than its source, or than the picture, seconds.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub delay: Option<f64>,
    /// Standard uncertainty of that, seconds.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub within: Option<f64>,
    /// How much faster the clock of this recorder runs than that of the source, parts per million.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub clock: Option<f64>,
    /// The correlation around its peak: lag in seconds, coefficient.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub peak: Vec<[f64; 2]>,
    /// What is wrong with it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub notes: Vec<String>,
}
