//! Physical things in the product.

use crate::{Contact, Conversion, Count, Evidence, Load, Note, SpareClass};
use quantity::{Origin, Stated};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// `[[items]]`: one physical thing, or `count` equal ones. Items form a tree by `parent`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Item {
    /// Id.
    pub id: String,
    /// Name for readers.
    pub name: String,
    /// What sort of thing.
    pub kind: ItemKind,
    /// The item it is in or on; the root has none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub parent: Option<String>,
    /// How many equal ones; masses are per piece.
    #[serde(default, skip_serializing_if = "Count::is_not_stated")]
    pub count: Count,
    /// What it does here ("charger", "processor", "motion sensor").
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub role: Option<String>,
    /// How the role is known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub role_origin: Option<RoleOrigin>,
    /// Reference printed beside it on the board ("U5").
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub designator: Option<String>,
    /// Class of spare part ("battery", "port", "display", "shell"), if it is one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub spare: Option<String>,
    /// Which of the parts that regulations list it is, where the class does not say so.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub spare_class: Option<SpareClass>,
    /// Material.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub material: Option<String>,
    /// Copper layers of a board.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub layers: Option<u32>,
    /// Sizes by name (`length`, `width`, `height`, `thickness`, `diameter`).
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub size: BTreeMap<String, Stated>,
    /// For electronic parts.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub part: Option<PartFacts>,
    /// For cells.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cell: Option<CellFacts>,
    /// For fasteners and adhesives.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fastener: Option<Fastener>,
    /// What faces the outside world here.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub contact: Option<Contact>,
    /// Conversion this part performs between its power links.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub converts: Option<Conversion>,
    /// Currents this item draws by mode of use.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub loads: Vec<Load>,
    /// Functions, interfaces and radio standards this item gives the product.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub provides: Vec<String>,
    /// How that is known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub provides_origin: Option<ProvidesOrigin>,
    /// What it does against hazards: all of it, unless `unknown` is among them.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub protects: Vec<Protection>,
    /// How that is known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub protects_origin: Option<ProvidesOrigin>,
    /// Cells and contacts whose return current runs through it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub in_return_of: Vec<String>,
    /// Where it is seen.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub evidence: Vec<Evidence>,
    /// Free notes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<Note>,
}

/// Sorts of items.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs, reason = "the words are the trade's own")]
pub enum ItemKind {
    Product,
    Assembly,
    Board,
    Flex,
    Connector,
    Part,
    Cell,
    Coil,
    Antenna,
    Transducer,
    Sensor,
    Fastener,
    Adhesive,
    Shell,
    Cable,
    Other,
    Unknown,
}

/// How the role of an item is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum RoleOrigin {
    /// Seen on the thing itself: its place, traces, print, behaviour.
    Seen,
    /// Looked up for the part number it is decided to be; no clue for its marking, since the
    /// identity would then prove itself.
    Catalogue,
    /// Judged by the analyst.
    Analyst,
    /// Not known.
    Unknown,
}

/// What an item does against hazards.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Protection {
    /// Switches off above a voltage.
    OverVoltage,
    /// Clamps a voltage.
    Clamp,
    /// Takes electrostatic discharges.
    Discharge,
    /// Melts.
    Fuse,
    /// Trips by heat and comes back.
    ResettableFuse,
    /// Limits or switches off a current.
    OverCurrent,
    /// Switches off a short circuit.
    ShortCircuit,
    /// Lets no current flow backwards.
    ReverseCurrent,
    /// Stands a supply connected the wrong way round.
    ReversePolarity,
    /// Holds a cell at its limit voltage.
    ChargeVoltage,
    /// Ends a charge above a limit.
    OverCharge,
    /// Ends a discharge below a limit.
    OverDischarge,
    /// Ends a charge or discharge outside a range of temperature.
    OverTemperature,
    /// It or its data were looked at: nothing of these.
    None,
    /// Whether it does more is not known.
    Unknown,
}

/// How it is known what an item provides, or what it protects against.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ProvidesOrigin {
    /// Seen on the thing itself.
    Seen,
    /// Tested here.
    Measured,
    /// From the data sheet of the part.
    DataSheet,
    /// From what the maker of the product prints.
    Maker,
    /// Not known.
    Unknown,
}

/// `[items.part]`
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct PartFacts {
    /// Marking lines as seen: `?` unreadable character, `[8B]` one of several.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub marking: Vec<String>,
    /// Package ("QFN-16", "SOT-23-5").
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub package: Option<String>,
    /// Number of pins.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pins: Option<u32>,
    /// What the analyst decides it is.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub identity: Option<Identity>,
    /// Ratings by name: `charge-current-limit`, `input-absolute-maximum`,
    /// `over-voltage-threshold`, `stand-off-voltage`, `clamping-voltage`, `efficiency`,
    /// `quiescent-current`, `memory-size`, `input-current-limit`, `output-current-limit`.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub ratings: BTreeMap<String, Stated>,
    /// Where the ratings are from.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ratings_origin: Option<Origin>,
}

/// What an item is decided to be.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Identity {
    /// Part number.
    pub name: String,
    /// Its maker.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub maker: Option<String>,
    /// How sure.
    pub certainty: Certainty,
    /// Why.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub because: Option<String>,
    /// Where it is seen.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub evidence: Vec<Evidence>,
}

/// How an identity is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Certainty {
    /// How it is known was not noted.
    Unknown,
    /// Guessed from role or habit.
    Assumed,
    /// Concluded from package, neighbours, traces.
    Inferred,
    /// Read from the marking.
    Read,
}

/// `[items.cell]`
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct CellFacts {
    /// Rated capacity (`620 mAh`).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub capacity: Option<Stated>,
    /// Energy printed on it (`2.29 Wh`).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub energy: Option<Stated>,
    /// Nominal voltage.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub nominal_voltage: Option<Stated>,
    /// Charge-limit voltage.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub limit_voltage: Option<Stated>,
    /// End-of-discharge voltage.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cutoff_voltage: Option<Stated>,
    /// Largest charge rate allowed, as current.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub charge_current: Option<Stated>,
    /// Form: `pouch`, `button`, `cylindrical`, `prismatic`, `pack`, `unknown`.
    pub form: String,
    /// For a pack: cells in series; its figures are those of the pack.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub series: Option<u32>,
    /// For a pack: cells side by side in each stage.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub parallel: Option<u32>,
    /// Whether it can be charged; from the chemistry if not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rechargeable: Option<bool>,
    /// Lithium in a primary cell.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lithium_content: Option<Stated>,
    /// What it looks like.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub condition: Option<CellCondition>,
    /// Chemistry: `Li-ion`, `LiFePO4`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub chemistry: Option<String>,
    /// Where the figures are from (label by default).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub origin: Option<Origin>,
    /// How it is held ("pull tab", "glued over the whole face", "clip").
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub held: Option<String>,
    /// How it is connected ("connector", "soldered wires", "spring contacts").
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub connected: Option<String>,
}

/// What a cell looks like.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum CellCondition {
    /// No damage seen.
    Sound,
    /// Puffed up.
    Swollen,
    /// Electrolyte outside.
    Leaking,
    /// Dented, pierced, torn or burnt.
    Damaged,
    /// Not looked at.
    Unknown,
}

/// `[items.fastener]`
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Fastener {
    /// `screw`, `clip`, `glue`, `tape`, `press fit`, `solder`.
    pub sort: String,
    /// Drive of a screw ("cross recess PH00", "hexalobular T5").
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub drive: Option<String>,
    /// Whether it can be used again.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reusable: Option<bool>,
}
