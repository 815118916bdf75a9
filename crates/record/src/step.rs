//! Acts of opening.

use crate::{Evidence, Moment, Note};
use quantity::Stated;
use serde::{Deserialize, Serialize};

/// `[[steps]]`
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Step {
    /// Id.
    pub id: String,
    /// What was done.
    pub action: Action,
    /// In words.
    pub text: String,
    /// Item worked on.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub on: Option<String>,
    /// Tool ("opening pick", "hot plate", "PH00 driver"); none means by hand.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tool: Option<String>,
    /// Temperature.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub temperature: Option<Stated>,
    /// Duration.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub duration: Option<Stated>,
    /// When it was begun.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub started: Option<Moment>,
    /// When it was finished.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stopped: Option<Moment>,
    /// Fasteners undone (item ids).
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub fasteners: Vec<String>,
    /// How many fasteners.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fastener_count: Option<u32>,
    /// Steps that must come first; the step before it if not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub after: Option<Vec<String>>,
    /// Items freed.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub frees: Vec<String>,
    /// Items or evidence destroyed (item ids).
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub destroys: Vec<String>,
    /// Whether it can be undone.
    pub undo: Undo,
    /// Hazards.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub hazards: Vec<Hazard>,
    /// Whether the step has been done yet (false: planned).
    #[serde(default = "yes", skip_serializing_if = "Clone::clone")]
    pub done: bool,
    /// Where it is seen.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub evidence: Vec<Evidence>,
    /// Free notes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<Note>,
}

fn yes() -> bool {
    true
}

/// What is done in a step.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs, reason = "the words are the trade's own")]
pub enum Action {
    Heat,
    Pry,
    Unclip,
    Unscrew,
    Peel,
    Unplug,
    Unsolder,
    Cut,
    Lift,
    Pull,
    Dissolve,
    Weigh,
    Other,
    Unknown,
}

/// Whether a step can be undone.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Undo {
    /// Goes back together as it was.
    Yes,
    /// Goes back with a new consumable (glue, tape, seal).
    WithNewMaterial,
    /// Cannot be undone.
    No,
    /// Not known.
    Unknown,
}

/// Hazards of a step.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs, reason = "the words are the trade's own")]
pub enum Hazard {
    LithiumCell,
    Heat,
    Blade,
    ChargedCapacitor,
    Mains,
    Laser,
    GlassSplinters,
    Solvent,
    Unknown,
}
