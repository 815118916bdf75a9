//! Levels in many bands, in one pass: each band is filtered at the lowest rate of which it lies in the lower quarter,
//! where the filters are as those of the standard; for the highest bands that is twice the rate of the recording.
//!
//! In: channels of samples, bands. Out: the mean square in each band of each channel.
//! Not here: the filters themselves (`filter`, `halfband`).
//!
//! Filters run from the first sample on, from silence. Of a band that half the rate of the recording cuts off
//! nothing is told.

use crate::bands::Band;
use crate::filter::Bandpass;
use crate::halfband::{Down, KEPT, RAISED, Up};
use pulp::{Simd, WithSimd};

/// Samples taken through all rates before the next are looked at.
const BLOCK: usize = 4096;
/// Samples from which on a second thread is worth its start.
const SHARED: usize = 1 << 16;
/// State so small that it is none; processors are slow with numbers near the smallest.
const NOTHING: f64 = 1e-200;

/// Bands to be measured, and when.
#[derive(Debug, Clone)]
pub struct Bank {
    /// The bands.
    pub bands: Vec<Band>,
    /// Seconds from the beginning that are left out of the mean, while filters settle.
    pub from_s: f64,
    /// Seconds from the beginning after which nothing counts.
    pub to_s: f64,
}

impl Bank {
    /// Measures bands over the whole recording.
    pub fn new(bands: Vec<Band>) -> Self {
        Self {
            bands,
            from_s: 0.0,
            to_s: f64::INFINITY,
        }
    }

    /// Returns the mean square in each band of each channel: `result[channel][band]`. NaN where a band is not held
    /// by the rate ([`holds`]), or nothing was to be measured.
    ///
    /// Channels are as long as the shortest.
    ///
    /// Bands that are filtered at twice the rate take as long as all others, share nothing with them and have a thread of
    /// their own.
    pub fn mean_squares(&self, channels: &[&[f32]], rate_hz: f64) -> Vec<Vec<f64>> {
        let high = |at: &usize| self.bands[*at].edges_hz().1 > KEPT * rate_hz;
        let (high, low): (Vec<usize>, Vec<usize>) = (0..self.bands.len()).partition(high);
        let length = channels.iter().map(|c| c.len()).min().unwrap_or(0);
        if high.is_empty() || low.is_empty() || length < SHARED {
            return self.in_one_pass(channels, rate_hz);
        }
        let part = |which: &[usize]| Self {
            bands: which.iter().map(|at| self.bands[*at]).collect(),
            ..*self
        };
        let (above, below) = (part(&high), part(&low));
        let (upper, lower) = std::thread::scope(|scope| {
            let upper = scope.spawn(|| above.in_one_pass(channels, rate_hz));
            let lower = below.in_one_pass(channels, rate_hz);
            // A thread that could not end leaves its part to this one.
            let upper = upper.join();
            (
                upper.unwrap_or_else(|_| above.in_one_pass(channels, rate_hz)),
                lower,
            )
        });
        let mut out = vec![vec![f64::NAN; self.bands.len()]; channels.len()];
        for (which, found) in [(&high, &upper), (&low, &lower)] {
            for (to, from) in out.iter_mut().zip(found) {
                for (at, mean) in which.iter().zip(from) {
                    to[*at] = *mean;
                }
            }
        }
        out
    }

    fn in_one_pass(&self, channels: &[&[f32]], rate_hz: f64) -> Vec<Vec<f64>> {
        pulp::Arch::new().dispatch(Pass {
            bank: self,
            channels,
            rate_hz,
        })
    }

    /// Returns what is filtered at which rate, from the highest down; the first may be twice that of the recording.
    fn stages(&self, channels: usize, rate_hz: f64) -> Vec<Stage> {
        let mut stages: Vec<Stage> = Vec::new();
        let mut left: Vec<usize> = (0..self.bands.len())
            .filter(|at| holds(self.bands[*at], rate_hz))
            .collect();
        let high = |at: &usize| self.bands[*at].edges_hz().1 > KEPT * rate_hz;
        let mut rate = if left.iter().any(high) {
            2.0 * rate_hz
        } else {
            rate_hz
        };
        while !left.is_empty() {
            let fits = |at: &usize| self.bands[*at].edges_hz().1 <= KEPT * rate / 2.0;
            let (lower, here): (Vec<usize>, Vec<usize>) = left.into_iter().partition(fits);
            stages.push(Stage::new(&self.bands, here, channels, rate));
            left = lower;
            rate /= 2.0;
        }
        for stage in &mut stages {
            stage.first = (self.from_s * stage.rate_hz).ceil() as u64;
            stage.end = (self.to_s * stage.rate_hz).floor() as u64;
        }
        stages
    }
}

/// Says whether a rate holds a band: 20 kHz at 48 kHz, 16 kHz at 44.1 kHz.
pub fn holds(band: Band, rate_hz: f64) -> bool {
    band.edges_hz().1 <= RAISED * rate_hz
}

