//! What stated intervals are worth on photographs of the second source.
//!
//! Marks set by hand need no pixels, so that hundreds of photographs are judged; snapped ones are judged on a few.
//! The aim is that 93 to 97 % of the intervals of 95 % hold the truth. Sizes of one photograph share its causes of
//! doubt, so that their number counts for half of itself; a share may then pass a bound by two standard deviations
//! of the binomial law.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod analyst;
mod desk;
mod tally;

use desk::{Size, WAYS, Way};
use lightbox::ShotOptions;
use std::ops::Range;
use tally::{Row, Tally};

const OPTIONS: ShotOptions = ShotOptions {
    size: [1600, 1200],
    tilt_deg: [0.0, 20.0],
};

/// Judges ways on the photographs of seeds that nothing was fitted with.
fn judged(names: &[&str], seeds: Range<u64>) -> Tally {
    let ways: Vec<Way> = WAYS
        .into_iter()
        .filter(|w| names.contains(&w.name))
        .collect();
    assert_eq!(ways.len(), names.len());
    let mut tally = Tally::default();
    for seed in seeds {
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
}

/// Every size of one way.
fn all(tally: &Tally, way: &str) -> Row {
    let mut all = Row::default();
    for size in [Size::Length, Size::Body, Size::Circle] {
        let row = tally.row(way, size).unwrap();
        all.found.extend(&row.found);
        all.refused.extend(row.refused.iter().cloned());
    }
    all
}

/// Two standard deviations of a share `p` of `n` sizes that count for half their number.
fn leeway(p: f64, n: f64) -> f64 {
    2.0 * (p * (1.0 - p) / (n / 2.0)).sqrt()
}

fn holds_what_it_states(way: &str, row: &Row) {
    let n = row.found.len() as f64;
    let (least, most) = (0.93 - leeway(0.93, n), 0.97 + leeway(0.97, n));
    let coverage = row.coverage();
    assert!(
        (least..=most).contains(&coverage),
        "{way}: {coverage} of {n}"
    );
}

fn is_seldom_refused(way: &str, row: &Row) {
    let n = (row.found.len() + row.refused.len()) as f64;
    let refused = row.refusals();
    assert!(refused < 0.1 + leeway(0.1, n), "{way}: {refused} of {n}");
}

#[test]
fn marks_by_hand_hold_what_they_state() {
    const WAYS: [&str; 1] = ["card and marks by hand"];
    let tally = judged(&WAYS, 90_001..90_301);
    for way in WAYS {
        let row = all(&tally, way);
        assert!(row.found.len() > 1000);
        holds_what_it_states(way, &row);
        is_seldom_refused(way, &row);
    }
}

#[test]
fn snapping_seldom_refuses() {
    const WAYS: [&str; 1] = ["card and marks snapped"];
    let tally = judged(&WAYS, 9001..9013);
    for way in WAYS {
        is_seldom_refused(way, &all(&tally, way));
    }
}
