//! How much later one channel is than another.
//!
//! In: two channels with a common sound. Out: the delay between samples, with its uncertainty, or why none can be told.
//! Not here: clocks that run apart (`drift`).
//!
//! Generalised cross-correlation (Knapp and Carter 1976) of what lies in a band, held against the energy of what
//! overlaps. The highest separate peak of the absolute value counts, between samples by the maximum of the
//! band-limited correlation or, where noise matters less than ends, by a straight line through the phase. It is
//! refused where another peak is as high, as in periodic sounds, or one nearly as high comes earlier, as the direct sound before a loud echo.
//! The uncertainty is the Cramér-Rao bound for noise in both channels; below the threshold under which that says
//! nothing, no delay is told.

use crate::fourier::{Bin, Fourier};
use std::f64::consts::PI;

/// A second peak this high, as a share of the highest, makes the delay ambiguous.
pub const AMBIGUOUS: f64 = 0.9;
/// An earlier peak this high, as a share of the highest, may be the direct sound before an echo.
pub const EARLIER: f64 = 0.6;
/// Least height of a peak over the root mean square of the rest: at −6 dB in both channels 1 in 300 draws fails, at
/// −10 dB 1 in 7.
pub const OVER_NOISE: f64 = 6.0;
/// Least share of a channel that has to overlap.
const OVERLAP: f64 = 0.25;
/// Least uncertainty: what windows and ends leave, samples.
const LEAST_U: f64 = 0.001;
/// Bins weighed as one when the band is told that carries the sound.
const SMOOTHED: usize = 16;
/// From this coefficient on the two channels are alike, whatever stands beside the peak.
const CLEAR: f64 = 0.5;
/// Share of the strongest bin below which a bin carries no signal.
const CARRIES: f64 = 1e-3;

/// How bins are weighed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Weight {
    /// As strong as they are.
    #[default]
    Plain,
    /// By their phase alone, those that carry a signal.
    Phase,
}

/// What is looked at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Options {
    /// Lowest frequency, hertz: below it stand hum and handling.
    pub low_hz: f64,
    /// Highest frequency, hertz.
    pub high_hz: f64,
    /// Earliest and latest delay that may be, seconds.
    pub within_s: (f64, f64),
    /// How bins are weighed.
    pub weight: Weight,
}

impl Default for Options {
    fn default() -> Self {
        Self {
            low_hz: 200.0,
            high_hz: f64::INFINITY,
            within_s: (f64::NEG_INFINITY, f64::INFINITY),
            weight: Weight::Plain,
        }
    }
}

/// A delay.
#[derive(Debug, Clone, PartialEq)]
pub struct Delay {
    /// How much later the second channel is, samples.
    pub samples: f64,
    /// Its standard uncertainty, samples.
    pub u_samples: f64,
    /// Coefficient of correlation at the peak; negative where one channel is turned over.
    pub coefficient: f64,
    /// Height of the next separate peak, as a share of this one.
    pub next: f64,
    /// The correlation around the peak: lags in samples and coefficients.
    pub around: Vec<(f64, f64)>,
}

/// Why no delay is told.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum NoDelay {
    /// A channel is silent in the band.
    #[error("a channel is silent in the band that is looked at")]
    Silent,
    /// Too little to be correlated.
    #[error("the channels are too short")]
    Short,
    /// No peak stands out.
    #[error(
        "no peak stands out of the noise (the highest has {over_noise:.1} times its root mean square)"
    )]
    NotFound {
        /// Height of the highest peak over the root mean square of the rest.
        over_noise: f64,
    },
    /// Two peaks are as high as each other.
    #[error(
        "two delays fit as well as each other, {first:.1} and {second:.1} samples: the sound repeats itself, or comes back as an echo"
    )]
    Ambiguous {
        /// The delay of the higher one, samples.
        first: f64,
        /// That of the other, samples.
        second: f64,
    },
    /// A lower peak comes before the highest.
    #[error(
        "a peak at {earlier:.1} samples comes before the highest at {highest:.1}: the later one may be an echo"
    )]
    Earlier {
        /// The earlier one, samples.
        earlier: f64,
        /// The highest, samples.
        highest: f64,
    },
}

impl NoDelay {
    /// Says what to do.
    pub fn remedy(&self) -> &'static str {
        match self {
            Self::Silent => "record it again, louder, or state another band",
            Self::Short => "record at least a tenth of a second",
            Self::NotFound { .. } => {
                "check that both files have the rate they state, or record it again, nearer and in quiet"
            }
            Self::Ambiguous { .. } | Self::Earlier { .. } => {
                "use a sound that does not repeat itself, speech or one clap, or state within which delay it must lie"
            }
        }
    }
}

