//! Usual specific energy and energy density by form.
//!
//! Band edges: usual practice, from memory, for telling odd from usual only. Points inside them come from
//! data sheets (see the checks in `docs/methods/cell.md`).

use crate::assumed;

/// What is usual for one sort of cell.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Band {
    /// The sort of cell.
    pub name: &'static str,
    /// Usual specific energy, Wh/kg.
    pub specific: (f64, f64),
    /// Usual energy density, Wh/L.
    pub density: (f64, f64),
}

const PHOSPHATE: Band = Band {
    name: "lithium iron phosphate, any form",
    specific: assumed::PHOSPHATE_SPECIFIC.bounds(),
    density: assumed::PHOSPHATE_DENSITY.bounds(),
};
const POUCH: Band = Band {
    name: "pouch, 3 Wh and more",
    specific: assumed::POUCH_SPECIFIC.bounds(),
    density: assumed::POUCH_DENSITY.bounds(),
};
const SMALL_POUCH: Band = Band {
    name: "pouch below 0.5 Wh with protection board",
    specific: assumed::SMALL_POUCH_SPECIFIC.bounds(),
    density: assumed::SMALL_POUCH_DENSITY.bounds(),
};
/// Between the two pouch bands there is no usual edge, so the band spans both.
const MIDDLE_POUCH: Band = Band {
    name: "pouch between 0.5 Wh and 3 Wh (both pouch bands together)",
    specific: (SMALL_POUCH.specific.0, POUCH.specific.1),
    density: (SMALL_POUCH.density.0, POUCH.density.1),
};
const CYLINDRICAL: Band = Band {
    name: "cylindrical lithium-ion",
    specific: assumed::CYLINDRICAL_SPECIFIC.bounds(),
    density: assumed::CYLINDRICAL_DENSITY.bounds(),
};
const BUTTON: Band = Band {
    name: "rechargeable lithium-ion button or coin",
    specific: assumed::BUTTON_SPECIFIC.bounds(),
    density: assumed::BUTTON_DENSITY.bounds(),
};

/// Returns whether a chemistry as written is lithium iron phosphate.
pub fn is_phosphate(chemistry: &str) -> bool {
    let plain: String = chemistry
        .to_lowercase()
        .chars()
        .filter(|c| c.is_alphanumeric())
        .collect();
    plain.contains("fepo4") || plain.contains("lfp") || plain.contains("ironphosphate")
}

/// Returns the band for a form, chemistry and energy; `None` where none is known.
pub fn band(form: &str, chemistry: &str, energy_wh: f64) -> Option<Band> {
    let other = ["ni", "alkaline", "zinc", "silver", "lead", "metal"];
    let plain = chemistry.to_lowercase();
    if is_phosphate(chemistry) {
        return Some(PHOSPHATE);
    }
    if other.iter().any(|o| plain.starts_with(o)) {
        return None;
    }
    match form {
        "pouch" if energy_wh >= assumed::POUCH_LEAST.number() => Some(POUCH),
        "pouch" if energy_wh < assumed::SMALL_POUCH_MOST.number() => Some(SMALL_POUCH),
        "pouch" => Some(MIDDLE_POUCH),
        "cylindrical" => Some(CYLINDRICAL),
        "button" | "coin" => Some(BUTTON),
        _ => None,
    }
}

/// Where a figure lies against a band.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    /// Inside, its expanded uncertainty (k = 2) included.
    Inside,
    /// On an edge within its expanded uncertainty.
    Edge,
    /// Below by more than that.
    Below,
    /// Above by more than that.
    Above,
}

/// Places a value with its standard uncertainty against a band.
pub fn place(value: f64, uncertainty: f64, band: (f64, f64)) -> Place {
    let reach = 2.0 * uncertainty.abs();
    if value + reach < band.0 {
        Place::Below
    } else if value - reach > band.1 {
        Place::Above
    } else if value - reach >= band.0 && value + reach <= band.1 {
        Place::Inside
    } else {
        Place::Edge
    }
}
