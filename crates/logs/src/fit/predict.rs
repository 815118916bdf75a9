//! When a charge ends, from a cell that was fitted to its beginning.
//!
//! In: fitted circuits, how the charge goes on. Out: the time of its end as an interval. Not here: the fit.
//!
//! Monte Carlo: tables by their weights; parameters drawn from the normal distribution that the fit found and weighed by
//! how well they really fit (importance sampling); an error of the circuit's voltage that begins with what the last
//! sample leaves and moves on by as much as the fit left, for the table is as wrong ahead as it was behind. Points are
//! spread evenly (Sobol', scrambled) and are the same every time.

use super::model::{Driven, circuit};
use super::{FITTED, FitError, Fitted, PARAMETERS, Spread, TABLE_V, Values};
use crate::series::Series;
use charging::{Cell, Ocv, Pair, Stage, State, Until, totals};
use serde::Serialize;
use statrs::distribution::{ContinuousCDF, Normal};

/// Draws.
const DRAWS: u32 = 1000;

/// Share that the interval covers.
const COVERAGE: f64 = 0.95;

/// Share by which tables are continued.
const BEYOND: f64 = 0.05;

/// The slow resistance ahead is between one and so many times that behind: both diffusion and charge transfer resist
/// more towards full (an assumption; from memory).
const SLOWER: f64 = 3.0;

/// Seed of the scrambling.
const SEED: u32 = 16;

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
    let normal = Normal::standard();
    let roots: Vec<Option<Spread>> = fits
        .iter()
        .map(|fit| fit.covariance.cholesky().map(|root| root.l()))
        .collect();
    let beyond: Vec<Option<Ocv>> = fits
        .iter()
        .map(|fit| tables.get(fit.table).and_then(going_on))
        .collect();
    let problems: Vec<_> = fits
        .iter()
        .map(|fit| tables.get(fit.table).map(|ocv| fit.problem(&driven, ocv)))
        .collect();
    let here = &series.points[last];
    let mut ends: Vec<End> = Vec::new();
    for draw in 0..DRAWS {
        let unit = |dimension: u32| {
            // The middle of the cell that the point stands for: never 0.
            f64::from(sobol_burley::sample(draw, dimension, SEED)).max(1e-7)
        };
        let Some(at) = chosen(fits, unit(0)) else {
            continue;
        };
        let (fit, Some(root)) = (&fits[at], &roots[at]) else {
            continue;
        };
        let Some((ocv, beyond)) = tables.get(fit.table).zip(beyond[at].as_ref()) else {
            continue;
        };
        let Some(problem) = &problems[at] else {
            continue;
        };
        let lot = |dimension: usize| normal.inverse_cdf(unit(dimension as u32 + 1));
        let lots = Values::from_fn(|at, _| lot(at));
        let values = fit.values + root * lots;
        let after = After {
            left_v: fit.rms_v.max(TABLE_V) * lot(PARAMETERS),
            slower: SLOWER.powf(unit(PARAMETERS as u32 + 2)),
        };
        let Some((seconds, charge_ah)) = rest(&driven, (ocv, beyond), &values, plan, &after) else {
            continue;
        };
        ends.push(End {
            seconds: here.t_s + seconds,
            charge_c: here.charge.sum - series.points[0].charge.sum + 3600.0 * charge_ah,
            log_weight: (lots.norm_squared() - problem.cost_at(&values) + fit.cost) / 2.0,
        });
    }
    if ends.len() < DRAWS as usize / 2 {
        return Err(FitError::NoEnd);
    }
    let most = ends
        .iter()
        .map(|end| end.log_weight)
        .fold(f64::NEG_INFINITY, f64::max);
    let weight = |end: &End| (end.log_weight - most).exp();
    let sum: f64 = ends.iter().map(weight).sum();
    let quantile = |of: fn(&End) -> f64, share: f64| {
        let mut sorted: Vec<&End> = ends.iter().collect();
        sorted.sort_by(|a, b| of(a).total_cmp(&of(b)));
        let mut passed = 0.0;
        let at = sorted.iter().position(|end| {
            passed += weight(end);
            passed >= share * sum
        });
        of(sorted[at.unwrap_or(sorted.len() - 1)])
    };
    let outside = (1.0 - COVERAGE) / 2.0;
    Ok(Prediction {
        end_s: quantile(|end| end.seconds, 0.5),
        from_s: quantile(|end| end.seconds, outside),
        to_s: quantile(|end| end.seconds, 1.0 - outside),
        charge_c: quantile(|end| end.charge_c, 0.5),
        ended: ends.len() as f64 / f64::from(DRAWS),
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

/// Returns which fit a number from 0 to 1 falls on.
fn chosen(fits: &[Fitted], unit: f64) -> Option<usize> {
    let mut sum = 0.0;
    fits.iter().position(|fit| {
        sum += fit.weight;
        unit <= sum
    })
}

/// How one draw ends.
struct End {
    seconds: f64,
    charge_c: f64,
    log_weight: f64,
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
