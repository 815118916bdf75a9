//! Numbers and units as text: SI Brochure spacing and symbols, digits from the uncertainty.

use crate::Unit;

/// Writes `value unit` with as many digits as the value carries (at most 12 significant).
/// SI Brochure 5.4.3: a space before the symbol (also for `%` and `°C`), no plural.
pub fn format_quantity(_value: f64, _unit: &Unit) -> String {
    unimplemented!()
}

/// Writes `4.62 Wh ± 0.07 Wh`: the uncertainty with two significant digits, the value to the same
/// place (GUM 7.2.6). A zero or non-finite uncertainty writes the value alone.
pub fn format_measured(_value: f64, _standard_uncertainty: f64, _unit: &Unit) -> String {
    unimplemented!()
}
