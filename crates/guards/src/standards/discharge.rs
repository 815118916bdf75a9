//! Sparks and surges: IEC 61000-4-2 and IEC 61000-4-5.

use super::Checked::{Calculated, Memory, ReadIn, Split};
use super::{Row, row};

const SPARK: &str = "IEC 61000-4-2";
const PULSE: &str = "IEC 61000-4-5";

/// Electrostatic discharge.
pub const DISCHARGE: &[Row] = &[
    row("contact levels 1 to 4", "2, 4, 6, 8 kV", SPARK, ReadIn(8)),
    row("air levels 1 to 4", "2, 4, 8, 15 kV", SPARK, ReadIn(8)),
    row(
        "first peak, at 30 ns, at 60 ns",
        "3.75, 2, 1 A per kV",
        SPARK,
        ReadIn(8),
    ),
    row("currents at level 4", "30, 16, 8 A", SPARK, ReadIn(5)),
    row(
        "tolerances",
        "peak ± 15 %, at 30 ns and 60 ns ± 30 %, rise 0.8 ns ± 25 %; an earlier edition ± 10 %",
        SPARK,
        Split,
    ),
    row("network", "150 pF, 330 Ω", SPARK, ReadIn(4)),
    row("time constant", "49.5 ns", SPARK, Calculated),
    row(
        "air discharge",
        "no waveform in the standard",
        SPARK,
        ReadIn(1),
    ),
    row(
        "component ratings of the human body model",
        "are no levels of a system",
        "common practice",
        Memory,
    ),
];

/// Surges.
pub const SURGE: &[Row] = &[
    row(
        "wave",
        "1.2/50 µs open, 8/20 µs short; telecom lines 10/700, 5/320",
        PULSE,
        ReadIn(4),
    ),
    row("source, line to line", "2 Ω", PULSE, ReadIn(2)),
    row("source, line to earth", "12 Ω", PULSE, ReadIn(2)),
    row("source, signal lines", "42 Ω", PULSE, Memory),
    row("levels 1 to 4", "0.5, 1, 2, 4 kV", PULSE, Memory),
    row(
        "supply contacts of 20 V of small devices",
        "are seldom surge-tested",
        "common practice",
        Memory,
    ),
];

const NETWORK_F: f64 = 150e-12;

/// Returns the currents of a contact discharge in amperes: first peak, at 30 ns, at 60 ns.
pub fn discharge_a(kilovolts: f64) -> [f64; 3] {
    [3.75 * kilovolts, 2.0 * kilovolts, kilovolts]
}

/// Returns the energy in the network in joules.
pub fn energy_j(kilovolts: f64) -> f64 {
    0.5 * NETWORK_F * (1e3 * kilovolts).powi(2)
}

/// Returns the charge of the network in coulombs.
pub fn charge_c(kilovolts: f64) -> f64 {
    NETWORK_F * 1e3 * kilovolts
}

/// Returns the peak current of a surge of some volts through its source, in amperes.
pub fn surge_a(volts: f64, source_ohm: f64) -> f64 {
    volts / source_ohm
}
