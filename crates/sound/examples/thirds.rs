//! Times third-octave levels of a recording, for `benches/sound.sh`.
//!
//! usage: thirds RECORDING [RUNS]

#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_types,
    reason = "an example reads its arguments and is timed"
)]

use sound::bands::between;
use sound::bank::Bank;
use sound::level::of_power;
use std::time::Instant;

fn main() {
    let mut arguments = std::env::args().skip(1);
    let path = arguments.next().expect("the name of a recording");
    let runs: usize = arguments
        .next()
        .map_or(5, |runs| runs.parse().expect("a number of runs"));
    let bytes = std::fs::read(&path).expect("a recording");
    let begun = Instant::now();
    let recording = sound::decode(bytes, &path).expect("a recording");
    let decoded = begun.elapsed().as_secs_f64();
    let channels: Vec<&[f32]> = recording.channels.iter().map(Vec::as_slice).collect();
    let bank = Bank::new(between(3, 25.0, 20_000.0));
    let mut seconds = Vec::new();
    let mut levels = Vec::new();
    // Once before, as the peer does.
    for _ in 0..=runs {
        let begun = Instant::now();
        levels = bank.mean_squares(&channels, f64::from(recording.rate_hz));
        seconds.push(begun.elapsed().as_secs_f64());
    }
    let seconds = &mut seconds[1..];
    seconds.sort_by(f64::total_cmp);
    let levels: Vec<Vec<f64>> = levels
        .into_iter()
        .map(|channel| channel.into_iter().map(of_power).collect())
        .collect();
    println!(
        "{{\"seconds\": {:.3}, \"levels_db\": {levels:?}, \"decoded_s\": {decoded:.6}, \"median_s\": {:.6}, \"min_s\": {:.6}}}",
        recording.seconds(),
        seconds[runs / 2],
        seconds[0]
    );
}
