//! What follows from geometry that was measured: tracks, coils, antennas, resistors.
//!
//! In: plain numbers in the units that their names say. Out: plain numbers. Not here: uncertainty (the caller's
//! derivation graph), whether a figure is good enough.

mod coil;
mod trace;

pub use coil::{Coil, Shape, resonance_hz, resonant_f};
pub use trace::{Layer, copper_um, trace_current_a, trace_width_mm};

/// Speed of light in metres per second, exact (SI).
const LIGHT_M_S: f64 = 299_792_458.0;

/// Returns a quarter of the wave in millimetres at a frequency, shortened by the effective permittivity around the
/// conductor: one in air; on a board between one and that of the board.
pub fn quarter_wave_mm(hertz: f64, effective_permittivity: f64) -> f64 {
    1e3 * LIGHT_M_S / (4.0 * hertz * effective_permittivity.sqrt())
}

/// Returns the power that a resistance turns into heat, in watts.
pub fn heat_w(amperes: f64, ohms: f64) -> f64 {
    amperes * amperes * ohms
}

/// Returns how much warmer a part gets, in kelvin, from its heat and its thermal resistance.
pub fn warmer_k(watts: f64, kelvin_per_watt: f64) -> f64 {
    watts * kelvin_per_watt
}

/// Returns the share of its rated power that a chip resistor may take at a temperature: all of it to 70 °C, nothing at
/// 155 °C, a straight line between (the usual line of data sheets; from memory).
pub fn resistor_share(celsius: f64) -> f64 {
    ((155.0 - celsius) / 85.0).clamp(0.0, 1.0)
}
