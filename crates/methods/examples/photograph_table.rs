//! What intervals are worth on photographs of the second source: the tables of `docs/methods/geometry.md`.
//!
//! `cargo run -p underlid-methods --example photograph_table [FIRST [COUNT [WIDTH]]]` prints tables for the seeds from
//! FIRST on (1 if not stated), COUNT photographs (20) of WIDTH pixels (2400).

#![allow(clippy::disallowed_methods, reason = "an example reads its arguments")]
#![allow(
    clippy::unwrap_used,
    reason = "shared with the tests, which fail by panicking"
)]

#[path = "../tests/photographs/analyst.rs"]
mod analyst;
#[path = "../tests/photographs/desk.rs"]
mod desk;
#[path = "../tests/photographs/tally.rs"]
mod tally;

use lightbox::ShotOptions;

fn main() {
    let numbers: Vec<u64> = std::env::args()
        .skip(1)
        .map(|v| v.parse().unwrap())
        .collect();
    let number = |n: usize, usual: u64| numbers.get(n).copied().unwrap_or(usual);
    let (first, count, width) = (number(0, 1), number(1, 20), number(2, 2400) as u32);
    let options = ShotOptions {
        size: [width, width / 4 * 3],
        ..ShotOptions::default()
    };
    let mut all = tally::Tally::default();
    for seed in first..first + count {
        eprintln!("seed {seed}");
        all.add(desk::judge(seed, &options, &desk::WAYS));
    }
    println!(
        "Seeds {first} to {}, {width} pixels wide.\n",
        first + count - 1
    );
    println!("{}\n{}\n{}", all.sizes(), all.edges(), all.refusals());
}
