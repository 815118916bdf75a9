//! Break points and costs against published ones.
//!
//! Source: ruptures 1.1.10 on `tests/published/changepoint_series.csv` (Pelt, l2, jump 1, min_size 1 and 2), and a
//! full optimal partition; the costs at which the number of changes switches follow from the costs of the partitions.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use logs::changepoint::change_points;

fn series() -> Vec<f64> {
    include_str!("published/changepoint_series.csv")
        .lines()
        .skip(1)
        .map(|line| line.parse().unwrap())
        .collect()
}

#[track_caller]
fn check(penalty: f64, ends: &[usize], cost: f64, last_digit: f64) {
    for least in [1, 2] {
        let found = change_points(&series(), penalty, least).unwrap();
        assert_eq!(found.ends, ends, "penalty {penalty}, least {least}");
        assert!(
            (found.cost - cost).abs() <= last_digit / 2.0,
            "{} against {cost}",
            found.cost
        );
    }
}

#[test]
fn break_points_and_costs_are_those_of_the_reference() {
    for penalty in [0.01, 0.05, 0.1, 0.5, 1.0, 5.0] {
        check(penalty, &[10, 22, 30], 0.004_379_167, 1e-9);
    }
    for penalty in [20.0, 30.0] {
        check(penalty, &[22, 30], 12.290_747, 1e-6);
    }
    check(60.0, &[30], 43.796_387, 1e-6);
}

/// Two changes become one at 12.286367, one becomes none at 31.505640.
#[test]
fn the_number_of_changes_switches_at_the_published_penalties() {
    let changes = |penalty: f64| change_points(&series(), penalty, 2).unwrap().ends.len() - 1;
    assert_eq!((changes(12.286_366), changes(12.286_369)), (2, 1));
    assert_eq!((changes(31.505_639), changes(31.505_641)), (1, 0));
}
