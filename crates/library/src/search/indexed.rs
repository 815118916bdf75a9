//! What is indexed of one revision of a dossier, as plain data.
//!
//! In: texts and figures of whoever read and examined the dossier. Out: [`Indexed`].
//! Not here: reading and examining (`app`).

use super::Compared;
use record::{Certainty, Place};
use serde::{Deserialize, Serialize};

/// What can be found of one revision of a dossier.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Indexed {
    /// Number of the revision.
    pub revision: u64,
    /// Name of the product.
    pub product: String,
    /// Its maker.
    pub maker: String,
    /// Its model code; empty if not known.
    pub model: String,
    /// What it is, in words; empty if not known.
    pub category: String,
    /// Claims, steps, items and whatever else can be found, in the order of the record.
    pub things: Vec<Thing>,
    /// How many claims came out how.
    pub verdicts: Verdicts,
    /// Figures of the findings.
    pub figures: Vec<FigureRange>,
    /// Names of known parts that the findings rest on besides those of the items: candidates for markings.
    pub rests: Vec<String>,
    /// What the product is compared by.
    #[serde(default)]
    pub compared: Compared,
}

/// One thing that can be found.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Thing {
    /// What sort of thing.
    pub kind: ThingKind,
    /// Its id in the dossier.
    pub id: String,
    /// Its text: the sentence of a claim, the name of an item.
    pub text: String,
    /// Its place in the record.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub place: Option<Place>,
    /// Of an item: which part it is.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub part: Option<Part>,
}

/// Sorts of things that can be found.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ThingKind {
    /// A sentence that the maker prints.
    Claim,
    /// The text of a label.
    Label,
    /// An act of opening.
    Step,
    /// A physical thing.
    Item,
    /// A measured value.
    Reading,
    /// A photograph.
    Photograph,
}

/// What is known of a part. Texts are empty where nothing is known.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Part {
    /// The part number it is decided to be.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub name: String,
    /// Lines of its marking, as the record writes them.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub marking: Vec<String>,
    /// Who makes it.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub maker: String,
    /// What it does.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub role: String,
    /// Its package.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub package: String,
    /// How sure its name is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub certainty: Option<Certainty>,
}

/// How many claims came out how.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Verdicts {
    /// Hold.
    pub holds: u32,
    /// Fail.
    pub fails: u32,
    /// Are undecided.
    pub undecided: u32,
    /// Need evidence.
    pub needs_evidence: u32,
}

/// A figure of a finding, by its kind, in the coherent SI unit.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FigureRange {
    /// Which quantity it is (`run-time`).
    pub kind: String,
    /// Its dimension in a word (`time`).
    pub dimension: String,
    /// Least value.
    pub low: f64,
    /// Greatest value.
    pub high: f64,
}

impl FigureRange {
    /// Makes a range of two ends; an end that is no number, or endless, is the last number there is.
    pub fn of(kind: &str, dimension: &str, low: f64, high: f64) -> Self {
        let end = |value: f64, endless: f64| match value.is_nan() {
            true => endless,
            false => value.clamp(f64::MIN, f64::MAX),
        };
        Self {
            kind: kind.to_string(),
            dimension: dimension.to_string(),
            low: end(low, f64::MIN),
            high: end(high, f64::MAX),
        }
    }
}
