//! One event heard and seen: when a sound begins, how far it is from a picture.
//!
//! In: samples, or a frame of a film and its rate. Out: times with their uncertainty. Not here: films.
//!
//! A frame shows what was before it: an event first seen in frame n (the first is 0) happened between the times of
//! frames n − 1 and n, anywhere, so that half a frame is the least that is unknown.

/// A time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moment {
    /// Seconds from the beginning.
    pub s: f64,
    /// Its standard uncertainty, seconds.
    pub u_s: f64,
}

/// Share of the loudest sample at which a sound has begun.
const BEGUN: f32 = 0.1;
/// Over the quiet before, at least.
const OVER_QUIET: f64 = 6.0;
/// The quiet before: this share of the recording before its loudest sample.
const QUIET: f64 = 0.5;

/// Returns when the loudest sound of a channel begins; `None` if nothing stands out of what is before it.
pub fn onset(samples: &[f32], rate_hz: f64) -> Option<Moment> {
    let loudest =
        (0..samples.len()).max_by(|a, b| samples[*a].abs().total_cmp(&samples[*b].abs()))?;
    let peak = samples[loudest].abs();
    let before = &samples[..(loudest as f64 * QUIET) as usize];
    if before.is_empty() {
        return None;
    }
    let quiet = crate::recording::mean_square(before).sqrt();
    let threshold = f64::from(BEGUN * peak).max(OVER_QUIET * quiet);
    if f64::from(peak) < 2.0 * threshold {
        return None;
    }
    let above = |level: f64| samples.iter().position(|x| f64::from(x.abs()) >= level);
    let begun = above(threshold)?;
    let half = above(f64::from(peak) / 2.0)?;
    // It rises from one to the other; where in between is not known.
    let rise = (half.saturating_sub(begun) as f64).max(1.0) / rate_hz;
    Some(Moment {
        s: begun as f64 / rate_hz,
        u_s: rise / 3_f64.sqrt(),
    })
}

/// Returns when an event happened that a film first shows in a frame, counted from 0.
pub fn seen(frame: u64, frames_per_s: f64) -> Moment {
    Moment {
        s: (frame as f64 - 0.5) / frames_per_s,
        u_s: 0.5 / frames_per_s / 3_f64.sqrt(),
    }
}

/// Returns how much later the sound is than the picture.
pub fn sound_after_picture(heard: Moment, seen: Moment) -> Moment {
    Moment {
        s: heard.s - seen.s,
        u_s: heard.u_s.hypot(seen.u_s),
    }
}

/// Returns the speed of sound in air, metres a second, at a temperature in °C (Cramer 1993 to first order:
/// 331.3 √(1 + T/273.15)).
pub fn speed_m_s(celsius: f64) -> f64 {
    331.3 * (1.0 + celsius / 273.15).sqrt()
}
