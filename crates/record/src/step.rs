//! Acts of opening.

use crate::{Environment, Evidence, Moment, Note, Renewal, Skill, ToolClass};
use quantity::Stated;
use serde::{Deserialize, Serialize};
use std::borrow::Cow;

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
    /// Whether another way was looked for and there is none.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub only_way: bool,
    /// What must be new when it goes back.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub renews: Vec<String>,
    /// Whether that can be had.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub renewal: Option<Renewal>,
    /// What kind of tool it is, where its name does not say so.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tool_class: Option<ToolClass>,
    /// Where it can be done.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub environment: Option<Environment>,
    /// Who can do it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub skill: Option<Skill>,
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

impl Step {
    /// Returns whether its clock runs: begun, not finished, and not yet counted as done.
    pub fn is_running(&self) -> bool {
        !self.done && self.started.is_some() && self.stopped.is_none()
    }

    /// Returns whether it is still to be begun.
    pub fn is_planned(&self) -> bool {
        !self.done && self.started.is_none()
    }

    /// Returns how long it took: as stated, otherwise from start to stop, as finely as the clock is noted.
    pub fn took(&self) -> Option<Cow<'_, Stated>> {
        if let Some(duration) = &self.duration {
            return Some(Cow::Borrowed(duration));
        }
        let (started, stopped) = (self.started?, self.stopped?);
        let seconds = stopped.timestamp().as_second() - started.timestamp().as_second();
        let text = match u32::try_from(seconds).ok()? {
            seconds @ 0..=119 => format!("{seconds} s"),
            seconds => format!("{:.1} min", f64::from(seconds) / 60.0),
        };
        Stated::parse(&text).ok().map(Cow::Owned)
    }
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

impl Undo {
    /// Says it of a step.
    pub fn says(self) -> &'static str {
        match self {
            Self::Yes => "goes back as it was",
            Self::WithNewMaterial => "goes back with new material",
            Self::No => "cannot be undone",
            Self::Unknown => "not known whether it goes back",
        }
    }
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

#[cfg(test)]
mod tests {
    #![allow(
        clippy::unwrap_used,
        reason = "a test may stop where its ground is missing"
    )]

    use super::*;
    use serde_json::json;

    fn step(more: &serde_json::Value) -> Step {
        let mut entry = json!({"id": "a", "action": "pry", "text": "A.", "undo": "yes"});
        let more = more.as_object().unwrap().clone();
        entry.as_object_mut().unwrap().extend(more);
        serde_json::from_value(entry).unwrap()
    }

    #[test]
    fn the_clock_tells_how_long_a_step_took_where_nobody_said_it() {
        let times =
            json!({"started": "2026-03-01T14:05:00+01:00", "stopped": "2026-03-01T13:09:12Z"});
        assert_eq!(step(&times).took().unwrap().text, "4.2 min");
        let mut said = times.clone();
        said["duration"] = json!("4 min");
        assert_eq!(step(&said).took().unwrap().text, "4 min");
        let short = json!({"started": "2026-03-01T14:05:00Z", "stopped": "2026-03-01T14:06:30Z"});
        assert_eq!(step(&short).took().unwrap().text, "90 s");
        assert!(
            step(&json!({"started": "2026-03-01T14:05:00Z"}))
                .took()
                .is_none()
        );
        // Clocks that run backwards tell nothing.
        let back = json!({"started": "2026-03-01T14:05:00Z", "stopped": "2026-03-01T14:04:00Z"});
        assert!(step(&back).took().is_none());
    }

    #[test]
    fn a_step_is_planned_then_running_then_done() {
        let planned = step(&json!({"done": false}));
        assert!(planned.is_planned() && !planned.is_running());
        let started = "2026-03-01T14:05:00Z";
        let running = step(&json!({"done": false, "started": started}));
        assert!(running.is_running() && !running.is_planned());
        // Of a step of which only the beginning was noted down, the clock does not run.
        let noted = step(&json!({"started": started}));
        assert!(!noted.is_running() && !noted.is_planned());
    }
}
