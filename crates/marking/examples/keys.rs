//! How long each key of a marking takes, as it is typed, against 200,000 names.
//!
//! usage: keys [SEED] [check]: prints percentiles of processor time in ms by the number of characters typed, and the
//! slowest texts; with `check` each twentieth answer is compared with that of scoring every name.
//! The catalogue and the markings are those of the example `plates` of `app` where the seed is 0; with another seed
//! names, and which of them are typed, are drawn anew.

#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_types,
    reason = "an example reads its arguments, and is timed"
)]

mod drawn;

use catalogue::Part;
use marking::{Clues, Costs, Index, Scratch};
use record::marking::Seen;

const NAMES: usize = 200_000;
const TYPED: usize = 60;

fn catalogue(seed: u64) -> Vec<Part> {
    let part = |(name, maker): (String, u64)| Part {
        name,
        maker: format!("Maker {maker}"),
        packages: vec!["QFN-16".to_string()],
        pins: Some(16),
        body_mm: Some([3.0, 3.0]),
        ..Part::default()
    };
    drawn::names(NAMES, seed).into_iter().map(part).collect()
}

/// Milliseconds this thread has spent on a processor.
fn processor_ms() -> f64 {
    let all = std::fs::read_to_string("/proc/thread-self/schedstat").unwrap_or_default();
    let first = all.split_whitespace().next();
    first.and_then(|n| n.parse::<f64>().ok()).unwrap_or(0.0) / 1e6
}

fn told(what: &str, all: &mut [f64]) {
    all.sort_by(f64::total_cmp);
    let at = |share: f64| all[((all.len() - 1) as f64 * share) as usize];
    let most = at(1.0);
    println!(
        "{what:>10} {:8.2} {:8.2} {most:8.2} {:5}",
        at(0.5),
        at(0.95),
        all.len()
    );
}

fn main() {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let seed: u64 = args.first().and_then(|n| n.parse().ok()).unwrap_or(0);
    let check = args.iter().any(|a| a == "check");
    let parts = catalogue(seed);
    let index = Index::of_parts(&parts, Costs::default());
    let mut scratch = Scratch::default();
    let clues = Clues {
        body_mm: Some([3.02, 2.98]),
        ..Clues::default()
    };
    let mut keys: Vec<(f64, String)> = Vec::new();
    let mut different = 0;
    for n in 0..TYPED {
        let name = &parts[(n * 3_001 + seed as usize * 7919) % NAMES].name;
        let mut typed = String::new();
        for (at, c) in name.chars().enumerate() {
            typed.push(if n % 3 == 0 && at == 3 { '?' } else { c });
            let Ok(seen) = Seen::parse(&typed) else {
                continue;
            };
            if std::env::var("DBG").is_ok_and(|t| t != typed) {
                continue;
            }
            let begun = processor_ms();
            let answer = index.read(&seen, &clues, &mut scratch);
            keys.push((processor_ms() - begun, typed.clone()));
            if check && keys.len().is_multiple_of(20) {
                let all = index.read_scoring_all(&seen, &clues, &mut scratch);
                let ranking = |of: &marking::Answer| -> Vec<(usize, i32)> {
                    let each = of.candidates.iter();
                    each.map(|c| (c.part, c.total_milli)).collect()
                };
                different += usize::from(ranking(&all) != ranking(&answer));
            }
        }
    }
    println!("characters      p50      p95     most     n");
    for long in 1..=13 {
        let of = |key: &&(f64, String)| key.1.chars().count() == long;
        let mut all: Vec<f64> = keys.iter().filter(of).map(|k| k.0).collect();
        if !all.is_empty() {
            told(&long.to_string(), &mut all);
        }
    }
    let mut all: Vec<f64> = keys.iter().map(|k| k.0).collect();
    told("all", &mut all);
    keys.sort_by(|a, b| b.0.total_cmp(&a.0));
    for (ms, typed) in keys.iter().take(25) {
        println!("{ms:8.2} {typed}");
    }
    println!("{:?}", scratch.effort());
    if check {
        println!("{different} of {} answers differ", keys.len() / 20);
    }
}
