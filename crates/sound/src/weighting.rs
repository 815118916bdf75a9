//! Frequency weightings A, C and Z.
//!
//! In: a frequency, hertz. Out: the weight, decibels, 0 at 1 kHz. Not here: levels.
//! Source: IEC 61672-1:2013, 5.4 and annex E, whose pole frequencies are made here as they are there.

use std::sync::OnceLock;

/// A weighting.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Weighting {
    /// As ears hear faint sound, roughly.
    A,
    /// As ears hear loud sound, roughly.
    C,
    /// None.
    Z,
}

/// Pole frequencies f1 to f4, hertz.
pub fn poles_hz() -> [f64; 4] {
    static POLES: OnceLock<[f64; 4]> = OnceLock::new();
    *POLES.get_or_init(|| {
        let (reference, low, high) = (1000.0_f64, 10_f64.powf(1.5), 10_f64.powf(3.9));
        let at_edges = 0.5_f64.sqrt();
        let b = (reference.powi(2) + (low * high / reference).powi(2)
            - at_edges * (low.powi(2) + high.powi(2)))
            / (1.0 - at_edges);
        let root = (b * b - 4.0 * (low * high).powi(2)).sqrt();
        let a_edge = 10_f64.powf(2.45);
        [
            ((-b - root) / 2.0).sqrt(),
            (3.0 - 5_f64.sqrt()) / 2.0 * a_edge,
            (3.0 + 5_f64.sqrt()) / 2.0 * a_edge,
            ((-b + root) / 2.0).sqrt(),
        ]
    })
}

impl Weighting {
    /// Returns the weight at a frequency, decibels.
    pub fn db(self, hz: f64) -> f64 {
        if self == Self::Z {
            return 0.0;
        }
        self.raw_db(hz) - self.raw_db(1000.0)
    }

    /// Returns the weight before it is made 0 at 1 kHz, decibels.
    pub fn raw_db(self, hz: f64) -> f64 {
        let [f1, f2, f3, f4] = poles_hz().map(|pole| pole * pole);
        let f = hz * hz;
        let c = f4 * f / ((f + f1) * (f + f4));
        20.0 * match self {
            Self::A => (c * f / ((f + f2) * (f + f3)).sqrt()).log10(),
            Self::C => c.log10(),
            Self::Z => 0.0,
        }
    }

    /// Returns its letter.
    pub fn letter(self) -> &'static str {
        match self {
            Self::A => "A",
            Self::C => "C",
            Self::Z => "Z",
        }
    }
}
