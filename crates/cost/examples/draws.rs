//! Times the draws of a whole bill, which `benches/cost.sh` compares with vectorised numpy.
//!
//! usage: `draws LINES.csv DRAWS RUNS`
//!
//! `LINES.csv` has the header `min,mode,max,qty`; each line is a price of its own, all lines go through one level with a
//! yield, and an overhead is added. One line of JSON on standard output, times in seconds.

#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_types,
    reason = "an example reads its arguments and files, and is timed"
)]

use cost::{Bill, Group, Ladder, Law, Level, Line, Pricing, Run, Sort, Unknown};
use quantity::{Currency, Origin, Source};
use std::collections::BTreeMap;
use std::time::Instant;

const YIELD: [f64; 3] = [0.90, 0.95, 0.99];
const OVERHEAD: [f64; 3] = [0.08, 0.12, 0.20];

fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
    let printed = match arguments.as_slice() {
        [path, draws, runs] => timed(path, draws, runs),
        _ => Err("usage: draws LINES.csv DRAWS RUNS".into()),
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

fn unknown(sort: Sort, [low, mode, high]: [f64; 3]) -> Unknown {
    Unknown {
        name: String::new(),
        sort,
        value: mode,
        law: Law::Triangular { low, high },
        source: Source {
            origin: Origin::Estimated,
            evidence: Vec::new(),
            note: String::new(),
        },
        sourced: false,
    }
}

fn read(path: &str) -> Result<Bill, String> {
    let text = std::fs::read_to_string(path).map_err(|e| format!("{path}: {e}"))?;
    let mut unknowns = vec![
        unknown(Sort::Yield, YIELD),
        unknown(Sort::Overhead, OVERHEAD),
    ];
    let mut lines = Vec::new();
    for line in text.lines().skip(1) {
        let cells: Vec<f64> = line.split(',').filter_map(|c| c.parse().ok()).collect();
        let &[low, mode, high, quantity] = cells.as_slice() else {
            return Err(format!("{path}: '{line}' does not have four numbers"));
        };
        unknowns.push(unknown(Sort::Price, [low, mode, high]));
        lines.push(Line {
            name: format!("line {}", lines.len()),
            group: Group::Parts,
            level: Some(0),
            amount: quantity,
            attrition: None,
            pricing: Pricing::Each(Ladder::flat(1.0).map_err(|e| e.to_string())?),
            currency: Currency::Eur,
            series: None,
            unknowns: vec![unknowns.len() - 1],
        });
    }
    Ok(Bill {
        currency: Currency::Eur,
        unknowns,
        lines,
        levels: vec![Level {
            name: "product".into(),
            into: None,
            good: Some(0),
            rework: None,
        }],
        rates: Vec::new(),
        indices: BTreeMap::new(),
        overhead: Some(1),
        margin: None,
    })
}

fn timed(path: &str, draws: &str, runs: &str) -> Result<String, String> {
    let bill = read(path)?;
    let run = Run {
        draws: number(draws)?,
        seed: 7,
        threads: 1,
    };
    let (mut times, mut processor) = (Vec::new(), Vec::new());
    let mut last = None;
    for _ in 0..number(runs)?.max(1) {
        let (start, ticks) = (Instant::now(), processor_seconds());
        last = Some(bill.rollup(1.0, run).map_err(|e| e.to_string())?);
        times.push(start.elapsed().as_secs_f64());
        processor.push(processor_seconds() - ticks);
    }
    times.sort_by(f64::total_cmp);
    processor.sort_by(f64::total_cmp);
    let rolled = last.ok_or("no run")?;
    let moments = bill.drivers(1.0).map_err(|e| e.to_string())?;
    Ok(format!(
        r#"{{"what": "cost/ours", "lines": {}, "samples": {}, "mean": {}, "sd": {}, "p5": {}, "p95": {}, "moments_mean": {}, "moments_sd": {}, "median_s": {:.6}, "cpu_median_s": {:.6}, "min_s": {:.6}}}"#,
        bill.lines.len(),
        run.draws,
        rolled.sampled.mean,
        rolled.sampled.sd,
        rolled.sampled.quantile(0.05),
        rolled.sampled.quantile(0.95),
        moments.mean,
        moments.sd,
        times[times.len() / 2],
        processor[processor.len() / 2],
        times[0],
    ))
}

/// Processor time of this process, where the kernel counts it (to a nanosecond); else zero.
fn processor_seconds() -> f64 {
    std::fs::read_to_string("/proc/self/schedstat")
        .ok()
        .and_then(|text| text.split_whitespace().next()?.parse::<f64>().ok())
        .map_or(0.0, |nanoseconds| nanoseconds * 1e-9)
}
