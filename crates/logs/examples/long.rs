//! Reads a made log of many rows as it comes from a generator, so that no file is needed: time and peak memory.
//!
//! usage: long [ROWS=10000000]

#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_types,
    reason = "an example reads its arguments and is timed"
)]

use logs::{Options, read_text};
use std::io::Read;
use std::time::Instant;

/// A charge of one sample a second, as text.
struct Made {
    row: u64,
    rows: u64,
    text: Vec<u8>,
    at: usize,
}

impl Read for Made {
    fn read(&mut self, into: &mut [u8]) -> std::io::Result<usize> {
        if self.at == self.text.len() {
            self.text.clear();
            self.at = 0;
            if self.row == 0 {
                self.text
                    .extend_from_slice(b"time_s,voltage_v,current_a,capacity_mah\n");
            }
            for _ in 0..1000 {
                if self.row == self.rows {
                    break;
                }
                let share = self.row as f64 / self.rows as f64;
                let (volts, amperes) = if share < 0.7 {
                    (3.4 + 0.8 * share / 0.7, 1.0)
                } else {
                    (4.2, (-(share - 0.7) * 10.0).exp())
                };
                let line = format!(
                    "{},{volts:.4},{amperes:.4},{:.3}\n",
                    self.row,
                    share * 5000.0
                );
                self.text.extend_from_slice(line.as_bytes());
                self.row += 1;
            }
        }
        let given = into.len().min(self.text.len() - self.at);
        into[..given].copy_from_slice(&self.text[self.at..self.at + given]);
        self.at += given;
        Ok(given)
    }
}

fn main() {
    let rows = std::env::args()
        .nth(1)
        .map_or(10_000_000, |rows| rows.parse().expect("a number of rows"));
    let made = || Made {
        row: 0,
        rows,
        text: Vec::new(),
        at: 0,
    };
    let begun = Instant::now();
    std::io::copy(&mut made(), &mut std::io::sink()).expect("made text");
    let making = begun.elapsed().as_secs_f64();
    let begun = Instant::now();
    let mut calls = 0;
    let log = read_text(made(), "made.csv", &Options::default(), &mut |_| {
        calls += 1;
        true
    });
    let reading = begun.elapsed().as_secs_f64();
    let log = log.expect("a log");
    let series = &log.runs[0].series[0];
    let begun = Instant::now();
    let phases = logs::phases::phases(series);
    let finding = begun.elapsed().as_secs_f64();
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let peak = status
        .lines()
        .find(|line| line.starts_with("VmHWM"))
        .unwrap_or("unknown");
    println!(
        "{rows} rows, {} points kept, {:.3} Ah, {} phases, told {calls} times: made in {making:.2} s, made and read in {reading:.2} s, phases in {finding:.2} s, {peak}",
        series.points.len(),
        series.charge_c() / 3600.0,
        phases.len()
    );
}
