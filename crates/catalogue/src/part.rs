//! One known part, and many of them.

use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// A part somebody knows. Only `name` is always there; empty texts and lists mean "not known".
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", default)]
pub struct Part {
    /// Part number as its maker writes it.
    pub name: String,
    /// Its maker.
    pub maker: String,
    /// Other numbers of the same part.
    pub aliases: Vec<String>,
    /// Top-marking codes: what is printed on packages too small for the part number.
    pub codes: Vec<String>,
    /// Package outlines it comes in ("QFN-16", "SOT-23-5").
    pub packages: Vec<String>,
    /// Number of pins, an exposed pad not counted.
    pub pins: Option<u32>,
    /// Length and width of the body, mm, the longer first.
    pub body_mm: Option<[f64; 2]>,
    /// Pitch of the pins, mm.
    pub pitch_mm: Option<f64>,
    /// What it does ("charger", "motion sensor").
    pub role: String,
    /// Names of the pins that take power in.
    pub power_pins: Vec<String>,
    /// Ratings by name, as text with unit ("6 V"); names as in the dossier.
    pub ratings: BTreeMap<String, String>,
    /// Where the ratings are from ("data-sheet", "label", "measured", "estimated").
    pub ratings_origin: String,
    /// One line on what it is.
    pub description: String,
    /// Words to find it by.
    pub keywords: Vec<String>,
    /// Address of its data sheet.
    pub data_sheet: String,
    /// Where this entry is known from (file and library, dossier and item).
    pub known_from: String,
}

/// Many known parts, in the order they were added; names are unique with their maker.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Catalogue {
    parts: Vec<Part>,
}

impl Catalogue {
    /// Returns the parts in order.
    pub fn parts(&self) -> &[Part] {
        &self.parts
    }
}
