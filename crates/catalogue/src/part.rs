//! One known part.

use crate::TopCode;
use crate::columns::{COLUMNS, Kind};
use crate::table_cell::{self, tidy};
use crate::top_code;
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
    /// Top-marking codes: what is printed on packages too small for the part number, each with its
    /// package where that is known.
    pub codes: Vec<TopCode>,
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
    /// Numbers of parts it was seen with on one board.
    pub seen_with: Vec<String>,
    /// Where this entry is known from (file and library, dossier and item).
    pub known_from: String,
}

impl Part {
    /// Returns the part as a catalogue keeps it: no control characters, single spaces, no empty
    /// or repeated list item, no number that a catalogue would refuse, the longer side first.
    #[must_use]
    pub fn tidied(mut self) -> Self {
        for column in COLUMNS {
            match column.kind {
                Kind::Text(_, edit) => {
                    let text = tidy(edit(&mut self));
                    *edit(&mut self) = text;
                }
                Kind::List(_, edit) => {
                    let mut items: Vec<String> = Vec::new();
                    for item in std::mem::take(edit(&mut self)) {
                        let item = tidy(&item);
                        if !item.is_empty() && !items.contains(&item) {
                            items.push(item);
                        }
                    }
                    *edit(&mut self) = items;
                }
                Kind::Codes(_, edit) => {
                    let codes = std::mem::take(edit(&mut self)).into_iter();
                    let tidied = codes.map(|c| TopCode::on(tidy(&c.text), tidy(&c.package)));
                    top_code::add(edit(&mut self), tidied);
                }
                Kind::Ratings(_, edit) => {
                    let ratings = std::mem::take(edit(&mut self));
                    *edit(&mut self) = ratings
                        .into_iter()
                        .map(|(name, value)| (tidy(&name), tidy(&value)))
                        .filter(|(name, value)| !name.is_empty() && !value.is_empty())
                        .collect();
                }
                Kind::Pins | Kind::Body | Kind::Pitch => {}
            }
        }
        let believed = |mm: f64| mm > 0.0 && mm <= crate::number::LONGEST_MM;
        self.pins = self
            .pins
            .filter(|n| (1..=crate::number::MOST_PINS).contains(n));
        self.pitch_mm = self.pitch_mm.filter(|mm| believed(*mm));
        self.body_mm = self
            .body_mm
            .filter(|[a, b]| believed(*a) && believed(*b))
            .map(|[a, b]| [a.max(b), a.min(b)]);
        self
    }

    /// Returns the part as one row of texts, in the order of [`COLUMNS`].
    pub fn cells(&self) -> Vec<String> {
        COLUMNS
            .iter()
            .map(|column| table_cell::text(column, self))
            .collect()
    }
}
