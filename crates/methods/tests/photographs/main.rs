//! What stated intervals are worth on photographs of the second source, on a few of them.
//!
//! Sizes of one photograph share its causes of doubt, so that their number counts for half of itself; a share of
//! 95 % may then fall short by three standard deviations of the binomial law.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod analyst;
mod desk;
mod tally;

use desk::{Size, WAYS, Way};
use lightbox::ShotOptions;
use std::sync::LazyLock;
use tally::{Row, Tally};

/// Seeds judged, never fitted with.
const SEEDS: std::ops::Range<u64> = 9001..9013;

const OPTIONS: ShotOptions = ShotOptions {
    size: [1600, 1200],
    tilt_deg: [0.0, 20.0],
};

/// Ways that keep what they state.
const KEPT: [&str; 1] = ["card and marks by hand"];

static TALLY: LazyLock<Tally> = LazyLock::new(|| {
    let ways: Vec<Way> = WAYS
        .into_iter()
        .filter(|w| KEPT.contains(&w.name))
        .collect();
    let mut tally = Tally::default();
    for seed in SEEDS {
        tally.add(desk::judge(seed, &OPTIONS, &ways));
    }
    let tables = [
        tally.sizes(),
        tally.kinds(),
        tally.edges(),
        tally.refusals(),
    ];
    println!("{}", tables.join("\n"));
    tally
});

/// Every size of one way.
fn all(way: &str) -> Row {
    let mut all = Row::default();
    for size in [Size::Length, Size::Body, Size::Circle] {
        let row = TALLY.row(way, size).unwrap();
        all.found.extend(&row.found);
        all.refused.extend(row.refused.iter().cloned());
    }
    all
}

/// Standard deviation of a share `p` of `n` sizes that count for half their number.
fn spread(p: f64, n: f64) -> f64 {
    (p * (1.0 - p) / (n / 2.0)).sqrt()
}

#[test]
fn intervals_hold_what_they_state() {
    for way in KEPT {
        let row = all(way);
        let n = row.found.len() as f64;
        assert!(n >= 30.0, "{way}: {n}");
        let least = 0.95 - 3.0 * spread(0.95, n);
        assert!(row.coverage() >= least, "{way}: {} of {n}", row.coverage());
    }
}

#[test]
fn few_things_are_refused() {
    for way in KEPT {
        let row = all(way);
        let n = (row.found.len() + row.refused.len()) as f64;
        let most = 0.1 + 3.0 * spread(0.1, n);
        assert!(row.refusals() < most, "{way}: {} of {n}", row.refusals());
    }
}
