//! The band-pass that makes a band: Butterworth, of order three at each edge.
//!
//! In: band edges, a rate. Out: three second-order sections, each (1 − z⁻²)/(1 + a₁z⁻¹ + a₂z⁻²), and a factor.
//! Not here: where which rate is used (`bank`).
//! Source: bilinear transform with both edges prewarped; order three lies within class 1 of IEC 61260-1:2014.

use std::f64::consts::PI;

/// A band-pass.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bandpass {
    /// a₁ and a₂ of each section.
    pub sections: [[f64; 2]; 3],
    /// What the output is to be multiplied with.
    pub gain: f64,
}

/// Statistical bandwidth of the filter over that between its edges: how much noise it averages with
/// (∫|H|²)²/∫|H|⁴ of a Butterworth of order three, divided by its width (computed).
pub const STATISTICAL_WIDTH: f64 = 1.2566;

impl Bandpass {
    /// Designs the filter with its edges at −3 dB. An edge at or above half the rate is put just below it.
    pub fn new(low_hz: f64, high_hz: f64, rate_hz: f64) -> Self {
        let high_hz = high_hz.min(rate_hz * 0.4999);
        // In units of twice the rate.
        let warp = |hz: f64| (PI * hz / rate_hz).tan();
        let (low, high) = (warp(low_hz), warp(high_hz));
        let (width, middle) = (high - low, low * high);
        // Poles of the low-pass: −1 and a pair at ±120°. The first becomes a pair by itself; each of the others
        // becomes two, whose conjugates come from the other.
        let real = quadratic(width, middle);
        let (re, im) = (-0.5 * width / 2.0, 3_f64.sqrt() / 2.0 * width / 2.0);
        // √(p² − w²) of the complex p.
        let (root_re, root_im) = sqrt(re * re - im * im - middle, 2.0 * re * im);
        let sections = [
            real,
            pair(re + root_re, im + root_im),
            pair(re - root_re, im - root_im),
        ];
        let mut filter = Self {
            sections,
            gain: 1.0,
        };
        let centre = middle.sqrt().atan() * rate_hz / PI;
        filter.gain = filter.response(centre / rate_hz).recip();
        filter
    }

    /// Returns the magnitude of its response at a frequency, as a share of the rate.
    pub fn response(&self, of_rate: f64) -> f64 {
        let w = 2.0 * PI * of_rate;
        self.sections.iter().fold(self.gain, |all, [a1, a2]| {
            let re = 1.0 + a1 * w.cos() + a2 * (2.0 * w).cos();
            let im = -a1 * w.sin() - a2 * (2.0 * w).sin();
            all * 2.0 * w.sin().abs() / re.hypot(im)
        })
    }
}

/// Section of the analogue denominator s² + width·s + middle, s in units of twice the rate.
fn quadratic(width: f64, middle: f64) -> [f64; 2] {
    let d = 1.0 + width + middle;
    [2.0 * (middle - 1.0) / d, (1.0 - width + middle) / d]
}

/// Section of an analogue pole and its conjugate.
fn pair(re: f64, im: f64) -> [f64; 2] {
    quadratic(-2.0 * re, re * re + im * im)
}

fn sqrt(re: f64, im: f64) -> (f64, f64) {
    let size = re.hypot(im);
    let root_re = ((size + re) / 2.0).max(0.0).sqrt();
    let root_im = ((size - re) / 2.0).max(0.0).sqrt();
    (root_re, root_im.copysign(im))
}
