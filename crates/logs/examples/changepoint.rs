//! Times exact change points on a series of one value a line, for `benches/changepoint.sh`.
//!
//! usage: changepoint SERIES.csv [RUNS]

#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_types,
    reason = "an example reads its arguments and is timed"
)]

use logs::changepoint::change_points;
use std::time::Instant;

fn main() {
    let mut arguments = std::env::args().skip(1);
    let path = arguments.next().expect("the name of a series");
    let runs: usize = arguments
        .next()
        .map_or(5, |runs| runs.parse().expect("a number of runs"));
    let text = std::fs::read_to_string(path).expect("a series");
    let values: Vec<f64> = text
        .lines()
        .skip(1)
        .map(|line| line.parse().expect("a number"))
        .collect();
    let penalty = 3.0 * (values.len() as f64).ln();
    let mut seconds = Vec::new();
    let mut found = None;
    for _ in 0..runs {
        let begun = Instant::now();
        found = change_points(&values, penalty, 2);
        seconds.push(begun.elapsed().as_secs_f64());
    }
    seconds.sort_by(f64::total_cmp);
    let found = found.expect("finite values");
    println!(
        "{{\"n\": {}, \"ends\": {:?}, \"penalised_cost\": {:.6}, \"median_s\": {:.6}, \"min_s\": {:.6}}}",
        values.len(),
        found.ends,
        found.cost + penalty * (found.ends.len() - 1) as f64,
        seconds[runs / 2],
        seconds[0]
    );
}