/// What is filtered at one rate.
struct Stage {
    rate_hz: f64,
    bands: Vec<usize>,
    filters: Vec<Bandpass>,
    /// a₁ and a₂ by section, each over the bands.
    coefficients: [[Vec<f64>; 2]; 3],
    channels: Vec<Channel>,
    first: u64,
    end: u64,
    at: u64,
}

/// One channel at one rate.
struct Channel {
    /// Both memories by section, each over the bands.
    memory: [[Vec<f64>; 2]; 3],
    squares: Vec<f64>,
    down: Down,
    /// Samples turned over, as the sections take them.
    block: Vec<f64>,
}

impl Stage {
    fn new(all: &[Band], bands: Vec<usize>, channels: usize, rate_hz: f64) -> Self {
        let design = |at: &usize| {
            let (low, high) = all[*at].edges_hz();
            Bandpass::new(low, high, rate_hz)
        };
        let filters: Vec<Bandpass> = bands.iter().map(design).collect();
        let row = |section: usize, which: usize| {
            let of = |filter: &Bandpass| filter.sections[section][which];
            filters.iter().map(of).collect()
        };
        let coefficients = [0, 1, 2].map(|section| [row(section, 0), row(section, 1)]);
        let none = || vec![0.0; bands.len()];
        let channel = |_| Channel {
            memory: [(); 3].map(|()| [none(), none()]),
            squares: none(),
            down: Down::new(),
            block: Vec::new(),
        };
        Self {
            rate_hz,
            channels: (0..channels).map(channel).collect(),
            coefficients,
            filters,
            bands,
            first: 0,
            end: u64::MAX,
            at: 0,
        }
    }

    /// Returns which samples of the block that begins at `at` count.
    fn counted(&self, length: usize) -> std::ops::Range<usize> {
        let within = |x: u64| x.saturating_sub(self.at).min(length as u64) as usize;
        within(self.first)..within(self.end).max(within(self.first))
    }
}

struct Pass<'a> {
    bank: &'a Bank,
    channels: &'a [&'a [f32]],
    rate_hz: f64,
}

impl WithSimd for Pass<'_> {
    type Output = Vec<Vec<f64>>;

    #[inline(always)]
    fn with_simd<S: Simd>(self, simd: S) -> Self::Output {
        let count = self.channels.len();
        let mut stages = self.bank.stages(count, self.rate_hz);
        let length = self.channels.iter().map(|c| c.len()).min().unwrap_or(0);
        let mut ups = vec![Up::new(); count];
        let mut block = Vec::with_capacity(BLOCK);
        let mut begin = 0;
        while begin < length {
            let end = (begin + BLOCK).min(length);
            let Some((first, rest)) = stages.split_first_mut() else {
                break;
            };
            let raised = first.rate_hz > self.rate_hz;
            let mut plain = if raised { rest.first_mut() } else { None };
            for (c, samples) in self.channels.iter().enumerate() {
                block.clear();
                block.extend(samples[begin..end].iter().map(|x| -f64::from(*x)));
                let to = &mut first.channels[c].block;
                to.clear();
                if raised {
                    ups[c].take(&block, end == length, to);
                    // What comes at the rate of the recording comes as it was recorded.
                    if let Some(plain) = &mut plain {
                        plain.channels[c].block.clone_from(&block);
                    }
                } else {
                    to.extend_from_slice(&block);
                }
            }
            let (above, below) = stages.split_at_mut(usize::from(raised));
            // No closure: what it calls would be called without wide vectors.
            for stage in above {
                filter(simd, stage);
            }
            through(simd, below, end == length);
            begin = end;
        }
        let mut out = vec![vec![f64::NAN; self.bank.bands.len()]; count];
        for stage in &stages {
            let counted = stage.at.min(stage.end).saturating_sub(stage.first);
            for (channel, means) in stage.channels.iter().zip(&mut out) {
                for (k, band) in stage.bands.iter().enumerate() {
                    let gain = stage.filters[k].gain;
                    means[*band] = channel.squares[k] * gain * gain / counted as f64;
                }
            }
        }
        out
    }
}

/// Takes the block that the first stage holds through all of them.
#[inline(always)]
fn through<S: Simd>(simd: S, stages: &mut [Stage], last: bool) {
    for at in 0..stages.len() {
        let (here, below) = stages[at..].split_at_mut(1);
        filter(simd, &mut here[0]);
        let Some(next) = below.first_mut() else {
            return;
        };
        for (channel, to) in here[0].channels.iter_mut().zip(&mut next.channels) {
            to.block.clear();
            channel.down.take(&channel.block, last, &mut to.block);
        }
    }
}

