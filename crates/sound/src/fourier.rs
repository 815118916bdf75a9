//! Fourier transforms of real samples.
//!
//! In: samples. Out: half a spectrum, and back. Not here: what it is for.

use realfft::num_complex::Complex;
use realfft::{ComplexToReal, RealFftPlanner, RealToComplex};
use std::sync::Arc;

/// One bin of a spectrum.
pub(crate) type Bin = Complex<f64>;

/// Transforms of one length.
pub(crate) struct Fourier {
    length: usize,
    forward: Arc<dyn RealToComplex<f64>>,
    back: Arc<dyn ComplexToReal<f64>>,
}

impl Fourier {
    pub(crate) fn new(length: usize) -> Self {
        let mut planner = RealFftPlanner::new();
        Self {
            length,
            forward: planner.plan_fft_forward(length),
            back: planner.plan_fft_inverse(length),
        }
    }

    /// Returns the spectrum of samples, with zeros behind them, without a factor.
    pub(crate) fn spectrum(&self, samples: impl Iterator<Item = f64>) -> Vec<Bin> {
        let mut input = self.forward.make_input_vec();
        for (to, x) in input.iter_mut().zip(samples) {
            *to = x;
        }
        let mut out = self.forward.make_output_vec();
        self.forward
            .process(&mut input, &mut out)
            .expect("both were made for this length");
        out
    }

    /// Returns the samples of a spectrum.
    pub(crate) fn samples(&self, mut spectrum: Vec<Bin>) -> Vec<f64> {
        // What stands at zero and at half the rate is real in the spectrum of real samples.
        spectrum[0].im = 0.0;
        if self.length.is_multiple_of(2)
            && let Some(last) = spectrum.last_mut()
        {
            last.im = 0.0;
        }
        let mut out = self.back.make_output_vec();
        self.back
            .process(&mut spectrum, &mut out)
            .expect("both were made for this length");
        let factor = (self.length as f64).recip();
        out.iter_mut().for_each(|x| *x *= factor);
        out
    }
}
