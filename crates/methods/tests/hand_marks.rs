//! Intervals of marks set by hand hold on photographs of the second source: where everything is known, where a camera
//! is tilted over one row or two points, where a card is marked at its round corners, where heights are not stated.
//!
//! 400 photographs that nothing was fitted to; only where things are seen is needed, no pixels. The sizes of one
//! photograph share its tilt and scale, so that photographs count and not sizes: a share of 95 % may fall short by
//! three standard deviations of the binomial law.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

#[path = "photographs/analyst.rs"]
#[allow(dead_code, reason = "shared with what judges snapped marks")]
mod analyst;
#[path = "photographs/desk.rs"]
#[allow(dead_code, reason = "shared with what judges snapped marks")]
mod desk;
#[path = "photographs/tally.rs"]
#[allow(dead_code, reason = "shared with what judges snapped marks")]
mod tally;

use analyst::Hand;
use desk::{Size, WAYS, Way};
use lightbox::ShotOptions;
use tally::Tally;

/// By way: the median width of intervals of bodies, mm, that they must not exceed.
const WIDEST: [(&str, f64); 6] = [
    ("card and marks by hand", 0.7),
    ("ruler by hand, marks by hand", 4.5),
    ("two points by hand", 10.0),
    ("card at its round corners", 1.3),
    ("heights not stated", 2.0),
    ("heights without camera", 0.8),
];

#[test]
fn intervals_of_marks_set_by_hand_hold() {
    let least = 0.95 - 3.0 * (0.95 * 0.05 / 400.0_f64).sqrt();
    let ways: Vec<Way> = WAYS.into_iter().filter(|w| w.hand == Hand::Free).collect();
    let mut all = Tally::default();
    for seed in 70_001..70_401 {
        all.add(desk::judge(seed, &ShotOptions::default(), &ways));
    }
    println!("{}", all.sizes());
    for (way, widest) in WIDEST {
        for size in [Size::Length, Size::Body, Size::Circle] {
            let row = all.row(way, size).unwrap();
            assert!(
                row.refusals() < 0.01,
                "{way} {size:?}: {:?}",
                row.refused.first()
            );
            let coverage = row.coverage();
            assert!(coverage >= least, "{way} {size:?}: {coverage}");
        }
        let body = all.row(way, Size::Body).unwrap();
        let width = body.share_below(0.5, |f| 2.0 * 1.96 * f.uncertainty);
        assert!(width < widest, "{way}: {width}");
    }
}
