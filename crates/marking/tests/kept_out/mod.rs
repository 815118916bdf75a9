//! Markings worn by processes that the prices were not fitted to, and a judge of how they are read.
//!
//! In: a catalogue and a seed. Out: markings with their parts, the exact posterior of each under the
//! very process that made it (the ceiling), and tables by cause.
//! Not here: the wear of `tests/common`; nothing is shared with it.
//!
//! Every process is a channel whose probabilities are known, so that P(seen | name) is a sum over a
//! lattice (`channel`), and the share of markings that the best reader of all puts right can be told.

#![allow(
    dead_code,
    unreachable_pub,
    clippy::disallowed_methods,
    clippy::disallowed_types,
    clippy::needless_range_loop,
    reason = "each test file uses some of it and reads its cases from the disk; two letters make one place"
)]

pub mod cases;
pub mod channel;
pub mod glyphs;
pub mod judge;
pub mod names;
pub mod posterior;
pub mod text;

/// PCG-XSH-RR 64/32: M. E. O'Neill, HMC-CS-2014-0905, section 6.3.
#[derive(Debug, Clone)]
pub struct Random {
    state: u64,
}

impl Random {
    pub fn new(seed: u64) -> Self {
        let mut out = Self { state: 0 };
        out.bits();
        out.state = out.state.wrapping_add(seed);
        out.bits();
        out
    }

    pub fn bits(&mut self) -> u32 {
        let old = self.state;
        self.state = old
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        let shifted = (((old >> 18) ^ old) >> 27) as u32;
        shifted.rotate_right((old >> 59) as u32)
    }

    /// Uniform in 0..1.
    pub fn unit(&mut self) -> f64 {
        (f64::from(self.bits()) + 0.5) / 4_294_967_296.0
    }

    pub fn below(&mut self, n: usize) -> usize {
        ((self.unit() * n as f64) as usize).min(n.saturating_sub(1))
    }

    pub fn happens(&mut self, probability: f64) -> bool {
        self.unit() < probability
    }

    pub fn one<T: Copy>(&mut self, all: &[T]) -> T {
        all[self.below(all.len())]
    }

    /// Index by weights.
    pub fn weighted(&mut self, weights: &[f64]) -> usize {
        let mut left = self.unit() * weights.iter().sum::<f64>();
        for (i, w) in weights.iter().enumerate() {
            left -= w;
            if left < 0.0 {
                return i;
            }
        }
        weights.iter().rposition(|w| *w > 0.0).unwrap_or(0)
    }

    /// Standard normal, by the polar method.
    pub fn normal(&mut self) -> f64 {
        loop {
            let (x, y) = (2.0 * self.unit() - 1.0, 2.0 * self.unit() - 1.0);
            let s = x * x + y * y;
            if s > 0.0 && s < 1.0 {
                return x * (-2.0 * s.ln() / s).sqrt();
            }
        }
    }
}
