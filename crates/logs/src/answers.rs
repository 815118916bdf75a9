//! What a log answers: peak power, efficiency, resistance from steps, what a discharge gave.
//!
//! In: series and phases. Out: figures with what limits them. Where the meter sat decides which of them are answered:
//! a resistance and a capacity are the cell's only where it sat at the cell. Not here: judging claims (`methods`).

use crate::phases::{Kind, Phase, sees_cell};
use crate::series::{Amount, Series};
use serde::Serialize;

/// A rise or fall of the current by this share of the largest is a step.
const STEP: f64 = 0.1;

/// A voltage that moves by less than this at a step is held by a source, or not resolved, volts.
const HELD_V: f64 = 0.001;

/// The highest mean power over a window.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Peak {
    /// Watts.
    pub watts: f64,
    /// Beginning of the window, seconds.
    pub from_s: f64,
    /// Length of the window, seconds.
    pub window_s: f64,
    /// Usual time between samples; a window shorter than this is a single sample or two, seconds.
    pub sampled_every_s: f64,
}

/// Returns the highest mean power over a window that begins or ends at a sample, with power straight between samples.
/// Nothing without power, or when the run is shorter than the window.
pub fn peak_power(series: &Series, window_s: f64) -> Option<Peak> {
    let enough = series.duration_s() >= window_s && window_s > 0.0;
    if !(series.has_energy && enough) {
        return None;
    }
    let points = &series.points;
    let (begin, end) = (points[0].t_s, points[points.len() - 1].t_s);
    let mut best = Peak {
        watts: f64::NEG_INFINITY,
        from_s: begin,
        window_s,
        sampled_every_s: series.interval_s * series.rows_a_point as f64,
    };
    // Both ends move forwards only, so each sample is passed once.
    for shift in [0.0, -window_s] {
        let (mut low, mut high) = (0, 0);
        for point in points {
            let from = point.t_s + shift;
            let to = from + window_s;
            if from < begin || to > end {
                continue;
            }
            let watts = (energy_until(series, to, &mut high)
                - energy_until(series, from, &mut low))
                / window_s;
            if watts > best.watts {
                (best.watts, best.from_s) = (watts, from);
            }
        }
    }
    best.watts.is_finite().then_some(best)
}

/// Returns the energy up to a time; `at` is where the last question ended.
fn energy_until(series: &Series, t: f64, at: &mut usize) -> f64 {
    let points = &series.points;
    while *at + 2 < points.len() && points[*at + 1].t_s <= t {
        *at += 1;
    }
    let (left, right) = (&points[*at], &points[(*at + 1).min(points.len() - 1)]);
    let width = right.t_s - left.t_s;
    if width <= 0.0 {
        return left.energy.sum;
    }
    let part = ((t - left.t_s) / width).clamp(0.0, 1.0);
    // Where rows between the points were let go, their energy is spread evenly; elsewhere the line is followed.
    let line = (left.watts + (right.watts - left.watts) * part / 2.0) * part * width;
    let whole = right.energy.sum - left.energy.sum;
    let straight = (left.watts + right.watts) / 2.0 * width;
    left.energy.sum
        + if series.rows_a_point == 1 {
            line
        } else {
            line + (whole - straight) * part
        }
}

/// A share with what sampling leaves open.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Share {
    /// The share.
    pub value: f64,
    /// Standard uncertainty, of sampling alone.
    pub standard: f64,
}

/// Returns the energy that reached the cell as a share of what entered; nothing where nothing entered.
pub fn efficiency(cell: Amount, input: Amount) -> Option<Share> {
    let value = cell.value / input.value;
    let relative = (cell.standard / cell.value).hypot(input.standard / input.value);
    (value.is_finite() && relative.is_finite()).then_some(Share {
        value,
        standard: (value * relative).abs(),
    })
}

/// A resistance from one step of the current.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct StepResistance {
    /// Seconds of the sample before the step.
    pub t_s: f64,
    /// Seconds from there to the sample after it. A resistance needs its time: what is slow in a cell joins later.
    pub after_s: f64,
    /// Rise of the current, amperes.
    pub step_a: f64,
    /// Ohm.
    pub ohm: f64,
    /// Standard uncertainty from the noise of the voltage, ohm.
    pub standard_ohm: f64,
}

/// Returns the resistances that steps of the current show, where the voltage follows them; none where the meter did not
/// sit at the cell.
pub fn step_resistances(series: &Series) -> Vec<StepResistance> {
    if !sees_cell(series) {
        return Vec::new();
    }
    let largest = series
        .points
        .iter()
        .fold(0.0_f64, |most, point| most.max(point.amperes.abs()));
    let volts: Vec<f64> = series.points.iter().map(|point| point.volts).collect();
    let noise = crate::levels::noise(&volts);
    let mut found = Vec::new();
    for pair in series.points.windows(2) {
        let (before, after) = (&pair[0], &pair[1]);
        let step = after.amperes - before.amperes;
        let rows = after.row - before.row == 1;
        let moved = (after.volts - before.volts) * step.signum();
        let answers = moved > HELD_V.max(2.0 * noise);
        if rows && answers && after.t_s > before.t_s && step.abs() > STEP * largest {
            found.push(StepResistance {
                t_s: before.t_s,
                after_s: after.t_s - before.t_s,
                step_a: step,
                ohm: (after.volts - before.volts) / step,
                standard_ohm: noise * 2.0_f64.sqrt() / step.abs(),
            });
        }
    }
    found
}

/// What one discharge gave.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Discharged {
    /// Charge, coulomb, positive.
    pub charge: Amount,
    /// Energy, joule, positive.
    pub energy: Option<Amount>,
    /// Run time between its first and last sample, seconds.
    pub run_time_s: f64,
    /// Most by which it can be longer: the intervals ahead and behind, seconds.
    pub run_time_bound_s: f64,
    /// Mean current, amperes, positive.
    pub mean_a: f64,
    /// Volts of its last sample; none without a voltage.
    pub end_volts: Option<f64>,
    /// Whether the charge is the cell's: the meter sat at it.
    pub at_cell: bool,
}

/// Returns what each discharge among phases gave.
pub fn discharges(series: &Series, phases: &[Phase]) -> Vec<Discharged> {
    let positive = |amount: Amount| Amount {
        value: amount.value.abs(),
        ..amount
    };
    phases
        .iter()
        .filter(|phase| phase.kind == Kind::Discharge && phase.last > phase.first)
        .map(|phase| {
            let run_time_s = phase.duration_s();
            let (before, after) = (
                phase.begins.to_s - phase.begins.from_s,
                phase.ends.to_s - phase.ends.from_s,
            );
            let charge = positive(phase.charge);
            Discharged {
                charge,
                energy: phase.energy.map(positive),
                run_time_s,
                run_time_bound_s: before + after,
                mean_a: charge.value / run_time_s,
                end_volts: series.has_voltage.then(|| series.points[phase.last].volts),
                at_cell: sees_cell(series),
            }
        })
        .filter(|found| found.mean_a.is_finite())
        .collect()
}
