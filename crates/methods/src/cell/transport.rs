//! Energy thresholds of the transport rules for lithium-ion cells.
//!
//! In: energy of one cell, whether it is round and flatter than wide. Out: what the thresholds say.
//! Source: 49 CFR 173.185(c)(1)(i) and UN Model Regulations, special provision 188: 20 Wh per cell,
//! 100 Wh per battery; ADR 2.2.9.1.7: UN 3480 alone, UN 3481 with or in equipment; UN Manual of Tests and
//! Criteria 38.3.2.3: button cell round, overall height less than diameter. Rules change each year: the
//! edition in force decides, and a shipper's training.

use crate::assumed;

/// Largest energy of a small cell, Wh.
pub const SMALL_CELL_WH: f64 = assumed::SMALL_CELL.number();
/// Largest energy of a small battery, Wh.
pub const SMALL_BATTERY_WH: f64 = assumed::SMALL_BATTERY.number();
/// A limit of former air packing rules for cells sent alone (table 965-II as in 2016), Wh.
pub const FORMER_AIR_WH: f64 = assumed::FORMER_AIR.number();

/// What a threshold says about an energy known with uncertainty.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// At or below it.
    Within,
    /// Above it.
    Beyond,
    /// Too near to tell (within k = 2).
    Near,
}

/// Compares an energy and its standard uncertainty with a threshold, all in Wh.
pub fn side(energy: f64, uncertainty: f64, threshold: f64) -> Side {
    let reach = 2.0 * uncertainty.abs();
    // Products such as 3.6 V × 2 Ah must not fail by the last bit.
    let rounding = 1e-9 * threshold;
    if energy + reach <= threshold + rounding {
        Side::Within
    } else if energy - reach > threshold + rounding {
        Side::Beyond
    } else {
        Side::Near
    }
}

/// Returns whether a cell is a button cell for transport: round and flatter than wide. Sizes in m.
pub fn is_button(diameter: f64, height: f64) -> bool {
    height < diameter
}

/// Says what the thresholds mean for one cell.
pub fn sentence(energy: f64, uncertainty: f64, button: bool) -> String {
    let mut text = match side(energy, uncertainty, SMALL_CELL_WH) {
        Side::Within => format!(
            "At {energy:.2} Wh it is within the 20 Wh of a small cell in the transport rules (UN 3481 in or \
             with equipment, UN 3480 alone)."
        ),
        Side::Beyond => format!(
            "At {energy:.2} Wh it is beyond the 20 Wh of a small cell in the transport rules: the full \
             dangerous-goods rules apply (UN 3481 in or with equipment, UN 3480 alone)."
        ),
        Side::Near => format!(
            "At {energy:.2} Wh it is too near the 20 Wh of a small cell in the transport rules to say on \
             which side it is."
        ),
    };
    if button {
        text.push_str(" It is a button cell there (round, flatter than wide).");
    }
    text
}