/// Returns how much later `second` is than `first`.
///
/// # Errors
/// Why none can be told.
pub fn delay(
    first: &[f32],
    second: &[f32],
    rate_hz: f64,
    options: &Options,
) -> Result<Delay, NoDelay> {
    let pair = Pair::new(first, second, rate_hz, options)?;
    let correlation = pair.correlation(options.weight);
    let (peak, next) = pair.peak(&correlation, rate_hz, options)?;
    let lag = pair.lag(peak);
    let sign = correlation[peak].signum();
    let (between, higher) = pair.maximum(lag as f64, sign, options.weight);
    let coefficient = (correlation[peak] * higher).clamp(-1.0, 1.0);
    let bound = pair.bound(coefficient.abs(), rate_hz);
    // The straight line is not moved by ends, for which its window pays with more noise.
    let samples = if bound < LEAST_U {
        pair.straight_line(between, sign, rate_hz)
            .unwrap_or(between)
    } else {
        between
    };
    Ok(Delay {
        samples,
        u_samples: bound.hypot(LEAST_U),
        coefficient,
        next,
        around: pair.around(&correlation, peak),
    })
}

/// Two channels in the band, and their cross spectrum.
struct Pair {
    fourier: Fourier,
    length: usize,
    first: Vec<f64>,
    second: Vec<f64>,
    cross: Vec<Bin>,
}

impl Pair {
    fn new(
        first: &[f32],
        second: &[f32],
        rate_hz: f64,
        options: &Options,
    ) -> Result<Self, NoDelay> {
        if first.len().min(second.len()) < 64 {
            return Err(NoDelay::Short);
        }
        let length = (first.len() + second.len()).next_power_of_two();
        let fourier = Fourier::new(length);
        let step = rate_hz / length as f64;
        let in_band = |samples: &[f32]| {
            let mean = samples.iter().map(|x| f64::from(*x)).sum::<f64>() / samples.len() as f64;
            let centred = samples.iter().map(|x| f64::from(*x) - mean);
            let whole = options.low_hz <= step && options.high_hz >= rate_hz / 2.0;
            if whole {
                return centred.collect();
            }
            let mut bins = fourier.spectrum(centred);
            for (k, bin) in bins.iter_mut().enumerate() {
                let hz = k as f64 * step;
                if hz < options.low_hz || hz > options.high_hz {
                    *bin = Bin::default();
                }
            }
            let mut out = fourier.samples(bins);
            out.truncate(samples.len());
            out
        };
        let (first, second): (Vec<f64>, Vec<f64>) = (in_band(first), in_band(second));
        let energy = |samples: &[f64]| samples.iter().map(|x| x * x).sum::<f64>();
        // A millionth of a step of 24 bits is no sound.
        let silent = |samples: &[f64]| energy(samples) <= 1e-26 * samples.len() as f64;
        if silent(&first) || silent(&second) {
            return Err(NoDelay::Silent);
        }
        let from = fourier.spectrum(first.iter().copied());
        let mut cross = fourier.spectrum(second.iter().copied());
        for (to, from) in cross.iter_mut().zip(&from) {
            *to *= from.conj();
        }
        Ok(Self {
            fourier,
            length,
            first,
            second,
            cross,
        })
    }

    fn lag(&self, at: usize) -> i64 {
        let at = at as i64;
        let length = self.length as i64;
        if at > length / 2 { at - length } else { at }
    }

    fn weighed(&self, weight: Weight) -> Vec<Bin> {
        let mut bins = self.cross.clone();
        if weight == Weight::Phase {
            let strongest = bins.iter().map(|bin| bin.norm()).fold(0.0, f64::max);
            for bin in &mut bins {
                let size = bin.norm();
                *bin = if size > CARRIES * strongest {
                    *bin / size
                } else {
                    Bin::default()
                };
            }
        }
        bins
    }

    /// Returns how many pairs of samples a lag leaves.
    fn overlap(&self, lag: i64) -> i64 {
        let (n, m) = (self.first.len() as i64, self.second.len() as i64);
        n.min(m - lag) - 0.max(-lag)
    }

    /// Returns how surely a coefficient at a place of the correlation is more than chance: its size, by the root of
    /// what overlaps.
    fn weight_of(&self, values: &[f64], at: usize) -> f64 {
        let most = self.first.len().min(self.second.len()) as f64;
        values[at].abs() * (self.overlap(self.lag(at)).max(0) as f64 / most).sqrt()
    }

