//! What may be touched: electrical energy classes of IEC 62368-1.

use super::Checked::{Memory, ReadIn, Split};
use super::{Row, row};

const AUDIO: &str = "IEC 62368-1, national text of table 4";

/// Contacts that may be touched.
pub const CONTACTS: &[Row] = &[
    row(
        "ES1, ES2 d.c.",
        "60 V or 2 mA; 120 V or 25 mA",
        AUDIO,
        ReadIn(1),
    ),
    row(
        "ES1, ES2 a.c. to 1 kHz",
        "30 V rms, 42.4 V peak; 50 V rms, 70.7 V peak",
        AUDIO,
        ReadIn(2),
    ),
    row(
        "ES1, ES2 from 1 to 100 kHz",
        "30 + 0.4 f; 50 + 0.9 f V rms, f in kHz",
        AUDIO,
        ReadIn(1),
    ),
    row("ES1, ES2 above 100 kHz", "70; 140 V rms", AUDIO, ReadIn(1)),
    row(
        "a.c. touch current to 1 kHz",
        "ES1 0.5 mA rms; ES2 0.5 or 5 mA",
        AUDIO,
        Split,
    ),
    row(
        "PS1; PS2; PS3",
        "up to 15 W after 3 s; up to 100 W after 5 s; above",
        "IEC 62368-1",
        Memory,
    ),
];

/// Limits of one class of electrical energy.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EnergyClass {
    /// Direct voltage in volts.
    pub dc_v: f64,
    /// Alternating voltage to 1 kHz in volts rms.
    pub ac_v: f64,
    /// Volts rms more per kilohertz up to 100 kHz.
    per_khz_v: f64,
    /// Alternating voltage above 100 kHz in volts rms.
    fast_v: f64,
}

/// May be touched by anyone.
pub const ES1: EnergyClass = EnergyClass {
    dc_v: 60.0,
    ac_v: 30.0,
    per_khz_v: 0.4,
    fast_v: 70.0,
};
/// May be felt.
pub const ES2: EnergyClass = EnergyClass {
    dc_v: 120.0,
    ac_v: 50.0,
    per_khz_v: 0.9,
    fast_v: 140.0,
};

impl EnergyClass {
    /// Returns the limit of an alternating voltage in volts rms.
    pub fn ac_limit_v(&self, kilohertz: f64) -> f64 {
        if kilohertz <= 1.0 {
            self.ac_v
        } else if kilohertz <= 100.0 {
            self.ac_v + self.per_khz_v * kilohertz
        } else {
            self.fast_v
        }
    }
}

/// Returns how much of a class direct and alternating voltage together use; more than one is beyond it.
pub fn mixed_share(class: &EnergyClass, dc_v: f64, ac_v: f64, kilohertz: f64) -> f64 {
    dc_v / class.dc_v + ac_v / class.ac_limit_v(kilohertz)
}

/// Capacitance in nanofarads, ES1 and ES2 in volts; from the national text of the table.
const CAPACITORS: [(f64, f64, f64); 9] = [
    (4.0, 1000.0, 2000.0),
    (8.0, 500.0, 1000.0),
    (12.0, 350.0, 700.0),
    (28.0, 200.0, 400.0),
    (41.0, 150.0, 300.0),
    (61.0, 125.0, 250.0),
    (91.0, 100.0, 200.0),
    (170.0, 75.0, 150.0),
    (300.0, 60.0, 120.0),
];

/// Returns the voltages of ES1 and ES2 of a charged capacitor, in a straight line between the rows; none below the
/// smallest one of the table.
pub fn capacitor_limit_v(nanofarads: f64) -> Option<[f64; 2]> {
    let above = CAPACITORS.iter().position(|(c, ..)| nanofarads <= *c);
    match above {
        None if nanofarads.is_finite() => CAPACITORS.last().map(|(_, a, b)| [*a, *b]),
        None => None,
        Some(0) => CAPACITORS
            .first()
            .filter(|(c, ..)| *c == nanofarads)
            .map(|(_, a, b)| [*a, *b]),
        Some(k) => {
            let ((c, a, b), (d, e, f)) = (CAPACITORS[k - 1], CAPACITORS[k]);
            let share = (nanofarads - c) / (d - c);
            Some([a + share * (e - a), b + share * (f - b)])
        }
    }
}
