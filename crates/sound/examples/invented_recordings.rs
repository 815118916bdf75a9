//! Writes the recordings of the demonstration dossier: `cargo run -p underlid-sound --example invented_recordings` puts
//! them into `demo/lamp/recordings`.
//!
//! In: the spectra and the delay below, all invented. Out: two WAV files, the same bytes every time. Nothing sounded.
//!
//! Each third octave of `cradle.wav` is a sum of sines at every whole number of periods in the recording, with phases
//! from a counter: its level is the stated one and no draw of chance.

#![allow(
    clippy::disallowed_methods,
    clippy::cast_possible_truncation,
    clippy::cast_precision_loss,
    clippy::cast_sign_loss,
    reason = "writes files of the demonstration; small whole numbers"
)]

use realfft::RealFftPlanner;
use sound::bands::between;
use std::f64::consts::{SQRT_2, TAU};
use std::path::Path;

const RATE_HZ: f64 = 16_000.0;
/// Seconds of the noise, and of the touch.
const NOISE_S: f64 = 1.2;
const TOUCH_S: f64 = 0.5;
/// The open cradle while it charges, dB below full scale in third octaves from 50 Hz to 6.3 kHz: its converters whine
/// near 2 kHz and 4 kHz.
const OUTSIDE_DB: [f64; 22] = [
    -58.0, -57.0, -57.5, -58.0, -59.0, -60.0, -60.5, -61.0, -61.5, -62.0, -62.0, -61.0, -60.0,
    -58.0, -54.0, -47.0, -41.0, -45.0, -48.0, -43.0, -50.0, -55.0,
];
/// What its shell takes off, dB.
const LOSS_DB: [f64; 22] = [
    0.2, 0.2, 0.3, 0.4, 0.5, 0.7, 0.9, 1.2, 1.5, 2.0, 2.6, 3.3, 4.2, 5.2, 6.4, 7.6, 9.0, 10.4,
    11.9, 13.2, 14.1, 13.6,
];
/// How much more or less it takes off each time it is put on.
const SEATINGS_DB: [f64; 3] = [-0.3, 0.1, 0.2];
/// The sample at which it is touched, and how many later the light comes: 38.19 ms.
const TOUCHED: usize = 1600;
const ANSWERS: usize = 611;
/// Noise of the recorder, as a share of full scale.
const QUIET: f64 = 0.02;
/// How fast a knock dies away, in a second.
const DIES_AWAY: f64 = 80.0;

/// SplitMix64 (Steele, Lea and Flood 2014).
struct Chance(u64);

impl Chance {
    /// Returns a number from 0 to 1.
    fn share(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }
}

fn noise(levels_db: impl Iterator<Item = f64>, seed: u64) -> Vec<f64> {
    let count = (RATE_HZ * NOISE_S) as usize;
    let inverse = RealFftPlanner::<f64>::new().plan_fft_inverse(count);
    let (mut lines, mut samples) = (inverse.make_input_vec(), inverse.make_output_vec());
    let mut chance = Chance(seed);
    for (band, level) in between(3, 50.0, 6_300.0).into_iter().zip(levels_db) {
        let (low, high) = band.edges_hz();
        let from = (low * NOISE_S).ceil() as usize;
        let to = (high * NOISE_S).ceil() as usize;
        let amplitude = SQRT_2 * (10_f64.powf(level / 10.0) / (to - from) as f64).sqrt();
        for line in &mut lines[from..to] {
            let (sin, cos) = (TAU * chance.share()).sin_cos();
            line.re = amplitude / 2.0 * cos;
            line.im = amplitude / 2.0 * sin;
        }
    }
    let done = inverse.process(&mut lines, &mut samples);
    done.unwrap_or_else(|error| panic!("lines of a real signal: {error}"));
    samples
}

/// A knock that begins at a sample, in a little noise: one noise that dies away, the same each time.
fn knock(begun: usize, loud: f64, seed: u64) -> Vec<f64> {
    let (mut hiss, mut knock) = (Chance(seed), Chance(9));
    let count = (RATE_HZ * TOUCH_S) as usize;
    let even = |chance: &mut Chance| 2.0 * chance.share() - 1.0;
    (0..count)
        .map(|k| {
            let quiet = QUIET * even(&mut hiss);
            match k.checked_sub(begun) {
                Some(since) => {
                    let left = (-DIES_AWAY * since as f64 / RATE_HZ).exp();
                    quiet + loud * left * even(&mut knock)
                }
                None => quiet,
            }
        })
        .collect()
}

/// Writes channels of equal length as 16 bit.
fn write(file: &str, channels: &[Vec<f64>]) -> std::io::Result<()> {
    let (rate, count) = (RATE_HZ as u32, channels.len() as u16);
    let frame = 2 * count;
    let bytes = channels[0].len() as u32 * u32::from(frame);
    let mut out = Vec::new();
    out.extend(b"RIFF");
    out.extend((36 + bytes).to_le_bytes());
    out.extend(b"WAVEfmt ");
    out.extend(16_u32.to_le_bytes());
    out.extend(1_u16.to_le_bytes());
    out.extend(count.to_le_bytes());
    out.extend(rate.to_le_bytes());
    out.extend((rate * u32::from(frame)).to_le_bytes());
    out.extend(frame.to_le_bytes());
    out.extend(16_u16.to_le_bytes());
    out.extend(b"data");
    out.extend(bytes.to_le_bytes());
    for k in 0..channels[0].len() {
        for channel in channels {
            let level = (channel[k] * 32_768.0).round().clamp(-32_767.0, 32_767.0);
            out.extend((level as i16).to_le_bytes());
        }
    }
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/lamp/recordings");
    std::fs::create_dir_all(&folder)?;
    std::fs::write(folder.join(file), out)
}

fn main() -> std::io::Result<()> {
    let mut cradle = vec![noise(OUTSIDE_DB.into_iter(), 1)];
    for (seed, seating) in (2..).zip(SEATINGS_DB) {
        let levels = OUTSIDE_DB.iter().zip(LOSS_DB);
        cradle.push(noise(levels.map(|(out, loss)| out - loss - seating), seed));
    }
    write("cradle.wav", &cradle)?;
    let touch = [knock(TOUCHED, 0.4, 5), knock(TOUCHED + ANSWERS, 0.15, 6)];
    write("touch.wav", &touch)
}
