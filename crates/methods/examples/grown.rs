//! What an examination takes, for dossiers of growing size.
//!
//! In: a dossier folder (the demonstration by default) and how many copies of its items to put under one
//! product, several times. Out: processor time of the first examination and of those after it, for which what was
//! drawn for equal causes serves again, as in the workbench; the exponent fitted to the first, and the peak of memory.
//! One thread; reading and checking the dossier, and indexing a catalogue, are not counted.
//!
//! usage: cargo run --release -p underlid-methods --example grown -- [--dossier FOLDER] [COPIES ...]

#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_types,
    reason = "an example reads its arguments and files, and is timed"
)]
#![allow(
    clippy::unwrap_used,
    reason = "a program for the bench stops where it cannot go on"
)]

#[path = "../tests/support/grown.rs"]
mod support;

use methods::Known;
use record::Dossier;
use std::ops::ControlFlow;
use std::path::PathBuf;
use std::time::{Duration, Instant};

/// Copies of the 67 items below the demonstration's product: 68, 135, 269, 537, 1,006 and 9,984 items.
const SERIES: [usize; 6] = [1, 2, 4, 8, 15, 149];

fn main() {
    let mut folder = PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/../../demo/lamp"));
    let mut copies = Vec::new();
    let mut arguments = std::env::args().skip(1);
    while let Some(argument) = arguments.next() {
        if argument == "--dossier" {
            folder = arguments.next().unwrap().into();
        } else {
            copies.push(argument.parse().unwrap());
        }
    }
    if copies.is_empty() {
        copies = SERIES.to_vec();
    }
    let seed = store::open(&folder).unwrap();
    println!("items  readings  findings  processor time, first and median after it");
    let mut points = Vec::new();
    for copies in copies {
        let dossier = support::grown(&seed, copies);
        let (first, again, findings) = times(&dossier);
        let items = dossier.items.len();
        println!(
            "{items:>5}  {:>8}  {findings:>8}  {:>10.2} ms  {:>10.2} ms   {:>7.1} µs an item   peak {} MB",
            dossier.readings.len(),
            first.as_secs_f64() * 1e3,
            again.as_secs_f64() * 1e3,
            first.as_secs_f64() * 1e6 / items as f64,
            peak_megabytes()
        );
        points.push(((items as f64).ln(), first.as_secs_f64().ln()));
    }
    if points.len() > 1 {
        println!("exponent {:.3}", slope(&points));
    }
}

/// Processor time of the first examination, the median of those after it over up to twenty samples, and how many
/// findings it gives. A sample is as many examinations as take a tenth of a second together: some systems count in
/// steps of 4 ms.
fn times(dossier: &Dossier) -> (Duration, Duration, usize) {
    let known = Known::default();
    let mut findings = 0;
    let mut sample = |times: u32| {
        let start = processor_time();
        for _ in 0..times {
            let goes_on = |_| ControlFlow::Continue(());
            let found = methods::examine(dossier, &known, &goes_on).unwrap();
            findings = found.findings.len();
        }
        (processor_time() - start) / times
    };
    let first = sample(1);
    let about = first.as_secs_f64().max(1e-3);
    let times = (0.1 / about).ceil() as u32;
    let samples = (10.0 / (about * f64::from(times))).clamp(1.0, 20.0) as usize;
    let mut found: Vec<Duration> = (0..samples).map(|_| sample(times)).collect();
    found.sort();
    (first, found[found.len() / 2], findings)
}

/// Processor time of this thread where the system tells it, else the time on the clock.
fn processor_time() -> Duration {
    thread_local!(static START: Instant = Instant::now());
    let told = std::fs::read_to_string("/proc/thread-self/schedstat").ok();
    let nanoseconds = told.and_then(|t| t.split_whitespace().next()?.parse().ok());
    nanoseconds.map_or_else(|| START.with(Instant::elapsed), Duration::from_nanos)
}

/// Greatest memory of this process so far; 0 where the system does not tell.
fn peak_megabytes() -> u64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let peak = status.lines().find_map(|l| l.strip_prefix("VmHWM:"));
    peak.and_then(|p| p.trim().trim_end_matches(" kB").parse::<u64>().ok())
        .map_or(0, |kilobytes| kilobytes / 1024)
}

/// Least-squares slope of the points.
fn slope(points: &[(f64, f64)]) -> f64 {
    let n = points.len() as f64;
    let (x, y) = (
        points.iter().map(|p| p.0).sum::<f64>() / n,
        points.iter().map(|p| p.1).sum::<f64>() / n,
    );
    let across: f64 = points.iter().map(|p| (p.0 - x) * (p.1 - y)).sum();
    across / points.iter().map(|p| (p.0 - x).powi(2)).sum::<f64>()
}
