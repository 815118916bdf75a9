//! A delay between two recordings whose clocks run apart.
//!
//! In: two channels with a common sound. Out: the delay at the beginning and how it changes, in parts per million.
//! Not here: the delay of one window (`delay`).
//!
//! With y(t) = x(t(1 + δ) − τ) the delay at time t of y is τ − δt. One long window blurs the peak: at 100 ppm and 30 s
//! a tenth of it is left. So short windows are taken and a straight line is laid through their delays, each at
//! the middle of what overlaps, in the time of y.

use crate::delay::{NoDelay, Options, delay};

/// Length of a window, seconds.
const WINDOW_S: f64 = 1.0;
/// Most windows, spread over the recording.
const WINDOWS: usize = 60;
/// Parts in which the first delay is looked for, seconds, one after the other: the longest holds the largest delay, the
/// shortest is blurred the least.
const COARSE_S: [f64; 3] = [20.0, 5.0, 1.5];
/// Clocks of recorders differ by less; more is another rate.
pub const CLOCKS_PPM: f64 = 1000.0;

/// A delay that changes.
#[derive(Debug, Clone, PartialEq)]
pub struct Track {
    /// How much later the second is at its beginning, seconds.
    pub delay_s: f64,
    /// Standard uncertainty of that.
    pub u_s: f64,
    /// How much faster the clock of the second recorder seems to run: δ, parts per million.
    pub ppm: f64,
    /// Standard uncertainty of that.
    pub u_ppm: f64,
    /// Time of the second recording and delay there, by window, seconds.
    pub windows: Vec<(f64, f64)>,
    /// Windows in which none was found.
    pub lost: usize,
}

/// Follows the delay of `second` behind `first`.
///
/// # Errors
/// No delay can be told at the beginning, or in fewer than three windows.
pub fn follow(
    first: &[f32],
    second: &[f32],
    rate_hz: f64,
    options: &Options,
) -> Result<Track, NoDelay> {
    let shift = coarse(first, second, rate_hz, options)?.round() as i64;
    let window = (WINDOW_S * rate_hz) as i64;
    let begin = 0.max(-shift);
    let end = (first.len() as i64).min(second.len() as i64 - shift);
    let fits = ((end - begin) / window).max(0) as usize;
    if fits < 3 {
        return Err(NoDelay::Short);
    }
    let count = fits.min(WINDOWS);
    let inside = Options {
        within_s: (-WINDOW_S / 4.0, WINDOW_S / 4.0),
        ..*options
    };
    let mut windows = Vec::new();
    let mut lost = 0;
    // What was found last tells where to look next: clocks may run far apart in an hour.
    let mut expected = shift;
    for k in 0..count {
        let at = begin + (end - begin - window) * k as i64 / (count as i64 - 1);
        let of_second = (at + expected).clamp(0, second.len() as i64 - window);
        let cut = |samples: &[f32], at: i64| samples[at as usize..(at + window) as usize].to_vec();
        let (x, y) = (cut(first, at), cut(second, of_second));
        match delay(&x, &y, rate_hz, &inside) {
            Ok(found) => {
                let total = (of_second - at) as f64 + found.samples;
                expected = total.round() as i64;
                let middle = of_second as f64 + (window as f64 + found.samples) / 2.0;
                windows.push((middle / rate_hz, total / rate_hz));
            }
            Err(_) => lost += 1,
        }
    }
    line(windows, lost).ok_or(NoDelay::NotFound { over_noise: 0.0 })
}

/// Returns about how many samples later the second is at its beginning.
fn coarse(first: &[f32], second: &[f32], rate_hz: f64, options: &Options) -> Result<f64, NoDelay> {
    let mut found = Err(NoDelay::Short);
    for part_s in COARSE_S {
        let most = (part_s * rate_hz) as usize;
        let cut = |samples: &'_ [f32]| samples.len().min(most);
        let (x, y) = (&first[..cut(first)], &second[..cut(second)]);
        found = delay(x, y, rate_hz, options).map(|found| found.samples);
        if found.is_ok() {
            break;
        }
    }
    found
}

fn line(windows: Vec<(f64, f64)>, lost: usize) -> Option<Track> {
    if windows.len() < 3 {
        return None;
    }
    let count = windows.len() as f64;
    let mean = |of: fn(&(f64, f64)) -> f64| windows.iter().map(of).sum::<f64>() / count;
    let (t, d) = (mean(|w| w.0), mean(|w| w.1));
    let spread: f64 = windows.iter().map(|w| (w.0 - t).powi(2)).sum();
    let slope = windows.iter().map(|w| (w.0 - t) * (w.1 - d)).sum::<f64>() / spread;
    let rest: f64 = windows
        .iter()
        .map(|w| (w.1 - d - slope * (w.0 - t)).powi(2))
        .sum();
    let variance = rest / (count - 2.0);
    Some(Track {
        delay_s: d - slope * t,
        u_s: (variance * (1.0 / count + t * t / spread)).sqrt(),
        ppm: -slope * 1e6,
        u_ppm: (variance / spread).sqrt() * 1e6,
        windows,
        lost,
    })
}
