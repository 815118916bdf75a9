//! Times the cost roll-up that `benches/uncertainty.sh` compares with vectorised numpy and with
//! the Python package `uncertainties`.
//!
//! usage: `rollup mc LINES.csv DRAWS RUNS` or `rollup linear LINES.csv RUNS`
//!
//! `LINES.csv` has the header `min,mode,max,qty`; the roll-up is Σ qty × price, times one plus an
//! overhead, over a yield, all triangular. One line of JSON on standard output, times in seconds.

#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_types,
    reason = "an example reads its arguments and files, and is timed"
)]

use quantity::{Dimension, Distribution, Input, MonteCarlo, Origin, Sheet, Source, Term, Unit};
use std::time::Instant;

/// Names of the inputs do not matter here; a short one is what a formula would have.
const NAME: &str = "price";

struct Line {
    distribution: Distribution,
    quantity: f64,
}

fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
    let printed = match arguments.as_slice() {
        ["mc", path, draws, runs] => {
            number(draws).and_then(|draws| monte_carlo(&read(path)?, draws, number(runs)?))
        }
        ["linear", path, runs] => number(runs).and_then(|runs| linear(&read(path)?, runs as usize)),
        _ => Err("usage: rollup mc LINES.csv DRAWS RUNS | rollup linear LINES.csv RUNS".into()),
    };
    match printed {
        Ok(line) => println!("{line}"),
        Err(message) => {
            eprintln!("{message}");
            std::process::exit(2);
        }
    }
}

fn number(text: &str) -> Result<u64, String> {
    text.parse()
        .map_err(|_| format!("'{text}' is not a number"))
}

fn read(path: &str) -> Result<Vec<Line>, String> {
    let text = std::fs::read_to_string(path).map_err(|e| format!("{path}: {e}"))?;
    text.lines()
        .skip(1)
        .map(|line| {
            let cells: Vec<f64> = line.split(',').filter_map(|c| c.parse().ok()).collect();
            let &[low, mode, high, quantity] = cells.as_slice() else {
                return Err(format!("{path}: '{line}' does not have four numbers"));
            };
            Ok(Line {
                distribution: Distribution::Triangular { low, mode, high },
                quantity,
            })
        })
        .collect()
}

fn input<'s>(sheet: &'s Sheet, distribution: Distribution, unit: &Unit) -> Term<'s> {
    let source = Source {
        origin: Origin::Estimated,
        evidence: Vec::new(),
        note: String::new(),
    };
    sheet.input(Input::distributed(NAME, distribution, unit.clone(), source))
}

fn build<'s>(sheet: &'s Sheet, lines: &[Line], unit: &Unit) -> Term<'s> {
    let overhead = Distribution::Triangular {
        low: 0.08,
        mode: 0.12,
        high: 0.20,
    };
    let good = Distribution::Triangular {
        low: 0.90,
        mode: 0.95,
        high: 0.99,
    };
    let terms: Vec<Term<'s>> = lines
        .iter()
        .map(|line| line.quantity * input(sheet, line.distribution, unit))
        .collect();
    sheet.sum(&terms) * (1.0 + input(sheet, overhead, unit)) / input(sheet, good, unit)
}

fn monte_carlo(lines: &[Line], draws: u64, runs: u64) -> Result<String, String> {
    let unit = Unit::coherent(Dimension::NONE);
    let (mut times, mut processor) = (Vec::new(), Vec::new());
    let mut last = None;
    for _ in 0..runs.max(1) {
        let (start, ticks) = (Instant::now(), processor_seconds());
        let sheet = Sheet::new();
        let total = build(&sheet, lines, &unit);
        let run = MonteCarlo {
            draws,
            seed: 7,
            threads: 1,
            keep_samples: false,
        };
        let sampled = sheet.monte_carlo(total, run).map_err(|e| e.to_string())?;
        times.push(start.elapsed().as_secs_f64());
        processor.push(processor_seconds() - ticks);
        last = Some(sampled);
    }
    let sampled = last.ok_or("no run")?;
    let median = median(&mut times);
    Ok(format!(
        r#"{{"what": "montecarlo/ours", "lines": {}, "samples": {draws}, "ns_per_draw": {:.4}, "mean": {}, "sd": {}, "p5": {}, "p95": {}, "peak_rss_mb": {:.1}, "median_s": {median:.6}, "cpu_median_s": {:.6}, "min_s": {:.6}}}"#,
        lines.len(),
        median / draws as f64 / lines.len() as f64 * 1e9,
        sampled.mean,
        sampled.sd,
        sampled.quantile(0.05),
        sampled.quantile(0.95),
        peak_megabytes(),
        self::median(&mut processor),
        times[0],
    ))
}

fn linear(lines: &[Line], runs: usize) -> Result<String, String> {
    let unit = Unit::coherent(Dimension::NONE);
    // Each sample times many calls, for one call is near the clock's resolution.
    const CALLS: usize = 200;
    let (mut built, mut whole) = (Vec::new(), Vec::new());
    let sheet = Sheet::new();
    let total = build(&sheet, lines, &unit);
    let found = sheet.propagate(&[total]).map_err(|e| e.to_string())?;
    for _ in 0..runs.max(3) {
        let start = Instant::now();
        for _ in 0..CALLS {
            let again = sheet
                .propagate(std::hint::black_box(&[total]))
                .map_err(|e| e.to_string())?;
            std::hint::black_box(again);
        }
        built.push(start.elapsed().as_secs_f64() / CALLS as f64);
        let start = Instant::now();
        for _ in 0..CALLS {
            let sheet = Sheet::new();
            let total = build(&sheet, std::hint::black_box(lines), &unit);
            std::hint::black_box(sheet.propagate(&[total]).map_err(|e| e.to_string())?);
        }
        whole.push(start.elapsed().as_secs_f64() / CALLS as f64);
    }
    Ok(format!(
        r#"{{"what": "linear/ours", "lines": {}, "mean": {}, "sd": {}, "propagate_s": {:.4e}, "build_and_propagate_s": {:.4e}}}"#,
        lines.len(),
        found.values[0],
        found.covariance[0][0].sqrt(),
        median(&mut built),
        median(&mut whole),
    ))
}

/// Sorts and returns the middle.
fn median(times: &mut [f64]) -> f64 {
    times.sort_by(f64::total_cmp);
    times[times.len() / 2]
}

/// Processor time of this process, where the kernel counts it (to a nanosecond); else zero.
fn processor_seconds() -> f64 {
    std::fs::read_to_string("/proc/self/schedstat")
        .ok()
        .and_then(|text| text.split_whitespace().next()?.parse::<f64>().ok())
        .map_or(0.0, |nanoseconds| nanoseconds * 1e-9)
}

/// Peak resident memory as the kernel counts it; zero where it does not say.
fn peak_megabytes() -> f64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    status
        .lines()
        .find_map(|l| l.strip_prefix("VmHWM:"))
        .and_then(|l| l.trim().trim_end_matches(" kB").trim().parse::<f64>().ok())
        .map_or(0.0, |kilobytes| kilobytes / 1024.0)
}
