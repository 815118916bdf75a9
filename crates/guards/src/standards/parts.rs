//! Rules for protecting parts: suppressors, cell protectors, fuses.

use super::Checked::{Calculated, Memory, Read, ReadIn};
use super::{Row, row};

const SUPPRESSOR: &str = "guides to suppressors quoting IEC 61643-321 and JESD210A";
const PROTECTOR: &str = "tables of the common single-cell protectors";
const GUIDES: &str = "guides of makers of fuses";

/// Suppressors, cell protectors, fuses, blocking elements.
pub const PARTS: &[Row] = &[
    row(
        "stand-off voltage",
        "at least the highest working voltage with its tolerance",
        SUPPRESSOR,
        ReadIn(4),
    ),
    row(
        "clamping voltage",
        "at the expected pulse below what the part behind it stands",
        SUPPRESSOR,
        ReadIn(3),
    ),
    row(
        "breakdown voltage",
        "given at 1 or 10 mA",
        SUPPRESSOR,
        ReadIn(2),
    ),
    row(
        "stand-off",
        "about 10 % under breakdown",
        SUPPRESSOR,
        ReadIn(1),
    ),
    row(
        "drift of breakdown",
        "ΔV = α (T − 25 °C) V(25 °C)",
        "a maker's data sheet",
        Read,
    ),
    row(
        "coefficient α",
        "5e-4 to 1e-3 per K",
        "common practice",
        Memory,
    ),
    row(
        "pulse power with temperature",
        "in a straight line from 25 °C to nothing at 150 °C",
        "common practice",
        Memory,
    ),
    row(
        "pulse power with width",
        "as one over its square root",
        "common practice",
        Memory,
    ),
    row(
        "clamping voltages",
        "compare only at the same pulse",
        "common practice",
        Memory,
    ),
    row(
        "over-charge detection",
        "4.25 V (4.20 to 4.30 V); other families 4.25 to 4.35 V",
        PROTECTOR,
        ReadIn(1),
    ),
    row(
        "over-charge release",
        "4.15 V (4.05 to 4.20 V)",
        PROTECTOR,
        ReadIn(1),
    ),
    row(
        "over-discharge detection",
        "2.40 V (2.30 to 2.50 V)",
        PROTECTOR,
        ReadIn(1),
    ),
    row(
        "over-discharge release",
        "3.00 V (2.90 to 3.10 V)",
        PROTECTOR,
        ReadIn(1),
    ),
    row(
        "over-current across both transistors",
        "150 mV (100 to 200 mV)",
        PROTECTOR,
        ReadIn(1),
    ),
    row(
        "short circuit across both transistors",
        "1.00 V",
        PROTECTOR,
        ReadIn(1),
    ),
    row(
        "delays of protectors",
        "over-charge 0.1 to 1.2 s, over-discharge 20 to 150 ms, over-current 5 to 20 ms, \
         short circuit 5 to 500 µs",
        PROTECTOR,
        Memory,
    ),
    row(
        "programmable monitor: short-circuit delay",
        "0 to 915 µs in steps of 61 µs",
        "data sheet SLUS987C",
        Read,
    ),
    row(
        "programmable monitor: short-circuit threshold",
        "22.2 to 100 mV or 44.4 to 200 mV",
        "data sheet SLUSBS8B",
        Read,
    ),
    row(
        "over-charge protection",
        "opens the charge transistor alone; its body diode still discharges",
        "common practice",
        Memory,
    ),
    row(
        "one-time fuse",
        "loaded with at most 75 % of its rating at 25 °C",
        GUIDES,
        ReadIn(1),
    ),
    row(
        "one-time fuse",
        "rated at 125 % of its load or more",
        GUIDES,
        ReadIn(1),
    ),
    row(
        "resettable fuse",
        "trips at 1.7 to 2 times its hold current, between them nothing is promised",
        GUIDES,
        ReadIn(1),
    ),
    row(
        "resettable fuse",
        "comes back only when power is removed, with more resistance",
        GUIDES,
        Memory,
    ),
    row(
        "reverse polarity",
        "series diode or P-channel transistor",
        GUIDES,
        ReadIn(1),
    ),
    row(
        "one transistor blocks one way, two back to back both",
        "body diode",
        "common practice",
        Memory,
    ),
    row(
        "trip current of 150 mV across 2 × 25 mΩ",
        "3 A",
        PROTECTOR,
        Calculated,
    ),
];

/// Returns the breakdown voltage at a temperature, from that at 25 °C and the coefficient per kelvin.
pub fn breakdown_v(at_25_v: f64, per_kelvin: f64, celsius: f64) -> f64 {
    at_25_v * (1.0 + per_kelvin * (celsius - 25.0))
}

/// Returns the share of the pulse power that is left at a temperature, from memory of the usual line.
pub fn pulse_power_share(celsius: f64) -> f64 {
    ((150.0 - celsius) / 125.0).clamp(0.0, 1.0)
}

/// Returns the factor of the pulse power between pulses of two widths, from memory of the usual law.
pub fn pulse_power_factor(from_s: f64, to_s: f64) -> f64 {
    (from_s / to_s).sqrt()
}

/// Returns the clamping voltage at a current from two printed points. Beyond them it is a lower bound only.
pub fn straight_clamp_v(one: [f64; 2], two: [f64; 2], amperes: f64) -> f64 {
    let [(a, v), (b, w)] = [one, two].map(|[volts, amps]| (amps, volts));
    v + (w - v) / (b - a) * (amperes - a)
}

/// Returns the current at which a protector opens: its threshold across two transistors in series.
pub fn trip_a(threshold_v: f64, one_transistor_ohm: f64) -> f64 {
    threshold_v / (2.0 * one_transistor_ohm)
}

/// Returns the fuse rating that a load needs by both rules: at most 75 % loaded; 125 % of the load.
pub fn fuse_rating_a(load_a: f64) -> [f64; 2] {
    [load_a / 0.75, 1.25 * load_a]
}
