//! How power and signals run.

use crate::{Evidence, Note, Protection};
use quantity::{Origin, Rating, Stated};
use serde::{Deserialize, Serialize};

/// `[[links]]`: power or signal from one item to another (power: in the direction it flows).
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Link {
    /// From this item.
    pub from: String,
    /// To this item.
    pub to: String,
    /// What runs here.
    pub kind: LinkKind,
    /// Net or rail name.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub net: Option<String>,
    /// Voltage on the link, where known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub voltage: Option<Stated>,
    /// Current limit of the link (fuse, connector), where known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub current_limit: Option<Stated>,
    /// Protections that were looked for along it and not seen.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub not_seen: Vec<Protection>,
    /// Where it is seen.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub evidence: Vec<Evidence>,
    /// Free notes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<Note>,
}

/// What runs on a link.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum LinkKind {
    /// Power.
    Power,
    /// Signal.
    Signal,
    /// Not known.
    Unknown,
}

/// `[items.contact]`: something that faces the outside world.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Contact {
    /// What it is.
    pub kind: ContactKind,
    /// Rating printed for it (`5 V ⎓ 2 A`).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rating: Option<Rating>,
    /// Contacts (item ids) that it shares a limit with.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub shares_with: Vec<String>,
    /// Power that they give or take together at most.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub shared_limit: Option<Stated>,
}

/// Kinds of contact with the outside world.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs, reason = "the words are the trade's own")]
pub enum ContactKind {
    Socket,
    Contacts,
    Coil,
    Antenna,
    Button,
    PortHole,
    Unknown,
}

/// `[items.converts]`: how a part turns its input power into its output power.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Conversion {
    /// The principle.
    pub kind: ConversionKind,
    /// Output voltage of a regulator; a charger follows its cell.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub output_voltage: Option<Stated>,
    /// Efficiency of a switched or inductive converter (`88 %`).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub efficiency: Option<Stated>,
    /// Limit of the output (charge) current.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub output_current_limit: Option<Stated>,
    /// Limit of the input current.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub input_current_limit: Option<Stated>,
    /// Limit of the output power (inductive receivers).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub output_power_limit: Option<Stated>,
    /// Current it draws while idle.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub quiescent_current: Option<Stated>,
    /// Where the figures are from (data sheet by default).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub origin: Option<Origin>,
}

/// Principles of conversion.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ConversionKind {
    /// Passes current: output current = input current.
    LinearCharger,
    /// Passes energy × efficiency, charging a cell.
    SwitchedCharger,
    /// Linear regulator.
    LinearRegulator,
    /// Step-up or step-down converter.
    SwitchedRegulator,
    /// Wireless receiver.
    InductiveReceiver,
    /// Switch or protector: passes voltage and current.
    Switch,
    /// Not known.
    Unknown,
}

/// `[[items.loads]]`
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Load {
    /// Mode of use.
    pub mode: String,
    /// Current drawn from the cell or rail in that mode.
    pub current: Stated,
    /// Share of the time in that mode during which it is drawn.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub duty: Option<Stated>,
    /// Where it is from.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub origin: Option<Origin>,
    /// Instrument it was measured with.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub instrument: Option<String>,
    /// Where it is seen.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub evidence: Vec<Evidence>,
}

/// `[[modes]]`: a mode of use and what is known of the currents in it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Mode {
    /// Name, as loads and readings use it.
    pub name: String,
    /// Whether the recorded currents are all that flows in it; unknown if none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub complete: Option<bool>,
    /// Share of the time of ordinary use.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub share: Option<Stated>,
    /// Where it is seen.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub evidence: Vec<Evidence>,
    /// Free notes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<Note>,
}
