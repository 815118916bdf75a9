//! Current and width of tracks: the curve fit of IPC-2221.
//!
//! `I = k ΔT^0.44 A^0.725`, I in amperes, ΔT in kelvin, A in square mils; k 0.048 outside, 0.024 inside (read in four
//! public sources). An older fit under the same name gives 0.249 mm instead of 0.300 mm for 1 A; IPC-2152 stands for
//! new work. Valid for about 0 to 35 A, 10 to 100 K, up to 10 mm of width (from memory).

/// Where a track lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Layer {
    /// On the surface.
    External,
    /// Between layers.
    Internal,
}

const MIL_MM: f64 = 0.0254;
const WARMTH: f64 = 0.44;
const AREA: f64 = 0.725;

fn constant(layer: Layer) -> f64 {
    match layer {
        Layer::External => 0.048,
        Layer::Internal => 0.024,
    }
}

/// Returns the thickness of copper in micrometres by its weight in ounces per square foot, as the fit takes it: 1.378
/// mil an ounce. Pure copper of that weight would be 34.06 µm.
pub fn copper_um(ounces: f64) -> f64 {
    1e3 * 1.378 * MIL_MM * ounces
}

/// Returns the current in amperes that warms a track of some width and thickness by so many kelvin.
pub fn trace_current_a(layer: Layer, width_mm: f64, thickness_um: f64, warmer_k: f64) -> f64 {
    let area = (width_mm / MIL_MM) * (1e-3 * thickness_um / MIL_MM);
    constant(layer) * warmer_k.powf(WARMTH) * area.powf(AREA)
}

/// Returns the width in millimetres that a current needs to warm a track by no more than so many kelvin.
pub fn trace_width_mm(layer: Layer, amperes: f64, thickness_um: f64, warmer_k: f64) -> f64 {
    let area = (amperes / (constant(layer) * warmer_k.powf(WARMTH))).powf(1.0 / AREA);
    area * MIL_MM / (1e-3 * thickness_um / MIL_MM)
}
