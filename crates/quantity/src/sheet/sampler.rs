//! Draws of one input, a block at a time.
//!
//! In: a distribution and a random stream. Out: draws, or draws times a coefficient added to a
//! running sum. Not here: correlated inputs (`block.rs`), quantiles (`distribution.rs`).
//! Source: JCGM 101:2008, 6.4; triangular by the MINMAX method of W. Stein, M. Keblis, "A new
//! method to simulate the triangular distribution", Math. Comput. Model. 49 (2009) 1143; gamma
//! variables by G. Marsaglia, W. Tsang, ACM TOMS 26 (2000) 363.

use super::block::BLOCK;
use super::random::{LANES, Stream};
use crate::Distribution;
use crate::distribution::pert_shape;
use crate::special::normal_quantile;
use pulp::{Arch, Simd, WithSimd};

/// A distribution prepared for drawing.
pub(super) enum Sampler {
    Exact(f64),
    Rectangular {
        low: f64,
        width: f64,
    },
    /// `low + width × ((1 − f)·min(U₁, U₂) + f·max(U₁, U₂))`, with f the place of the mode.
    Triangular {
        low: f64,
        width: f64,
        place: f64,
    },
    Normal {
        mean: f64,
        sd: f64,
    },
    Lognormal {
        mu: f64,
        sigma: f64,
    },
    Arcsine {
        middle: f64,
        half: f64,
    },
    /// Sum of two rectangular errors.
    Trapezoid {
        middle: f64,
        wide: f64,
        narrow: f64,
    },
    Curvilinear {
        low: f64,
        high: f64,
        inexactness: f64,
    },
    Pert {
        low: f64,
        width: f64,
        left: Gamma,
        right: Gamma,
    },
    ScaledT {
        mean: f64,
        scale: f64,
        half: Gamma,
    },
}

impl Sampler {
    pub(super) fn new(distribution: &Distribution) -> Self {
        match *distribution {
            Distribution::Exact { value } => Self::Exact(value),
            Distribution::Rectangular { low, high } => Self::Rectangular {
                low,
                width: high - low,
            },
            Distribution::Triangular { low, mode, high } => {
                let width = high - low;
                if width > 0.0 {
                    Self::Triangular {
                        low,
                        width,
                        place: (mode - low) / width,
                    }
                } else {
                    Self::Exact(low)
                }
            }
            Distribution::Normal { mean, sd } => Self::Normal { mean, sd },
            Distribution::Lognormal { mu, sigma } => Self::Lognormal { mu, sigma },
            Distribution::Arcsine { low, high } => {
                let half = (high - low) / 2.0;
                Self::Arcsine {
                    middle: low + half,
                    half,
                }
            }
            Distribution::Trapezoid { low, high, top } => {
                let half = (high - low) / 2.0;
                Self::Trapezoid {
                    middle: low + half,
                    wide: half * (1.0 + top),
                    narrow: half * (1.0 - top),
                }
            }
            Distribution::CurvilinearTrapezoid {
                low,
                high,
                inexactness,
            } => Self::Curvilinear {
                low,
                high,
                inexactness,
            },
            Distribution::Pert {
                low,
                mode,
                high,
                lambda,
            } => {
                if high > low {
                    let (a, b) = pert_shape(low, mode, high, lambda);
                    let (left, right) = (Gamma::new(a), Gamma::new(b));
                    Self::Pert {
                        low,
                        width: high - low,
                        left,
                        right,
                    }
                } else {
                    Self::Exact(low)
                }
            }
            Distribution::ScaledT {
                mean,
                scale,
                degrees_of_freedom: nu,
            } => {
                if nu > 1e9 {
                    Self::Normal { mean, sd: scale }
                } else {
                    Self::ScaledT {
                        mean,
                        scale,
                        half: Gamma::new(nu / 2.0),
                    }
                }
            }
        }
    }

    /// Fills `out` with draws.
    pub(super) fn fill(&self, arch: Arch, stream: &mut Stream, out: &mut [f64; BLOCK]) {
        match *self {
            Self::Exact(value) => out.fill(value),
            Self::Triangular { .. } => {
                out.fill(self.offset(1.0));
                self.accumulate(arch, stream, 1.0, out);
            }
            Self::Rectangular { low, width } => {
                arch.dispatch(Units { stream, out });
                out.iter_mut().for_each(|x| *x = low + width * *x);
            }
            Self::Normal { mean, sd } => {
                arch.dispatch(Units { stream, out });
                out.iter_mut()
                    .for_each(|x| *x = mean + sd * normal_quantile(*x));
            }
            Self::Lognormal { mu, sigma } => {
                arch.dispatch(Units { stream, out });
                out.iter_mut()
                    .for_each(|x| *x = (mu + sigma * normal_quantile(*x)).exp());
            }
            Self::Arcsine { middle, half } => {
                arch.dispatch(Units { stream, out });
                out.iter_mut()
                    .for_each(|x| *x = middle + half * (std::f64::consts::PI * (*x - 0.5)).sin());
            }
            Self::Trapezoid {
                middle,
                wide,
                narrow,
            } => {
                for x in out {
                    let (u, v) = (stream.unit(), stream.unit());
                    *x = middle + wide * (u - 0.5) + narrow * (v - 0.5);
                }
            }
            Self::Curvilinear {
                low,
                high,
                inexactness,
            } => {
                for x in out {
                    let start = low + inexactness * (2.0 * stream.unit() - 1.0);
                    let end = low + high - start;
                    *x = start + (end - start) * stream.unit();
                }
            }
            Self::Pert {
                low,
                width,
                ref left,
                ref right,
            } => {
                for x in out {
                    let (a, b) = (left.draw(stream), right.draw(stream));
                    *x = low + width * (a / (a + b));
                }
            }
            Self::ScaledT {
                mean,
                scale,
                ref half,
            } => {
                for x in out {
                    let z = normal_quantile(stream.unit());
                    *x = mean + scale * z * (half.shape / half.draw(stream)).sqrt();
                }
            }
        }
    }

