//! What intervals are worth on photographs of the second source: the tables of `docs/methods/geometry.md`.
//!
//! `cargo run -p underlid-methods --example photograph_table [FIRST [COUNT [WIDTH]]]` prints tables for the seeds from
//! FIRST on (1 if not stated), COUNT photographs (20) of WIDTH pixels (2400). With `hand` as a fourth word only the
//! ways by hand are judged, which need no pixels: thousands of photographs in a minute.

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
    let words: Vec<String> = std::env::args().skip(1).collect();
    let by_hand = words.get(3).is_some_and(|w| w == "hand");
    let numbers: Vec<u64> = words.iter().take(3).map(|v| v.parse().unwrap()).collect();
    let ways: Vec<desk::Way> = desk::WAYS
        .into_iter()
        .filter(|w| !by_hand || w.hand == analyst::Hand::Free)
        .collect();
    let number = |n: usize, usual: u64| numbers.get(n).copied().unwrap_or(usual);
    let (first, count, width) = (number(0, 1), number(1, 20), number(2, 2400) as u32);
    let options = ShotOptions {
        size: [width, width / 4 * 3],
        ..ShotOptions::default()
    };
    let mut all = tally::Tally::default();
    for seed in first..first + count {
        if !by_hand {
            eprintln!("seed {seed}");
        }
        all.add(desk::judge(seed, &options, &ways));
    }
    println!(
        "Seeds {first} to {}, {width} pixels wide.\n",
        first + count - 1
    );
    let tables = [all.sizes(), all.kinds(), all.edges(), all.refusals()];
    println!("{}", tables.join("\n"));
}
