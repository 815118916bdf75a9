//! Times markings against a catalogue of names: one half of `benches/marking.sh`.
//!
//! usage: lookup MODE names.csv queries.csv [queries] [runs] [out.csv]
//! MODE: read       probabilities, as the program answers
//!       check      the same, compared with scoring every name
//!       seen       as read, and the queries are in the notation of markings
//!       check-seen the same, compared with scoring every name
//!       distance   plain edit distance, at most 3; `out.csv` gets the ranking
//! The last line printed is one JSON object.

#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_types,
    reason = "an example reads its arguments and files, and is timed"
)]

use catalogue::Part;
use marking::{Answer, Clues, Costs, Index, Scratch};
use record::marking::{Seen, escaped};
use std::fmt::Write as _;
use std::time::Instant;

/// All edits cost one, nothing is cheaper at the ends.
fn plain_distance() -> Costs {
    let mut table = Costs::default().table().clone();
    table.look_alike.clear();
    let (inside, ends) = (&mut table.inside, &mut table.ends);
    (inside.lost, inside.extra, inside.other, inside.placeholder) = (1.0, 1.0, 1.0, 1.0);
    (ends.rubbed_open, ends.rubbed_each) = (0.0, 1.0);
    (ends.added_open, ends.added_each) = (0.0, 1.0);
    (ends.prefix_dropped, ends.suffix_dropped) = (50.0, 50.0);
    Costs::new(table).expect("prices in range")
}

fn column(path: &str, n: usize) -> Vec<String> {
    let text = std::fs::read_to_string(path).unwrap_or_else(|e| fail(&format!("{path}: {e}")));
    let rows = text.lines().skip(1);
    rows.map(|row| row.split(',').nth(n).unwrap_or("").to_string())
        .collect()
}

fn fail(message: &str) -> ! {
    eprintln!("{message}");
    std::process::exit(2)
}

/// Peak memory of this process, MB.
fn peak_mb() -> f64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status
        .lines()
        .find(|l| l.starts_with("VmHWM"))
        .unwrap_or("");
    let kb: f64 = line
        .split_whitespace()
        .nth(1)
        .and_then(|n| n.parse().ok())
        .unwrap_or(0.0);
    kb / 1024.0
}

/// Seconds this process has spent on a processor: what others do on the machine does not count.
fn processor_s() -> f64 {
    let all = std::fs::read_to_string("/proc/self/schedstat").unwrap_or_default();
    let first = all
        .split_whitespace()
        .next()
        .and_then(|n| n.parse::<f64>().ok());
    first.unwrap_or(0.0) / 1e9
}

fn median(mut all: Vec<f64>) -> f64 {
    all.sort_by(f64::total_cmp);
    all[all.len() / 2]
}

fn main() {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let [mode, names, queries, rest @ ..] = &args[..] else {
        fail("usage: lookup MODE names.csv queries.csv [queries] [runs] [out.csv]")
    };
    let number = |i: usize, otherwise| {
        rest.get(i)
            .map_or(otherwise, |n| n.parse().unwrap_or(otherwise))
    };
    let (count, runs) = (number(0, 1000), number(1, 3));
    let parts: Vec<Part> = column(names, 0)
        .into_iter()
        .map(|name| Part {
            name,
            ..Part::default()
        })
        .collect();
    let truth: Vec<usize> = column(queries, 2)
        .iter()
        .map(|n| n.parse().unwrap_or(usize::MAX))
        .collect();
    let texts: Vec<String> = column(queries, 0).into_iter().take(count).collect();
    let seen: Vec<Seen> = texts
        .iter()
        .map(|text| {
            Seen::parse(&if mode.ends_with("seen") {
                text.clone()
            } else {
                escaped(text)
            })
            .unwrap_or_else(|e| fail(&e.to_string()))
        })
        .collect();
    let before = peak_mb();
    let costs = if mode == "distance" {
        plain_distance()
    } else {
        Costs::default()
    };
    let begun = Instant::now();
    let index = Index::of_parts(&parts, costs);
    let build_s = begun.elapsed().as_secs_f64();
    let after = peak_mb();
    let mut scratch = Scratch::default();
    let clues = Clues::default();
    let mut ranks: Vec<Vec<(usize, i32)>> = Vec::new();
    let mut times = Vec::new();
    let mut slowest = 0.0_f64;
    for _ in 0..runs.max(1) {
        ranks.clear();
        let begun = processor_s();
        for one in &seen {
            let now = Instant::now();
            ranks.push(match mode.as_str() {
                "distance" => index.nearest(&one.lines[0], 3000, &mut scratch),
                _ => ranking(&index.read(one, &clues, &mut scratch)),
            });
            slowest = slowest.max(now.elapsed().as_secs_f64());
        }
        times.push(processor_s() - begun);
    }
    let mut equal = String::new();
    if mode.starts_with("check") {
        let begun = Instant::now();
        for (one, fast) in seen.iter().zip(&ranks) {
            if ranking(&index.read_scoring_all(one, &clues, &mut scratch)) != *fast {
                fail(&format!("{one}: not the ranking of scoring every name"));
            }
        }
        let slow_us = begun.elapsed().as_secs_f64() * 1e6 / seen.len() as f64;
        equal = format!(
            "\"equal_to_scoring_all\": {}, \"scoring_all_us\": {slow_us:.1}, ",
            seen.len()
        );
    }
    let recall = |k: usize| {
        let hits = ranks
            .iter()
            .zip(&truth)
            .filter(|(r, t)| r.iter().take(k).any(|(p, _)| p == *t));
        hits.count() as f64 / ranks.len().max(1) as f64
    };
    if let Some(out) = rest.get(2) {
        let mut text = String::from("query_no,rank,row,distance\n");
        for (q, rank) in ranks.iter().enumerate() {
            for (k, (row, price)) in rank.iter().enumerate() {
                let _ = writeln!(text, "{q},{k},{row},{}", price / 1000);
            }
        }
        std::fs::write(out, text).unwrap_or_else(|e| fail(&format!("{out}: {e}")));
    }
    let effort = scratch.effort();
    let asked = (seen.len() * runs.max(1)).max(1) as f64;
    let [postings, compared, aligned] =
        [effort.postings, effort.compared, effort.aligned].map(|n| n as f64 / asked);
    println!(
        "{{\"mode\": \"{mode}\", \"names\": {}, \"queries\": {}, \"us_per_query\": {:.2}, \
         \"slowest_us\": {:.0}, \"recall_at_1\": {:.4}, \"recall_at_10\": {:.4}, {equal}\
         \"postings\": {postings:.0}, \"compared\": {compared:.0}, \"aligned\": {aligned:.0}, \
         \"build_s\": {build_s:.2}, \"index_mb\": {:.1}, \"build_rss_mb\": {:.1}, \"peak_rss_mb\": {:.1}}}",
        parts.len(),
        seen.len(),
        median(times) * 1e6 / seen.len().max(1) as f64,
        slowest * 1e6,
        recall(1),
        recall(10),
        index.bytes() as f64 / 1e6,
        after - before,
        peak_mb(),
    );
}

fn ranking(answer: &Answer) -> Vec<(usize, i32)> {
    answer
        .candidates
        .iter()
        .map(|c| (c.part, c.total_milli))
        .collect()
}