    /// Returns what [`Sampler::accumulate`] leaves out: the caller adds it once.
    pub(super) fn offset(&self, coefficient: f64) -> f64 {
        match *self {
            Self::Exact(value) => coefficient * value,
            // The words count from −2³¹, so half the width belongs to the constant part.
            Self::Triangular { low, width, .. } => coefficient * (low + width / 2.0),
            _ => 0.0,
        }
    }

    /// Adds `coefficient` × draw − [`Sampler::offset`] to every element of `sum`.
    pub(super) fn accumulate(
        &self,
        arch: Arch,
        stream: &mut Stream,
        coefficient: f64,
        sum: &mut [f64; BLOCK],
    ) {
        match *self {
            Self::Exact(_) => {}
            Self::Triangular { width, place, .. } => {
                let unit = coefficient * width / 4_294_967_296.0;
                let (lesser, greater) = ((unit * (1.0 - place)) as f32, (unit * place) as f32);
                arch.dispatch(AddTriangular {
                    stream,
                    lesser,
                    greater,
                    sum,
                });
            }
            _ => {
                let mut draws = [0.0; BLOCK];
                self.fill(arch, stream, &mut draws);
                for (s, x) in sum.iter_mut().zip(&draws) {
                    *s += coefficient * x;
                }
            }
        }
    }
}

/// Fills a block with uniform numbers.
struct Units<'a> {
    stream: &'a mut Stream,
    out: &'a mut [f64; BLOCK],
}

impl WithSimd for Units<'_> {
    type Output = ();
    #[inline(always)]
    fn with_simd<S: Simd>(self, _: S) {
        let mut stream = self.stream.clone();
        stream.fill_unit(self.out);
        *self.stream = stream;
    }
}

/// Adds triangular draws, as multiples of two ordered random words, to a block.
struct AddTriangular<'a> {
    stream: &'a mut Stream,
    lesser: f32,
    greater: f32,
    sum: &'a mut [f64; BLOCK],
}

impl WithSimd for AddTriangular<'_> {
    type Output = ();
    #[inline(always)]
    fn with_simd<S: Simd>(self, _: S) {
        // A local copy stays in registers. lesser·min(a, b) + greater·max(a, b) is written as
        // mean·(a + b) + lean·|a − b|, which becomes plain vector arithmetic.
        let mut stream = self.stream.clone();
        let mean = (self.lesser + self.greater) / 2.0;
        let lean = (self.greater - self.lesser) / 2.0;
        for chunk in self.sum.chunks_exact_mut(LANES) {
            let a = stream.next().map(|word| word as i32 as f32);
            let b = stream.next().map(|word| word as i32 as f32);
            let mut draws = [0.0_f32; LANES];
            for i in 0..LANES {
                draws[i] = mean * (a[i] + b[i]) + lean * (a[i] - b[i]).abs();
            }
            for i in 0..LANES {
                chunk[i] += f64::from(draws[i]);
            }
        }
        *self.stream = stream;
    }
}

/// A gamma variable of unit scale.
pub(super) struct Gamma {
    shape: f64,
    d: f64,
    c: f64,
}

impl Gamma {
    fn new(shape: f64) -> Self {
        // Below one the method draws for shape + 1 and scales down.
        let d = if shape < 1.0 { shape + 1.0 } else { shape } - 1.0 / 3.0;
        Self {
            shape,
            d,
            c: 1.0 / (9.0 * d).sqrt(),
        }
    }

    fn draw(&self, stream: &mut Stream) -> f64 {
        loop {
            let z = normal_quantile(stream.unit());
            let v = (1.0 + self.c * z).powi(3);
            if v <= 0.0 {
                continue;
            }
            let u = stream.unit();
            if u.ln() < 0.5 * z * z + self.d - self.d * v + self.d * v.ln() {
                let scale = if self.shape < 1.0 {
                    stream.unit().powf(1.0 / self.shape)
                } else {
                    1.0
                };
                return self.d * v * scale;
            }
        }
    }
}
