//! Which items are cells, how they are to be handled, what mass and size allow them to hold.
//!
//! In: an item, a case. Out: what it is. Not here: chemistries (`chemistry`), cautions at single steps
//! (`opening`).

pub mod care;
pub mod reach;
pub(crate) mod volume;

pub use care::{Danger, Dangers};

use crate::Case;
use crate::chemistry::{self, Family};
use quantity::Sheet;
use record::{Item, ItemKind};

/// Said wherever a rechargeable lithium cell is handled.
pub const LITHIUM: &str = "Lithium cells burn when punctured, bent, crushed, short-circuited or \
    overheated: work with the cell discharged as far as the product allows, without metal tools against \
    it, with a fire-proof container and ventilation at hand; never go on with a swollen, leaking or warm \
    cell. Local rules and the cell maker's safety sheet come first; leave it to licensed practice where \
    they ask for it.";

/// Returns whether a cell may burn, and is to be handled so: lithium, sodium ion, and all of which nothing
/// better is known.
pub fn may_burn(item: &Item) -> bool {
    let family = || chemistry::taken(item).chemistry.family();
    item.kind == ItemKind::Cell && (family().may_hold_lithium() || family() == Family::SodiumIon)
}

/// Returns what a cell that may burn is called: `lithium cell`.
pub fn called(item: &Item) -> &'static str {
    match chemistry::taken(item).chemistry.family() {
        Family::SodiumIon => "sodium-ion cell",
        Family::Unknown => "cell of unknown chemistry",
        _ => "lithium cell",
    }
}

/// Returns whether an item stores energy.
pub fn is_cell(item: &Item) -> bool {
    item.cell.is_some() || item.kind == ItemKind::Cell
}

/// Returns the mass of a cell with its standard uncertainty, both in kilograms; `None` where no weighings
/// that agree tell it.
pub(crate) fn kilograms(case: &Case<'_>, item: &Item) -> Option<(f64, f64)> {
    let (grams, u) = case.masses().of(&item.id)?;
    (grams > 0.0 && case.masses().is_sound(&item.id)).then(|| (grams / 1000.0, u / 1000.0))
}

/// Returns the volume of a cell with its standard uncertainty, both in litres; `None` without its sizes.
pub(crate) fn litres<'d>(case: &Case<'d>, item: &'d Item) -> Option<(f64, f64)> {
    let sheet = Sheet::new();
    let term = volume::volume(&sheet, case.sizes(), item).term?;
    let figure = sheet.figure(term).ok()?;
    // Figures of volumes are in cm³.
    let litres = |cubic_centimetres: f64| cubic_centimetres / 1000.0;
    (figure.value > 0.0).then(|| (litres(figure.value), litres(figure.standard_uncertainty)))
}
