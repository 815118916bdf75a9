//! Weights of the interpolation kernels, as whole numbers of 2⁻¹⁴.
//!
//! Source of the kernels: R. G. Keys, IEEE Trans. ASSP 29 (1981) 1153, equation 15 with a free; C.
//! Duchon, J. Appl. Meteorol. 18 (1979) 1016 (Lanczos window).

use super::Kernel;
use std::f64::consts::PI;

/// One as a weight.
pub(super) const ONE: i32 = 1 << 14;
/// Positions between two pixels in a table.
pub(super) const PLACES: usize = 1024;

/// A kernel, prepared.
pub(super) enum Weights {
    /// The fraction itself is the weight.
    Linear,
    /// Weights of pixels −1 to 2 at each place.
    Four(Box<[[i16; 4]; PLACES]>),
    /// Weights of pixels −3 to 4 at each place.
    Eight(Box<[[i16; 8]; PLACES]>),
}

impl Weights {
    pub(super) fn of(kernel: Kernel) -> Self {
        match kernel {
            Kernel::Bilinear => Self::Linear,
            Kernel::CatmullRom => Self::Four(table(|d| cubic(d, -0.5))),
            Kernel::SharpCubic => Self::Four(table(|d| cubic(d, -0.75))),
            Kernel::Lanczos4 => Self::Eight(table(lanczos)),
        }
    }

    /// Parts of a pixel in which positions are counted.
    pub(super) fn unit(&self) -> u32 {
        match self {
            Self::Linear => 14,
            _ => 10,
        }
    }

    /// How many pixels before the position's own the kernel needs; one more behind it.
    pub(super) fn reach(&self) -> usize {
        match self {
            Self::Linear => 0,
            Self::Four(_) => 1,
            Self::Eight(_) => 3,
        }
    }
}

fn cubic(d: f64, a: f64) -> f64 {
    let d = d.abs();
    if d <= 1.0 {
        ((a + 2.0) * d - (a + 3.0)) * d * d + 1.0
    } else if d < 2.0 {
        ((a * d - 5.0 * a) * d + 8.0 * a) * d - 4.0 * a
    } else {
        0.0
    }
}

fn lanczos(d: f64) -> f64 {
    let sinc = |v: f64| {
        if v == 0.0 {
            1.0
        } else {
            (PI * v).sin() / (PI * v)
        }
    };
    if d.abs() < 4.0 {
        sinc(d) * sinc(d / 4.0)
    } else {
        0.0
    }
}

/// Weights for each place that sum to one exactly: the largest takes what rounding left.
fn table<const N: usize>(kernel: impl Fn(f64) -> f64) -> Box<[[i16; N]; PLACES]> {
    let mut all = Box::new([[0; N]; PLACES]);
    for (place, row) in all.iter_mut().enumerate() {
        let f = place as f64 / PLACES as f64;
        let exact: [f64; N] = std::array::from_fn(|i| kernel(f + (N / 2 - 1) as f64 - i as f64));
        let sum: f64 = exact.iter().sum();
        let mut whole = exact.map(|w| (w / sum * f64::from(ONE)).round() as i32);
        let largest = N / 2 - 1 + usize::from(2 * place > PLACES);
        whole[largest] += ONE - whole.iter().sum::<i32>();
        *row = whole.map(|w| w as i16);
    }
    all
}
