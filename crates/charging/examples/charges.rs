//! Times the charges that `benches/charging.sh` compares with solvers and with vectorised numpy.
//!
//! usage: `charges DRAWS RUNS`
//!
//! The cell is that of `benches/peers/peer_charge.py`. With no draws one charge is timed many times over. One line of
//! JSON on standard output.

#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_types,
    reason = "an example reads its arguments and is timed"
)]

use charging::{Cell, Draw, Ocv, Pair, Question, Stage, State, Until, draws};
use std::time::Instant;

const SOC: [f64; 12] = [0.0, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0];
const VOLT: [f64; 12] = [
    2.9, 3.30, 3.43, 3.53, 3.59, 3.63, 3.69, 3.79, 3.89, 3.99, 4.08, 4.20,
];
const ASKED: [Question; 1] = [Question::TimeTo(0.8)];

fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let numbers: Option<Vec<usize>> = arguments.iter().map(|text| text.parse().ok()).collect();
    match numbers.as_deref() {
        Some(&[draws, runs]) => match timed(draws, runs) {
            Ok(line) => println!("{line}"),
            Err(error) => {
                eprintln!("{error}");
                std::process::exit(2);
            }
        },
        _ => {
            eprintln!("usage: charges DRAWS RUNS");
            std::process::exit(2);
        }
    }
}

/// The same sequence as in `peer_common.py`.
struct SplitMix64(u64);

impl SplitMix64 {
    #[expect(clippy::cast_precision_loss, reason = "53 bits are kept")]
    fn unit(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }
}

fn timed(count: usize, runs: usize) -> Result<String, charging::ChargingError> {
    let points: Vec<(f64, f64)> = SOC.into_iter().zip(VOLT).collect();
    let pair = |ohm: f64| Pair { ohm, farad: 2000.0 };
    let base = Cell::new(5.0, Ocv::new(&points)?, 0.020, &[pair(0.015)])?;
    let stages = [Stage::current_voltage(5.0, 4.2, 0.25)?];
    let mut random = SplitMix64(21);
    let mut scale = || 1.0 + 0.4 * (random.unit() - 0.5);
    // One charge is too short for a clock: it is run over and over.
    let (number, repeats) = if count == 0 { (1, 10_000) } else { (count, 1) };
    let mut given = Vec::with_capacity(number);
    for _ in 0..number {
        let (a, b) = if count == 0 {
            (1.0, 1.0)
        } else {
            (scale(), scale())
        };
        given.push(Draw {
            cell: base.with(5.0, 0.020 * a, &[pair(0.015 * b)])?,
            start: State::rested(0.05),
            stages: &stages,
        });
    }
    let mut seconds = Vec::new();
    let mut processor = Vec::new();
    let mut outcomes = Vec::new();
    for _ in 0..runs {
        let (began, spent) = (Instant::now(), processor_seconds());
        for _ in 0..repeats {
            outcomes = draws(std::hint::black_box(&given), Until::default(), &ASKED);
        }
        seconds.push(began.elapsed().as_secs_f64() / f64::from(repeats));
        processor.push((processor_seconds() - spent) / f64::from(repeats));
    }
    seconds.sort_by(f64::total_cmp);
    processor.sort_by(f64::total_cmp);
    let mut sums = [0.0; 4];
    for outcome in outcomes {
        let outcome = outcome?;
        for (sum, value) in sums.iter_mut().zip([
            outcome.finish.time_s,
            outcome.totals.ampere_hours(),
            outcome.totals.watt_hours(),
            outcome.totals.held_s,
        ]) {
            *sum += value;
        }
    }
    #[expect(clippy::cast_precision_loss, reason = "few draws")]
    let mean = sums.map(|sum| sum / number as f64);
    Ok(format!(
        "{{\"draws\": {count}, \"cpu_median_s\": {:e}, \"median_s\": {:e}, \"min_s\": {:e}, \"max_s\": {:e}, \"mean\": {mean:?}}}",
        processor[processor.len() / 2],
        seconds[seconds.len() / 2],
        seconds[0],
        seconds[seconds.len() - 1],
    ))
}

/// Processor time of this process, where the kernel counts it (to a nanosecond); else zero.
fn processor_seconds() -> f64 {
    std::fs::read_to_string("/proc/self/schedstat")
        .ok()
        .and_then(|text| text.split_whitespace().next()?.parse::<f64>().ok())
        .map_or(0.0, |nanoseconds| nanoseconds * 1e-9)
}
