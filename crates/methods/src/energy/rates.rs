//! How fast cells of a chemistry and size are charged, how fast they empty themselves, what age and cold leave of them.
//!
//! In: a cell. Out: rows of the table of figures taken for granted.
//! Not here: what its own label or charger says.

use crate::assumed::{self, Row};
use record::Item;

/// Chemistries whose rates differ.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Family {
    Lithium,
    Phosphate,
    Sodium,
    MetalHydride,
    Cadmium,
    Lead,
    Primary,
}

/// Words of a chemistry; the first that fits counts.
const WORDS: [(&[&str], Family); 6] = [
    (
        &[
            "alkaline",
            "thionyl",
            "socl2",
            "primary",
            "zinc",
            "mno2",
            "manganese dioxide",
            "fes2",
            "silver",
        ],
        Family::Primary,
    ),
    (
        &["fepo4", "lfp", "phosphate", "titanate", "lto"],
        Family::Phosphate,
    ),
    (&["sodium", "na ion", "na-ion"], Family::Sodium),
    (&["nicd", "ni-cd", "cadmium"], Family::Cadmium),
    (&["nimh", "ni-mh", "hydride"], Family::MetalHydride),
    (&["lead", "agm", "pb"], Family::Lead),
];

/// Returns the family of a cell; lithium-ion where nothing else is said.
fn family(cell: &Item) -> Family {
    let facts = cell.cell.as_ref();
    let said = facts.and_then(|c| c.chemistry.as_deref());
    let said = said.unwrap_or_default().to_lowercase();
    if facts.and_then(|c| c.rechargeable) == Some(false) {
        return Family::Primary;
    }
    let mut known = WORDS.iter();
    let found = known.find(|(words, _)| words.iter().any(|w| said.contains(w)));
    found.map_or(Family::Lithium, |(_, family)| *family)
}

/// Returns the band of charge rates of a cell of some Ah, as multiples of its capacity per hour; none for a
/// cell that is not charged.
pub(super) fn charge_rate(cell: &Item, ampere_hours: f64) -> Option<&'static Row> {
    Some(match family(cell) {
        Family::Primary => return None,
        Family::Lithium if ampere_hours < assumed::SMALL_CHARGE.number() => {
            &assumed::CHARGE_RATE_SMALL
        }
        Family::Lithium => &assumed::CHARGE_RATE_LARGE,
        Family::Phosphate => &assumed::CHARGE_RATE_PHOSPHATE,
        Family::Sodium => &assumed::CHARGE_RATE_SODIUM,
        Family::MetalHydride | Family::Cadmium => &assumed::CHARGE_RATE_NICKEL,
        Family::Lead => &assumed::CHARGE_RATE_LEAD,
    })
}

/// Returns how much of its capacity a cell loses by itself in a month.
pub(super) fn self_discharge(cell: &Item) -> &'static Row {
    match family(cell) {
        Family::Lithium | Family::Phosphate | Family::Sodium => &assumed::SELF_DISCHARGE_LITHIUM,
        Family::MetalHydride => &assumed::SELF_DISCHARGE_NICKEL,
        Family::Cadmium => &assumed::SELF_DISCHARGE_CADMIUM,
        Family::Lead => &assumed::SELF_DISCHARGE_LEAD,
        Family::Primary => &assumed::SELF_DISCHARGE_PRIMARY,
    }
}

/// Returns what is left of the capacity of a cell after many charges; none for chemistries without a figure.
pub(crate) fn aged(cell: &Item) -> Option<&'static Row> {
    (family(cell) == Family::Lithium).then_some(&assumed::AGED_LITHIUM)
}

/// Returns what a cell gives in the cold of its capacity; none for chemistries without a figure.
pub(crate) fn cold(cell: &Item) -> Option<&'static Row> {
    (family(cell) == Family::Lithium).then_some(&assumed::COLD_LITHIUM)
}