    /// Returns the coefficient of correlation by lag; zero where too little overlaps.
    fn correlation(&self, weight: Weight) -> Vec<f64> {
        let mut values = self.fourier.samples(self.weighed(weight));
        let sums = |samples: &[f64]| {
            let mut sum = 0.0;
            let mut out = vec![0.0];
            out.extend(samples.iter().map(|x| {
                sum += x * x;
                sum
            }));
            out
        };
        let (first, second) = (sums(&self.first), sums(&self.second));
        let (n, m) = (self.first.len() as i64, self.second.len() as i64);
        let least = (OVERLAP * n.min(m) as f64) as i64;
        let all = (first[n as usize], second[m as usize]);
        for (at, value) in values.iter_mut().enumerate() {
            let lag = self.lag(at);
            let (begin, end) = (0.max(-lag), n.min(m - lag));
            if end - begin < least.max(1) {
                *value = 0.0;
                continue;
            }
            let part = |sums: &[f64], shift: i64| {
                sums[(end + shift) as usize] - sums[(begin + shift) as usize]
            };
            let (a, b) = (part(&first, 0), part(&second, lag));
            if a < OVERLAP * all.0 * 0.5 || b < OVERLAP * all.1 * 0.5 {
                *value = 0.0;
                continue;
            }
            if weight == Weight::Plain {
                *value /= (a * b).sqrt();
            }
        }
        if weight == Weight::Phase {
            let weighed = self.weighed(weight);
            let carrying = weighed.iter().filter(|bin| bin.norm_sqr() > 0.0).count();
            let most = 2.0 * carrying as f64 / self.length as f64;
            values.iter_mut().for_each(|value| *value /= most);
        }
        values
    }

    /// Finds the peak that counts, and how high the next separate one is.
    fn peak(
        &self,
        values: &[f64],
        rate_hz: f64,
        options: &Options,
    ) -> Result<(usize, f64), NoDelay> {
        let weight = |at: usize| self.weight_of(values, at);
        let (early, late) = options.within_s;
        let allowed = |at: &usize| {
            let lag_s = self.lag(*at) as f64 / rate_hz;
            values[*at] != 0.0 && early <= lag_s && lag_s <= late
        };
        let highest = (0..self.length)
            .filter(&allowed)
            .max_by(|a, b| weight(*a).total_cmp(&weight(*b)))
            .ok_or(NoDelay::NotFound { over_noise: 0.0 })?;
        let height = weight(highest);
        let lobe = self.lobe(values, highest);
        let far = |at: &usize| (self.lag(*at) - self.lag(highest)).unsigned_abs() > lobe;
        let mut squares = (0.0, 0_usize);
        let mut next: Option<usize> = None;
        let mut earlier: Option<usize> = None;
        for at in (0..self.length).filter(far) {
            let value = weight(at);
            if value == 0.0 {
                continue;
            }
            squares = (squares.0 + value * value, squares.1 + 1);
            if !allowed(&at) {
                continue;
            }
            if next.is_none_or(|next| value > weight(next)) {
                next = Some(at);
            }
            let before = self.lag(at) < self.lag(highest);
            if before && earlier.is_none_or(|earlier| value > weight(earlier)) {
                earlier = Some(at);
            }
        }
        let rest = (squares.0 / squares.1.max(1) as f64).sqrt();
        let over_noise = height / rest;
        let next_height = next.map_or(0.0, |next| weight(next) / height);
        // What repeats itself has no rest that is noise, so that its peaks stand out of nothing.
        if over_noise < OVER_NOISE && values[highest].abs() < CLEAR {
            return Err(NoDelay::NotFound { over_noise });
        }
        if let Some(next) = next
            && next_height > AMBIGUOUS
        {
            return Err(NoDelay::Ambiguous {
                first: self.lag(highest) as f64,
                second: self.lag(next) as f64,
            });
        }
        if over_noise < OVER_NOISE {
            return Err(NoDelay::NotFound { over_noise });
        }
        if let Some(earlier) = earlier
            && weight(earlier) > EARLIER * height
        {
            return Err(NoDelay::Earlier {
                earlier: self.lag(earlier) as f64,
                highest: self.lag(highest) as f64,
            });
        }
        Ok((highest, next_height))
    }

    /// Returns half the width of what belongs to a peak: twice the way to half its height.
    fn lobe(&self, values: &[f64], peak: usize) -> u64 {
        let half = values[peak].abs() / 2.0;
        let way = |step: usize| {
            (1..self.length / 4)
                .find(|k| values[(peak + k * step) % self.length].abs() < half)
                .unwrap_or(1) as u64
        };
        2 * way(1).max(way(self.length - 1)) + 1
    }

