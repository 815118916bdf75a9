//! When a charge ends, from a cell that was fitted to its beginning.
//!
//! In: fitted circuits, how the charge goes on. Out: the time of its end as an interval. Not here: the fit.
//!
//! Monte Carlo: tables by their weights; parameters as likely as they fit (`chain`); an error of the circuit's voltage
//! that begins with what the last sample leaves and moves on by as much as the fit left, for the table is as wrong ahead
//! as it was behind; a slow resistance that changes towards full. The same every time.

use super::chain::{Stream, draws};
use super::model::{Driven, circuit};
use super::{FITTED, FitError, Fitted, TABLE_V, Values};
use crate::series::Series;
use charging::{Cell, Ocv, Pair, Stage, State, Until, totals};
use serde::Serialize;

/// Draws.
const DRAWS: usize = 1000;

/// Share that the interval covers.
const COVERAGE: f64 = 0.95;

/// Share by which tables are continued.
const BEYOND: f64 = 0.05;

/// The slow resistance ahead is between half and four times that behind: diffusion and charge transfer resist more
/// towards full, and what the fit calls slow may be the table (an assumption; from memory).
const SLOWER: std::ops::RangeInclusive<f64> = 0.5..=4.0;

/// Seed of the draws.
const SEED: u64 = 16;
/// How a charge goes on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Plan {
    /// Constant current, amperes.
    pub charge_a: f64,
    /// Limit voltage, volts.
    pub limit_v: f64,
    /// Current at which the charge ends, amperes.
    pub end_a: f64,
}

/// When a charge will end.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Prediction {
    /// Middle of the draws, seconds on the log's clock.
    pub end_s: f64,
    /// The interval that covers 95 % of the draws, seconds.
    pub from_s: f64,
    /// Its upper end, seconds.
    pub to_s: f64,
    /// Middle of the charge that the whole log will then hold, coulomb.
    pub charge_c: f64,
    /// Share of the draws that came to an end.
    pub ended: f64,
}

/// Predicts the end of a charge whose points up to `last` were fitted with `tables`.
///
/// # Errors
/// No draw comes to an end.
pub fn predict_end(
    series: &Series,
    last: usize,
    tables: &[Ocv],
    fits: &[Fitted],
    plan: &Plan,
) -> Result<Prediction, FitError> {
    let last = last.min(series.last());
    let driven = Driven::new(series, last, FITTED);
    let here = &series.points[last];
    let mut stream = Stream::new(SEED);
    let (mut ends, mut tried) = (Vec::new(), 0);
    for fit in fits {
        let count = (fit.weight * DRAWS as f64).round() as usize;
        let Some(ocv) = tables.get(fit.table).filter(|_| count > 0) else {
            continue;
        };
        let Some(beyond) = going_on(ocv) else {
            continue;
        };
        let problem = fit.problem(&driven, ocv);
        for values in draws(&problem, fit.values, &fit.covariance, count, &mut stream) {
            tried += 1;
            let after = After {
                left_v: fit.rms_v.max(TABLE_V) * stream.normal(),
                slower: SLOWER.start() * (SLOWER.end() / SLOWER.start()).powf(stream.unit()),
            };
            let Some((seconds, charge_ah)) = rest(&driven, (ocv, &beyond), &values, plan, &after)
            else {
                continue;
            };
            let charged = here.charge.sum - series.points[0].charge.sum;
            ends.push((here.t_s + seconds, charged + 3600.0 * charge_ah));
        }
    }
    if tried == 0 || ends.len() < tried / 2 {
        return Err(FitError::NoEnd);
    }
    let quantile = |of: fn(&(f64, f64)) -> f64, share: f64| {
        let mut sorted: Vec<f64> = ends.iter().map(of).collect();
        sorted.sort_by(f64::total_cmp);
        sorted[((sorted.len() - 1) as f64 * share).round() as usize]
    };
    let outside = (1.0 - COVERAGE) / 2.0;
    Ok(Prediction {
        end_s: quantile(|end| end.0, 0.5),
        from_s: quantile(|end| end.0, outside),
        to_s: quantile(|end| end.0, 1.0 - outside),
        charge_c: quantile(|end| end.1, 0.5),
        ended: ends.len() as f64 / tried as f64,
    })
}

/// Returns a table that goes on beyond its end with the slope of its last twentieth, over a state of charge that counts
/// to there: "full" is where the table's maker stopped, not where the voltage does.
fn going_on(ocv: &Ocv) -> Option<Ocv> {
    let steps = (1.0 / BEYOND).round() as u32;
    let full = ocv.at(1.0);
    let rise = full - ocv.at(1.0 - BEYOND);
    let mut points: Vec<(f64, f64)> = (0..=5 * steps)
        .map(|step| f64::from(step) / f64::from(5 * steps))
        .map(|soc| (soc / (1.0 + BEYOND), ocv.at(soc)))
        .collect();
    points.push((1.0, full + rise));
    Ocv::new(&points).ok()
}

/// What is drawn about the time after the last sample.
struct After {
    /// Volts by which the circuit's error moves on.
    left_v: f64,
    /// Factor of the slow resistance.
    slower: f64,
}

/// Returns the seconds and ampere-hours that are left.
fn rest(
    driven: &Driven,
    (ocv, beyond): (&Ocv, &Ocv),
    values: &Values,
    plan: &Plan,
    after: &After,
) -> Option<(f64, f64)> {
    let parts = circuit(values);
    let standing = driven.end(ocv, values);
    let pair = |at: usize, times: f64| Pair {
        ohm: parts.pair_ohm[at] * times,
        farad: parts.pair_s[at] / parts.pair_ohm[at] / times,
    };
    // A circuit that shows too little meets the limit where the cell does: at the limit less what it lacks.
    let limit_v = plan.limit_v - driven.last_volts() + standing.volts + after.left_v;
    let cell = Cell::new(
        parts.capacity_ah * (1.0 + BEYOND),
        beyond.clone(),
        parts.ohm,
        &[pair(0, 1.0), pair(1, after.slower)],
    )
    .ok()?;
    let start = State {
        soc: (standing.soc / (1.0 + BEYOND)).clamp(0.0, 1.0),
        pair_v: standing.pair_v,
    };
    let stage = Stage::current_voltage(plan.charge_a, limit_v, plan.end_a).ok()?;
    let (totals, finish) = totals(&cell, start, &[stage], Until::default()).ok()?;
    Some((finish.time_s, totals.ampere_hours()))
}
