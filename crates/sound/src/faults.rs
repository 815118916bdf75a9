//! What is wrong with the samples of a channel: clipping, missing samples, silence.
//!
//! In: samples. Out: counts. Not here: what follows from them.
//! Source: thresholds are common practice; each is named beside its constant.

/// Equal samples at full scale that count as clipped.
const CLIPPED_RUN: usize = 3;
/// From this on a sample is at full scale: two steps of 16 bits below it.
const FULL_SCALE: f32 = 1.0 - 2.0 / 32_768.0;
/// A plateau below full scale counts as clipped where the signal steps into it by this share of its peak.
const STEP: f32 = 0.01;
/// Silence inside a signal counts as missing from this length on, seconds.
const MISSING_S: f64 = 0.001;
/// What stands before and after missing samples, seconds.
const BESIDE_S: f64 = 0.01;
/// Least root mean square beside missing samples: a signal, and not the end of one.
const SIGNAL: f64 = 1e-3;

/// What is wrong with a channel.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Faults {
    /// Places where the signal was cut off at the top or the bottom.
    pub clipped: usize,
    /// Places where samples are missing: silence to the last bit inside a signal.
    pub dropouts: usize,
    /// There is nothing but silence.
    pub silent: bool,
}

impl Faults {
    /// Looks through a channel.
    pub fn of(samples: &[f32], rate_hz: f64) -> Self {
        let peak = samples.iter().fold(0.0_f32, |peak, x| peak.max(x.abs()));
        if peak == 0.0 {
            return Self {
                silent: true,
                ..Self::default()
            };
        }
        Self {
            clipped: clipped(samples, peak),
            dropouts: dropouts(samples, rate_hz),
            silent: false,
        }
    }
}

/// Counts runs of samples at one and the same end of what the channel reaches.
fn clipped(samples: &[f32], peak: f32) -> usize {
    let at_full_scale = peak >= FULL_SCALE;
    let mut count = 0;
    let mut at = 0;
    while at < samples.len() {
        let x = samples[at];
        let top = if at_full_scale {
            x.abs() >= FULL_SCALE
        } else {
            x.abs() == peak
        };
        if !top {
            at += 1;
            continue;
        }
        let same = |y: &&f32| {
            y.signum() == x.signum()
                && (if at_full_scale {
                    y.abs() >= FULL_SCALE
                } else {
                    **y == x
                })
        };
        let run = samples[at..].iter().take_while(same).count();
        let before = at.checked_sub(1).map_or(0.0, |before| samples[before]);
        let steep = at_full_scale || (x - before).abs() >= STEP * peak;
        if run >= CLIPPED_RUN && steep {
            count += 1;
        }
        at += run;
    }
    count
}

fn dropouts(samples: &[f32], rate_hz: f64) -> usize {
    let least = ((rate_hz * MISSING_S) as usize).max(16);
    let beside = ((rate_hz * BESIDE_S) as usize).max(1);
    let loud =
        |part: &[f32]| !part.is_empty() && crate::recording::mean_square(part) >= SIGNAL * SIGNAL;
    let mut count = 0;
    let mut at = 0;
    while at < samples.len() {
        if samples[at] != 0.0 {
            at += 1;
            continue;
        }
        let run = samples[at..].iter().take_while(|x| **x == 0.0).count();
        let end = at + run;
        if run >= least
            && loud(&samples[at.saturating_sub(beside)..at])
            && loud(&samples[end..(end + beside).min(samples.len())])
        {
            count += 1;
        }
        at = end;
    }
    count
}
