//! Random streams that depend on nothing but (seed, input, part of the run).
//!
//! In: three numbers. Out: 32-bit words, sixteen lanes at a time, so that the compiler uses vector
//! instructions. Source: D. Blackman, S. Vigna, "Scrambled linear pseudorandom number generators",
//! ACM TOMS 47 (2021) 36 (xoshiro128+); G. Steele et al., "Fast splittable pseudorandom number
//! generators", OOPSLA 2014 (SplitMix64, for the seeding).
//!
//! The lowest bits of xoshiro128+ are the weakest; every use here takes the upper ones.

/// Lanes of a stream.
pub(super) const LANES: usize = 16;

/// One stream of random words.
#[derive(Clone)]
pub(super) struct Stream {
    state: [[u32; LANES]; 4],
    /// Words for one-at-a-time use, and how many of them are used up.
    words: [u32; LANES],
    used: usize,
}

/// The SplitMix64 sequence.
pub(super) fn split_mix(state: &mut u64) -> u64 {
    *state = state.wrapping_add(0x9E37_79B9_7F4A_7C15);
    let mut z = *state;
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    z ^ (z >> 31)
}

impl Stream {
    /// Makes the stream of one input in one part of a run.
    pub(super) fn new(seed: u64, input: u64, part: u64) -> Self {
        let mut key = seed;
        for number in [input, part] {
            // Hashing after each number keeps (1, 2) and (2, 1) apart.
            key = split_mix(&mut key) ^ number;
        }
        key = split_mix(&mut key);
        let mut state = [[0; LANES]; 4];
        let [s0, s1, s2, s3] = &mut state;
        for (low, high, least) in [(s0, s1, 1), (s2, s3, 0)] {
            for (low, high) in low.iter_mut().zip(high) {
                let bits = split_mix(&mut key);
                *low = bits as u32;
                // A state of four zeros would stay there.
                *high = (bits >> 32) as u32 | least;
            }
        }
        Self {
            state,
            words: [0; LANES],
            used: LANES,
        }
    }

    /// Returns the next word of every lane.
    #[inline(always)]
    pub(super) fn next(&mut self) -> [u32; LANES] {
        let [s0, s1, s2, s3] = &mut self.state;
        let mut words = [0; LANES];
        for i in 0..LANES {
            words[i] = s0[i].wrapping_add(s3[i]);
            let t = s1[i] << 9;
            s2[i] ^= s0[i];
            s3[i] ^= s1[i];
            s1[i] ^= s2[i];
            s0[i] ^= s3[i];
            s2[i] ^= t;
            s3[i] = s3[i].rotate_left(11);
        }
        words
    }

    /// Returns one number above 0 and below 1, with 53 random bits.
    pub(super) fn unit(&mut self) -> f64 {
        let high = self.word();
        let low = self.word();
        unit(high, low)
    }

    fn word(&mut self) -> u32 {
        if self.used == LANES {
            self.words = self.next();
            self.used = 0;
        }
        self.used += 1;
        self.words[self.used - 1]
    }

    /// Fills `out` (a multiple of the lanes) with numbers above 0 and below 1, 53 random bits each.
    #[inline(always)]
    pub(super) fn fill_unit(&mut self, out: &mut [f64]) {
        for chunk in out.chunks_exact_mut(LANES) {
            let high = self.next();
            let low = self.next();
            for i in 0..LANES {
                chunk[i] = unit(high[i], low[i]);
            }
        }
    }
}

/// Joins two words to a number above 0 and below 1.
#[inline(always)]
fn unit(high: u32, low: u32) -> f64 {
    // Bits go straight into the mantissa of a number from 1 to 2, which every machine does alike
    // and in vectors; half a unit keeps 0 out.
    let bits = (u64::from(high) << 20) ^ u64::from(low >> 12);
    f64::from_bits(0x3FF0_0000_0000_0000 | bits) - (1.0 - f64::EPSILON / 2.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn streams_are_repeatable_and_differ() {
        let mut first = Stream::new(1, 2, 3);
        let mut again = Stream::new(1, 2, 3);
        let mut swapped = Stream::new(1, 3, 2);
        let words = first.next();
        assert_eq!(words, again.next());
        assert_ne!(words, swapped.next());
    }

    #[test]
    fn numbers_are_uniform() {
        let mut stream = Stream::new(7, 0, 0);
        let mut numbers = vec![0.0; 160_000];
        stream.fill_unit(&mut numbers);
        let n = numbers.len() as f64;
        let mean = numbers.iter().sum::<f64>() / n;
        let variance = numbers.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / n;
        assert!((mean - 0.5).abs() < 4.0 * (1.0 / 12.0 / n).sqrt(), "{mean}");
        assert!(
            (variance - 1.0 / 12.0).abs() < 4.0 * (1.0 / 180.0 / n).sqrt(),
            "{variance}"
        );
        assert!(numbers.iter().all(|&x| x > 0.0 && x < 1.0));
        let mut counts = [0_u32; 64];
        for x in &numbers {
            counts[(x * 64.0) as usize] += 1;
        }
        let expected = n / 64.0;
        let chi2: f64 = counts
            .iter()
            .map(|&c| (f64::from(c) - expected).powi(2) / expected)
            .sum();
        assert!((25.0..115.0).contains(&chi2), "{chi2}");
        let lag: f64 = numbers
            .windows(2)
            .map(|w| (w[0] - mean) * (w[1] - mean))
            .sum::<f64>()
            / n;
        assert!(lag.abs() < 4.0 / 12.0 / n.sqrt(), "{lag}");
    }
}
