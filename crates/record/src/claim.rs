//! What the maker says.

use crate::count::UNKNOWN;
use crate::{Evidence, Note};
use quantity::{Rating, Stated};
use serde::{Deserialize, Serialize};

/// `[[claims]]`: one sentence the maker prints, verbatim, and what it says.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Claim {
    /// Id.
    pub id: String,
    /// The sentence, verbatim.
    pub text: String,
    /// Where it is printed ("front of box").
    pub printed: String,
    /// What it is about; the whole product if not given.
    #[serde(default, skip_serializing_if = "Subject::is_whole_product")]
    pub says: Subject,
    /// The kind of statement.
    pub kind: ClaimKind,
    /// The figure, sense included (`up to 40 h`); for `input` claims use `rating`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub value: Option<Stated>,
    /// An electrical rating (`9 V ⎓ 2 A`).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rating: Option<Rating>,
    /// The text value: the ingress code, the radio standard, the part, the interface.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub names: Option<String>,
    /// Role of the part it names ("motion sensor").
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub role: Option<String>,
    /// Maker of the part it names.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub maker: Option<String>,
    /// What it is said to be foremost in.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub leads: Option<Lead>,
    /// Among which products it is said to be first or foremost; those of its class if not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub among: Option<Scope>,
    /// Voltage that a capacity is stated for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at_voltage: Option<Stated>,
    /// Set when the figure is our reading of a sentence that does not print it.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub our_reading: bool,
    /// For "N minutes of charging give H hours": the charging time; `value` holds the run time.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub after: Option<Stated>,
    /// Tolerance the reader is granted, editable (`5 %`, `0.5 g`); a default applies otherwise.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tolerance: Option<Stated>,
    /// Where it is seen.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub evidence: Vec<Evidence>,
    /// Free notes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<Note>,
}

/// What a claim is about.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, Default)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Subject {
    /// The item (cell, assembly, contact, shell) it is about; the whole product if none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub item: Option<String>,
    /// Mode of use ("noise reduction on", "low light").
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mode: Option<String>,
    /// Which dimension, for dimension claims.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub dimension: Option<String>,
}

impl Subject {
    /// Returns the name of the dimension for a sentence: `size` where it is not known which.
    pub fn dimension_name(&self) -> &str {
        let named = self.dimension.as_deref();
        named.filter(|d| *d != UNKNOWN).unwrap_or("size")
    }
}

impl Subject {
    /// Returns whether nothing narrows the claim: it is about the product as such.
    pub fn is_whole_product(&self) -> bool {
        *self == Self::default()
    }
}

/// The kinds of statement that methods can settle.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ClaimKind {
    /// Mass of an item.
    Mass,
    /// Capacity of a cell.
    Capacity,
    /// Energy of a cell.
    Energy,
    /// Electrical input rating at a contact.
    Input,
    /// Electrical output rating at a contact.
    Output,
    /// Rating of a cable.
    Cable,
    /// Power taken or given.
    Power,
    /// Light given out.
    LuminousFlux,
    /// Angle of view.
    ViewAngle,
    /// Number of picture elements.
    Resolution,
    /// Radio bands.
    Bands,
    /// Run time in a mode.
    RunTime,
    /// Charging time from empty to full.
    ChargingTime,
    /// Minutes of charging for hours of use (`after`, `value`).
    QuickCharge,
    /// Recharges that a case or cradle gives.
    Recharges,
    /// A dimension of an item (`says.dimension`: length, width, height, diameter, thickness).
    Dimension,
    /// Depth of noise reduction.
    NoiseReduction,
    /// Signal delay.
    Delay,
    /// Ingress protection code.
    Ingress,
    /// Presence of a part.
    Part,
    /// Presence of an interface.
    Interface,
    /// Presence of a radio standard.
    Radio,
    /// Presence of a function.
    Function,
    /// That a part can be replaced, or the product repaired.
    Repair,
    /// Being the first with a part.
    First,
    /// Being foremost in a figure (`leads`).
    Leading,
    /// A statement without figure or fact.
    Slogan,
    /// Not known what it states.
    Unknown,
}

/// What a product is said to be foremost in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Lead {
    /// Least mass.
    Lightest,
    /// Least thickness.
    Thinnest,
    /// Longest run time.
    LongestRunTime,
    /// Greatest capacity.
    LargestCapacity,
    /// Most energy stored.
    MostEnergy,
    /// Shortest charging time.
    ShortestChargingTime,
    /// Most light given out.
    Brightest,
    /// Deepest noise reduction.
    DeepestNoiseReduction,
    /// Shortest delay.
    ShortestDelay,
}

/// Among which products a claim compares.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Scope {
    /// Products of the same category.
    Class,
    /// Products of the same maker.
    Maker,
    /// Everything on sale.
    Market,
}
