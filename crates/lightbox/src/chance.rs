//! Random numbers that depend on a seed alone.
//!
//! In: a seed. Out: numbers. Not here: what is drawn with them.
//! Source: SplitMix64, G. Steele, D. Lea, C. Flood, OOPSLA 2014; normal law by G. Box, M. Muller, 1958.

/// A stream of random numbers.
#[derive(Debug, Clone)]
pub struct Chance(u64);

impl Chance {
    /// Starts a stream; equal seeds give equal streams.
    pub fn new(seed: u64) -> Self {
        let mut stream = Self(seed ^ 0x51_7c_c1_b7_27_22_0a_95);
        stream.bits();
        stream
    }

    /// Returns 64 random bits.
    pub fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        mixed(self.0)
    }

    /// Returns a number between two bounds, all equally likely.
    pub fn within(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * unit(self.bits())
    }

    /// Returns a number of the normal law with expectation 0 and standard deviation 1.
    pub fn normal(&mut self) -> f64 {
        let (u, v) = (1.0 - unit(self.bits()), unit(self.bits()));
        (-2.0 * u.ln()).sqrt() * (std::f64::consts::TAU * v).cos()
    }

    /// Returns whether something of this probability happens.
    pub fn happens(&mut self, probability: f64) -> bool {
        unit(self.bits()) < probability
    }

    /// Returns one of several things, all equally likely.
    pub fn one_of<T: Copy, const N: usize>(&mut self, things: [T; N]) -> T {
        things[(self.bits() % N as u64) as usize]
    }
}

/// Spreads bits over a word.
pub(crate) fn mixed(bits: u64) -> u64 {
    let mut z = bits;
    z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^ (z >> 31)
}

/// Returns bits as a number from 0 to below 1.
pub(crate) fn unit(bits: u64) -> f64 {
    (bits >> 11) as f64 / (1_u64 << 53) as f64
}