    /// Returns where the band-limited correlation has its maximum, near a lag, and how high it is over that at the lag.
    fn maximum(&self, lag: f64, sign: f64, weight: Weight) -> (f64, f64) {
        let bins = self.weighed(weight);
        let step = 2.0 * PI / self.length as f64;
        // Value, slope and bend at a place.
        let look = |at: f64| {
            let (mut value, mut slope, mut bend) = (0.0, 0.0, 0.0);
            for (k, bin) in bins.iter().enumerate() {
                if *bin == Bin::default() {
                    continue;
                }
                let w = step * k as f64;
                let (sin, cos) = (w * at).sin_cos();
                let here = bin.re * cos - bin.im * sin;
                value += here;
                slope -= w * (bin.re * sin + bin.im * cos);
                bend -= w * w * here;
            }
            (value, slope, bend)
        };
        let begin = look(lag).0;
        let mut at = lag;
        for _ in 0..8 {
            let (_, slope, bend) = look(at);
            if sign * bend >= 0.0 {
                return (lag, 1.0);
            }
            let move_by = (-slope / bend).clamp(-0.5, 0.5);
            at += move_by;
            if move_by.abs() < 1e-9 {
                break;
            }
        }
        if (at - lag).abs() <= 1.0 {
            (at, look(at).0 / begin)
        } else {
            (lag, 1.0)
        }
    }

    /// Returns the delay from a straight line through the phase, after whole samples were taken off. `None` if it
    /// contradicts the peak: the phase is no straight line then.
    fn straight_line(&self, near: f64, sign: f64, rate_hz: f64) -> Option<f64> {
        let lag = near.round() as i64;
        let (n, m) = (self.first.len() as i64, self.second.len() as i64);
        let (begin, end) = (0.max(-lag), n.min(m - lag));
        let first = &self.first[begin as usize..end as usize];
        let second = &self.second[(begin + lag) as usize..(end + lag) as usize];
        let count = first.len();
        let window = |k: usize| 0.5 - 0.5 * (2.0 * PI * k as f64 / (count - 1) as f64).cos();
        let windowed = |samples: &[f64]| {
            let values: Vec<f64> = samples
                .iter()
                .enumerate()
                .map(|(k, x)| x * window(k))
                .collect();
            values
        };
        let length = count.next_power_of_two();
        let fourier = Fourier::new(length);
        let from = fourier.spectrum(windowed(first).into_iter());
        let to = fourier.spectrum(windowed(second).into_iter());
        let step = 2.0 * PI / length as f64;
        // Below 50 Hz a phase tells little of time; near half the rate filters bend it.
        let low = (50.0 / rate_hz * length as f64) as usize + 1;
        let high = (0.45 * length as f64) as usize;
        let (mut top, mut bottom) = (0.0, 0.0);
        for k in low..high {
            let cross = to[k] * from[k].conj() * sign;
            let (weight, w) = (cross.norm(), step * k as f64);
            top += weight * w * cross.arg();
            bottom += weight * w * w;
        }
        let out = lag as f64 - top / bottom;
        ((out - near).abs() < 0.05).then_some(out)
    }

    /// Returns the Cramér-Rao bound for a coefficient of correlation, samples.
    fn bound(&self, coefficient: f64, rate_hz: f64) -> f64 {
        let coefficient = coefficient.min(0.999_99);
        let snr = coefficient / (1.0 - coefficient);
        let step = rate_hz / self.length as f64;
        let sizes = self.cross.chunks(SMOOTHED).enumerate().map(|(at, bins)| {
            let hz = (at as f64 + 0.5) * SMOOTHED as f64 * step;
            let mean = bins.iter().map(|bin| bin.norm()).sum::<f64>() / bins.len() as f64;
            (hz, mean)
        });
        let (mut sum, mut squares, mut moment) = (0.0, 0.0, 0.0);
        for (hz, size) in sizes {
            sum += size;
            squares += size * size;
            moment += size * hz * hz;
        }
        let width = sum * sum / squares * SMOOTHED as f64 * step;
        let square_hz = moment / sum;
        let seconds = self.first.len().min(self.second.len()) as f64 / rate_hz;
        let information =
            8.0 * PI * PI * seconds * width * square_hz * snr * snr / (1.0 + 2.0 * snr);
        rate_hz / information.sqrt()
    }

    fn around(&self, values: &[f64], peak: usize) -> Vec<(f64, f64)> {
        let half = 100_i64.min(self.length as i64 / 4);
        (-half..=half)
            .map(|k| {
                let at = (peak as i64 + k).rem_euclid(self.length as i64) as usize;
                (self.lag(at) as f64, values[at])
            })
            .collect()
    }
}