/// Filters the blocks of a stage, two channels at a time: one waits for its own last sample, the other need not.
#[inline(always)]
fn filter<S: Simd>(simd: S, stage: &mut Stage) {
    let length = stage.channels.first().map_or(0, |c| c.block.len());
    let counted = stage.counted(length);
    let coefficients = &stage.coefficients;
    for first in (0..stage.bands.len()).step_by(S::F64_LANES) {
        let lanes = first..(first + S::F64_LANES).min(stage.bands.len());
        let (pairs, single) = stage.channels.as_chunks_mut::<2>();
        for pair in pairs {
            sections(simd, coefficients, pair, lanes.clone(), counted.clone());
        }
        if let [channel] = single {
            let alone = std::array::from_mut(channel);
            sections(simd, coefficients, alone, lanes, counted.clone());
        }
    }
    stage.at += length as u64;
}

/// Filters the block of each channel in the bands of `lanes` and adds up the squares of what is counted.
#[inline(always)]
fn sections<S: Simd, const N: usize>(
    simd: S,
    coefficients: &[[Vec<f64>; 2]; 3],
    channels: &mut [Channel; N],
    lanes: std::ops::Range<usize>,
    counted: std::ops::Range<usize>,
) {
    let load = |values: &Vec<f64>| simd.partial_load_f64s(&values[lanes.clone()]);
    let a = [0, 1, 2].map(|k: usize| coefficients[k].each_ref().map(load));
    let mut memory: [[[S::f64s; 2]; 3]; N] = std::array::from_fn(|c| {
        [0, 1, 2].map(|k: usize| {
            let [one, two] = &channels[c].memory[k];
            [load(one), load(two)]
        })
    });
    let mut squares: [S::f64s; N] = std::array::from_fn(|c| load(&channels[c].squares));
    let blocks: [&[f64]; N] = std::array::from_fn(|c| channels[c].block.as_slice());
    let length = blocks[0].len();
    for (range, counts) in [
        (0..counted.start, false),
        (counted.clone(), true),
        (counted.end..length, false),
    ] {
        run(
            simd,
            &a,
            blocks.map(|block| &block[range.clone()]),
            &mut memory,
            if counts { Some(&mut squares) } else { None },
        );
    }
    for ((channel, held), sum) in channels.iter_mut().zip(&memory).zip(squares) {
        let to = channel.memory.iter_mut().flatten();
        for (to, what) in to.zip(held.iter().flatten()) {
            let to = &mut to[lanes.clone()];
            simd.partial_store_f64s(to, *what);
            for value in to {
                if value.abs() < NOTHING {
                    *value = 0.0;
                }
            }
        }
        simd.partial_store_f64s(&mut channel.squares[lanes.clone()], sum);
    }
}

/// Runs the sections over a block of each channel.
///
/// With x and y both negated a section needs one subtraction and two products: y = x − s₁, s₁ = a₁y + s₂, s₂ = a₂y + x.
#[inline(always)]
fn run<S: Simd, const N: usize>(
    simd: S,
    a: &[[S::f64s; 2]; 3],
    blocks: [&[f64]; N],
    memory: &mut [[[S::f64s; 2]; 3]; N],
    squares: Option<&mut [S::f64s; N]>,
) {
    let length = blocks.iter().map(|block| block.len()).min().unwrap_or(0);
    let blocks = blocks.map(|block| &block[..length]);
    let mut held = *memory;
    let mut sums = [simd.splat_f64s(0.0); N];
    #[allow(
        clippy::needless_range_loop,
        reason = "one sample of every channel at a time; adapters of iterators stay calls here"
    )]
    for t in 0..length {
        for c in 0..N {
            let mut x = simd.splat_f64s(blocks[c][t]);
            for k in 0..3 {
                let [one, two] = held[c][k];
                let y = simd.sub_f64s(x, one);
                held[c][k][0] = simd.mul_add_e_f64s(a[k][0], y, two);
                held[c][k][1] = simd.mul_add_e_f64s(a[k][1], y, x);
                x = y;
            }
            sums[c] = simd.mul_add_e_f64s(x, x, sums[c]);
        }
    }
    *memory = held;
    if let Some(squares) = squares {
        for (square, sum) in squares.iter_mut().zip(sums) {
            *square = simd.add_f64s(*square, sum);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bands::between;

    /// Two threads give the very bits that one gives.
    #[test]
    fn a_thread_of_its_own_changes_nothing() {
        let mut state = 1_u32;
        let mut noise = || {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            (state >> 8) as f32 / 16_777_216.0 - 0.5
        };
        let (left, right): (Vec<f32>, Vec<f32>) =
            (0..SHARED + 77).map(|_| (noise(), noise())).unzip();
        let mut bank = Bank::new(between(3, 50.0, 16_000.0));
        bank.from_s = 0.3;
        for rate_hz in [48_000.0, 44_100.0, 16_000.0] {
            let shared = bank.mean_squares(&[&left, &right], rate_hz);
            let alone = bank.in_one_pass(&[&left, &right], rate_hz);
            let bits = |all: &[Vec<f64>]| -> Vec<u64> {
                all.iter().flatten().map(|mean| mean.to_bits()).collect()
            };
            assert_eq!(bits(&shared), bits(&alone));
        }
    }
}
