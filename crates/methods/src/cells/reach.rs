//! How much energy a cell of some mass and size can hold.
//!
//! In: form, chemistry and energy; a value with its uncertainty. Out: what cells on sale reach, and where
//! the value lies. Not here: verdicts (`cell`, `claims`).
//!
//! Only more than others is odd. Less is usual for small, old and high-current cells and says nothing
//! against a label.

use crate::assumed::{self, Row};
use crate::chemistry::{Chemistry, Family};
use crate::{Case, cells};
use record::Item;

/// What cells of one sort reach. The bounds of each row are what is usual at most, and the greatest on
/// sale.
#[derive(Debug, Clone, Copy)]
pub struct Reach {
    /// The sort of cell.
    pub name: &'static str,
    /// Specific energy, Wh/kg.
    pub specific: &'static Row,
    /// Energy density, Wh/L.
    pub density: &'static Row,
}

/// Returns what cells of a form and chemistry reach; `energy_wh` tells small pouch cells. `None` where
/// nothing is known.
pub fn reach(form: &str, chemistry: Chemistry, energy_wh: f64) -> Option<Reach> {
    if let Some((specific, density)) = chemistry.reach() {
        return Some(Reach {
            name: chemistry.words(),
            specific,
            density,
        });
    }
    if chemistry.family() != Family::LithiumIon {
        return None;
    }
    let of = |name, specific, density| {
        Some(Reach {
            name,
            specific,
            density,
        })
    };
    match form {
        "pouch" if energy_wh < assumed::SMALL_POUCH_MOST.number() => of(
            "small lithium-ion pouch",
            &assumed::SMALL_POUCH_SPECIFIC,
            &assumed::SMALL_POUCH_DENSITY,
        ),
        "pouch" => of(
            "lithium-ion pouch",
            &assumed::POUCH_SPECIFIC,
            &assumed::POUCH_DENSITY,
        ),
        "cylindrical" => of(
            "cylindrical lithium-ion",
            &assumed::CYLINDRICAL_SPECIFIC,
            &assumed::CYLINDRICAL_DENSITY,
        ),
        "button" | "coin" => of(
            "lithium-ion button",
            &assumed::BUTTON_SPECIFIC,
            &assumed::BUTTON_DENSITY,
        ),
        "prismatic" => of(
            "prismatic lithium-ion",
            &assumed::PRISMATIC_SPECIFIC,
            &assumed::PRISMATIC_DENSITY,
        ),
        "pack" => of(
            "lithium-ion pack",
            &assumed::PACK_SPECIFIC,
            &assumed::PACK_DENSITY,
        ),
        _ => None,
    }
}

/// How a value compares with the usual one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum BandPosition {
    /// Not more than usual, its expanded uncertainty (k = 2) included.
    Usual,
    /// Usual or more, within its expanded uncertainty.
    Edge,
    /// More than usual.
    Unusual,
    /// More than any cell on sale.
    Beyond,
}

/// Compares a value with its standard uncertainty.
pub fn position(value: f64, uncertainty: f64, row: &Row) -> BandPosition {
    let reach = 2.0 * uncertainty.abs();
    let (usual, greatest) = row.bounds();
    if value - reach > greatest {
        BandPosition::Beyond
    } else if value - reach > usual {
        BandPosition::Unusual
    } else if value + reach > usual {
        BandPosition::Edge
    } else {
        BandPosition::Usual
    }
}

/// What the mass or the size of a cell allows.
#[derive(Debug, Clone)]
pub struct Allowed {
    /// The greatest energy in Wh, the expanded uncertainty (k = 2) of mass or size included.
    pub energy_wh: f64,
    /// `its mass` or `its size`.
    pub by: &'static str,
    /// The sort of cell.
    pub name: &'static str,
    /// The figure behind it; its greater bound counts.
    pub row: &'static Row,
}

impl Allowed {
    /// Returns the greatest charge in mAh at a nominal voltage in V.
    pub fn capacity_mah(&self, volts: f64) -> f64 {
        self.energy_wh / volts * 1000.0
    }

    /// Says it: `its mass allows at most 15.5 Wh (370 Wh/kg, the greatest of cylindrical lithium-ion
    /// cells on sale in 2025)`.
    pub fn words(&self) -> String {
        format!(
            "{} allows at most {} Wh ({} {}, the greatest of {} cells on sale in {})",
            self.by,
            three_digits(self.energy_wh),
            self.row.bounds().1,
            self.row.unit(),
            self.name,
            self.row.year(),
        )
    }
}

/// Writes a number with three significant digits.
pub(crate) fn three_digits(value: f64) -> String {
    let whole = value.abs().log10().floor();
    let places = (2.0 - whole).clamp(0.0, 5.0);
    let scale = 10_f64.powf(2.0 - whole);
    let rounded = if value == 0.0 || !scale.is_finite() {
        value
    } else {
        (value * scale).round() / scale
    };
    format!("{rounded:.*}", places as usize)
}

impl<'d> Case<'d> {
    /// Returns what mass and size of a cell allow, the narrower first; empty where neither or no such
    /// cell is known. A print on the cell counts for form and chemistry only.
    pub fn energy_allowed(&self, item: &'d Item) -> Vec<Allowed> {
        let Some(facts) = &item.cell else {
            return Vec::new();
        };
        let chemistry = crate::chemistry::taken(item).chemistry;
        // What is printed may be false, so the reach of greater cells counts.
        let Some(reach) = reach(&facts.form, chemistry, f64::INFINITY) else {
            return Vec::new();
        };
        let mut found = Vec::new();
        if let Some((kilograms, u)) = cells::kilograms(self, item) {
            found.push(Allowed {
                energy_wh: (kilograms + 2.0 * u) * reach.specific.bounds().1,
                by: "its mass",
                name: reach.name,
                row: reach.specific,
            });
        }
        if let Some((litres, u)) = cells::litres(self, item) {
            found.push(Allowed {
                energy_wh: (litres + 2.0 * u) * reach.density.bounds().1,
                by: "its size",
                name: reach.name,
                row: reach.density,
            });
        }
        found.sort_by(|a, b| a.energy_wh.total_cmp(&b.energy_wh));
        found
    }
}
