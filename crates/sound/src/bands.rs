//! Fractional-octave bands: exact mid-band frequencies, edges, names.
//!
//! In: how many bands an octave has, a range. Out: bands. Not here: filters (`filter`).
//! Source: IEC 61260-1:2014, equations (1) to (5), base ten.

/// Ratio of an octave, base ten.
pub const G: f64 = 1.995_262_314_968_88;

/// Reference frequency, hertz.
const REFERENCE_HZ: f64 = 1000.0;

/// One band.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Band {
    /// Bands in an octave: 1, 3, up to 24.
    pub per_octave: u32,
    /// Number from the band at or next above 1 kHz.
    pub number: i32,
}

impl Band {
    /// Returns the octave band with a number; 0 is the one at 1 kHz.
    pub fn octave(number: i32) -> Self {
        Self {
            per_octave: 1,
            number,
        }
    }

    /// Returns the third-octave band with a number; 0 is the one at 1 kHz, −13 at 50 Hz, 10 at 10 kHz.
    pub fn third(number: i32) -> Self {
        Self {
            per_octave: 3,
            number,
        }
    }

    /// Returns the exact mid-band frequency, hertz.
    pub fn mid_hz(self) -> f64 {
        let (b, x) = (f64::from(self.per_octave), f64::from(self.number));
        let exponent = if self.per_octave % 2 == 1 {
            x / b
        } else {
            (2.0 * x + 1.0) / (2.0 * b)
        };
        REFERENCE_HZ * G.powf(exponent)
    }

    /// Returns the lower and the upper band edge, hertz.
    pub fn edges_hz(self) -> (f64, f64) {
        let half = G.powf(0.5 / f64::from(self.per_octave));
        (self.mid_hz() / half, self.mid_hz() * half)
    }

    /// Returns the distance of its edges, hertz.
    pub fn width_hz(self) -> f64 {
        let (low, high) = self.edges_hz();
        high - low
    }

    /// Returns the name of the band, hertz: the preferred number next to the mid-band frequency for octaves and
    /// thirds, three significant digits for others (annex E).
    pub fn nominal_hz(self) -> f64 {
        const PREFERRED: [f64; 10] = [1.0, 1.25, 1.6, 2.0, 2.5, 3.15, 4.0, 5.0, 6.3, 8.0];
        match self.per_octave {
            1 | 3 => {
                let tenths = self.number * if self.per_octave == 1 { 3 } else { 1 };
                let decade = tenths.div_euclid(10);
                let place = tenths.rem_euclid(10) as usize;
                let name = PREFERRED[place] * 10_f64.powi(decade + 3);
                // 12.5, 16, 31.5: what a power of ten leaves behind is no part of a name.
                (name * 1e6).round() / 1e6
            }
            _ => {
                let mid = self.mid_hz();
                let first = 10_f64.powf(mid.log10().floor());
                // Three digits below 5 in the first, two above.
                let step = if mid / first < 5.0 { 100.0 } else { 10.0 };
                (mid / first * step).round() / step * first
            }
        }
    }
}

/// Returns the bands whose mid-band frequencies lie from `low_hz` to `high_hz`, a ten-thousandth of a band's
/// width more at each end, so that a name may stand for a frequency.
pub fn between(per_octave: u32, low_hz: f64, high_hz: f64) -> Vec<Band> {
    let at = |hz: f64| {
        let x = f64::from(per_octave) * (hz / REFERENCE_HZ).ln() / G.ln();
        if per_octave % 2 == 1 { x } else { x - 0.5 }
    };
    // A name lies at most 1.3 % beside the frequency it stands for; a third is 26 % wide.
    let slack = 0.02 * f64::from(per_octave);
    let first = (at(low_hz) - slack).ceil() as i32;
    let last = (at(high_hz) + slack).floor() as i32;
    (first..=last)
        .map(|number| Band { per_octave, number })
        .collect()
}
