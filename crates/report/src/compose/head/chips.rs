//! The chips in brief, in the order of a reader's interest.
//!
//! In: parts lists, squares around regions. Out: [`Chip`]s. Not here: how sure an identity is.

use super::super::{Page, details};
use crate::{Chip, Picture, anchor};
use methods::{Cell, Detail, PartRow};
use record::{ItemKind, Place};

/// Words of roles, the most interesting first; parts whose role has none of them are no chips to a reader.
const INTEREST: [&[&str]; 9] = [
    &["processor", "controller of", "microcontroller"],
    &["radio", "transceiver", "modem"],
    &[
        "sensor",
        "touch",
        "microphone",
        "driver of",
        "amplifier",
        "codec",
    ],
    &["memory", "flash"],
    &["charger"],
    &["converter", "regulator"],
    &["receiver"],
    &["protector", "over-voltage", "switch"],
    &["clamp"],
];
/// Words of roles of parts that only serve a chip.
const SERVES: [&str; 3] = ["inductor", "crystal", "resistor"];

/// Returns the chips; within a class in the order of the parts list.
pub(super) fn chips(page: &Page<'_>) -> Vec<Chip> {
    let rows = page.details().filter_map(|detail| match detail {
        Detail::Parts { rows } => Some(rows),
        _ => None,
    });
    let parts = rows.flatten().filter(|row| row.kind == ItemKind::Part);
    let mut ranked: Vec<(usize, Chip)> = parts
        .filter_map(|row| Some((rank(row)?, chip(page, row))))
        .collect();
    ranked.sort_by_key(|(rank, _)| *rank);
    ranked.into_iter().map(|(_, chip)| chip).collect()
}

fn rank(row: &PartRow) -> Option<usize> {
    if row.identity.is_empty() && row.marking.is_empty() {
        return None;
    }
    let role = row.role.to_lowercase();
    if SERVES.iter().any(|word| role.contains(word)) {
        return None;
    }
    INTEREST
        .iter()
        .position(|words| words.iter().any(|word| role.contains(word)))
}

fn chip(page: &Page<'_>, row: &PartRow) -> Chip {
    let sure = match details::certainty(row) {
        Cell::Words { words } => words,
        _ => String::new(),
    };
    Chip {
        part: if row.identity.is_empty() {
            format!("“{}”", row.marking)
        } else {
            row.identity.clone()
        },
        maker: row.maker.clone(),
        role: row.role.clone(),
        sure,
        marking: row.marking.clone(),
        on: row.on.clone(),
        crop: crop(page, row),
        anchor: anchor("item", &row.item),
    }
}

/// Returns the square around the region that the part's own evidence names, else around any region that shows it.
fn crop(page: &Page<'_>, row: &PartRow) -> Option<Picture> {
    let named = row
        .evidence
        .iter()
        .find_map(|place| page.photographs.crop(place));
    let shown = || {
        let regions = page
            .dossier
            .photos
            .iter()
            .flat_map(|photo| photo.regions.iter().map(move |r| (photo, r)));
        let mut own =
            regions.filter(|(_, region)| region.item.as_deref() == Some(row.item.as_str()));
        own.find_map(|(photo, region)| page.photographs.crop(&Place::region(&photo.id, &region.id)))
    };
    named.or_else(shown).cloned()
}
