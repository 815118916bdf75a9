//! Any bytes as a sound recording: it is read or refused with a remedy, never a panic, and what was read is finite.

use sound::bands::between;
use sound::bank::Bank;
use sound::delay::{Options, delay};
use sound::{Faults, MOST_SAMPLES, decode};

/// Decodes the bytes, and listens to what came out.
pub fn tried(data: &[u8]) {
    let recording = match decode(data.to_vec(), "it.wav") {
        Ok(recording) => recording,
        Err(error) => {
            assert!(!error.what.is_empty() && !error.remedy.is_empty());
            return;
        }
    };
    assert!(recording.rate_hz > 0);
    let lengths: Vec<usize> = recording.channels.iter().map(Vec::len).collect();
    assert!(!lengths.is_empty() && lengths[0] > 0);
    assert!(lengths.iter().all(|length| *length == lengths[0]));
    assert!((lengths[0] * lengths.len()) as u64 <= MOST_SAMPLES);
    let rate_hz = f64::from(recording.rate_hz);
    // Little of it, so that many inputs are tried.
    let first: Vec<f32> = recording.channels[0].iter().copied().take(4000).collect();
    assert!(first.iter().all(|x| x.is_finite()));
    let _ = Faults::of(&first, rate_hz);
    let bank = Bank::new(between(3, 50.0, 10_000.0));
    let squares = bank.mean_squares(&[&first], rate_hz);
    assert_eq!(squares[0].len(), 24);
    let last = recording.channels.last().expect("there is a first");
    let last: Vec<f32> = last.iter().copied().take(4000).collect();
    if let Ok(found) = delay(&first, &last, rate_hz, &Options::default()) {
        assert!(found.samples.is_finite() && found.u_samples > 0.0);
    }
}
