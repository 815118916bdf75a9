//! Half the rate and twice the rate, by a filter that leaves every second sample as it is.
//!
//! In: samples, block by block. Out: half or twice as many, in time with those they came from.
//! Not here: which bands are taken at which rate (`bank`).
//! Source: half-band windowed sinc, Kaiser window (Oppenheim and Schafer, *Discrete-Time Signal Processing*, 7.5).

use std::f64::consts::PI;

/// Outputs made together, so that a processor can hold their sums.
const TOGETHER: usize = 16;

/// Coefficients on each side of the centre, every second of which is zero.
#[derive(Debug, Clone)]
struct Taps<const N: usize>([f64; N]);

impl<const N: usize> Taps<N> {
    /// Designs a filter; `beta` is the shape of the window.
    fn new(beta: f64) -> Self {
        let end = (2 * N) as f64;
        let mut taps = std::array::from_fn(|m| {
            let at = (2 * m + 1) as f64;
            let window = bessel_i0(beta * (1.0 - (at / end).powi(2)).sqrt()) / bessel_i0(beta);
            (PI * at / 2.0).sin() / (PI * at) * window
        });
        let sum: f64 = taps.iter().sum();
        taps.iter_mut().for_each(|tap| *tap *= 0.25 / sum);
        Self(taps)
    }

    /// Adds to each sum what stands around the gap after sample `at + N − 1`, and the next gaps.
    #[inline(always)]
    fn add<const M: usize>(&self, samples: &[f64], at: usize, sums: &mut [f64; M]) {
        let samples = &samples[at..at + M + 2 * N - 1];
        let part = |from: usize| -> &[f64; M] {
            samples[from..]
                .first_chunk()
                .expect("as many samples were taken")
        };
        let mut all = *sums;
        #[allow(
            clippy::needless_range_loop,
            reason = "adapters of iterators stay calls here"
        )]
        for m in 0..N {
            let (tap, before, after) = (self.0[m], part(N - 1 - m), part(N + m));
            for k in 0..M {
                all[k] = tap.mul_add(before[k] + after[k], all[k]);
            }
        }
        *sums = all;
    }

    /// Adds to sums of any number.
    #[inline(always)]
    fn add_all(&self, samples: &[f64], sums: &mut [f64]) {
        let (together, single) = sums.as_chunks_mut::<TOGETHER>();
        let whole = together.len() * TOGETHER;
        for (k, sums) in together.iter_mut().enumerate() {
            self.add(samples, k * TOGETHER, sums);
        }
        for (k, sum) in single.iter_mut().enumerate() {
            self.add(samples, whole + k, std::array::from_mut(sum));
        }
    }
}

/// Coefficients of the way down.
const DOWN: usize = 7;
/// Shape of its window: 90 dB, reached below an eighth and above three eighths of the rate it comes from.
const DOWN_BETA: f64 = 8.96;
/// Highest frequency that the way down leaves unchanged, as a share of the new rate.
pub(crate) const KEPT: f64 = 0.25;

/// Takes every second sample of one channel, after what would fold over was taken out.
#[derive(Debug, Clone)]
pub(crate) struct Down {
    taps: Taps<DOWN>,
    even: Vec<f64>,
    odd: Vec<f64>,
    next_is_odd: bool,
}

impl Down {
    pub(crate) fn new() -> Self {
        Self {
            taps: Taps::new(DOWN_BETA),
            even: Vec::new(),
            // Before the first sample there was silence.
            odd: vec![0.0; DOWN],
            next_is_odd: false,
        }
    }

    /// Takes samples in; writes those of half the rate that can be told. After the last ones there is silence.
    #[inline(always)]
    pub(crate) fn take(&mut self, samples: &[f64], last: bool, out: &mut Vec<f64>) {
        let mut rest = samples;
        if self.next_is_odd
            && let Some((first, others)) = rest.split_first()
        {
            self.odd.push(*first);
            rest = others;
            self.next_is_odd = false;
        }
        let (pairs, single) = rest.as_chunks::<2>();
        for [even, odd] in pairs {
            self.even.push(*even);
            self.odd.push(*odd);
        }
        if let [single] = single {
            self.even.push(*single);
            self.next_is_odd = true;
        }
        if last {
            self.odd.resize(self.odd.len() + DOWN, 0.0);
        }
        // Output n stands at even sample n, between odd ones n − 1 and n.
        let can = (self.odd.len() + 1)
            .saturating_sub(2 * DOWN)
            .min(self.even.len());
        let begin = out.len();
        out.extend(self.even[..can].iter().map(|centre| 0.5 * centre));
        self.taps.add_all(&self.odd, &mut out[begin..]);
        self.even.drain(..can);
        self.odd.drain(..can);
    }
}

/// Coefficients of the way up.
const UP: usize = 40;
/// Shape of its window: 52 dB, half of it within one part in a hundred of the old rate. What is mirrored above half the old rate meets the skirts of the bands besides.
const UP_BETA: f64 = 4.77;
/// Highest frequency that the way up leaves unchanged, as a share of the old rate.
pub(crate) const RAISED: f64 = 0.468;

/// Puts a sample between every two of one channel.
#[derive(Debug, Clone)]
pub(crate) struct Up {
    taps: Taps<UP>,
    samples: Vec<f64>,
    between: Vec<f64>,
}

impl Up {
    pub(crate) fn new() -> Self {
        Self {
            taps: Taps::new(UP_BETA),
            samples: vec![0.0; UP - 1],
            between: Vec::new(),
        }
    }

    /// Takes samples in; writes those of twice the rate that can be told. After the last ones there is silence.
    #[inline(always)]
    pub(crate) fn take(&mut self, samples: &[f64], last: bool, out: &mut Vec<f64>) {
        self.samples.extend_from_slice(samples);
        if last {
            self.samples.resize(self.samples.len() + UP, 0.0);
        }
        let can = (self.samples.len() + 1).saturating_sub(2 * UP);
        self.between.clear();
        self.between.resize(can, 0.0);
        self.taps.add_all(&self.samples, &mut self.between);
        let own = &self.samples[UP - 1..UP - 1 + can];
        // Half of what was between two zeros is lost to them.
        let begin = out.len();
        out.resize(begin + 2 * can, 0.0);
        let pairs = out[begin..].as_chunks_mut::<2>().0;
        for k in 0..can {
            pairs[k] = [own[k], 2.0 * self.between[k]];
        }
        self.samples.drain(..can);
    }
}

/// Modified Bessel function of the first kind and order zero, by its series.
fn bessel_i0(x: f64) -> f64 {
    let (mut term, mut sum) = (1.0, 1.0);
    for k in 1..40 {
        term *= (x / 2.0 / f64::from(k)).powi(2);
        sum += term;
    }
    sum
}
