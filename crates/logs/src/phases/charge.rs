//! The parts of one charge, from the first sample with current to the last.
//!
//! In: a series and the span of a charge. Out: spans with their kinds. Not here: idle, discharge, top-up (`phases`).

use super::{Kind, sees_cell};
use crate::levels::{Level, levels, noise};
use crate::series::Series;

/// A voltage within this share of the highest is at the limit.
const AT_LIMIT: f64 = 0.0012;

/// A current below this share of its level has left it.
const LEFT: f64 = 0.995;

/// A tail must fall to this share of the level to be one.
const FALLEN: f64 = 0.97;

/// At a socket a power below this share of its highest has begun to fall.
const POWER_LEFT: f64 = 0.985;

/// A first level below this share of the next charges an empty cell.
const PRECHARGE: f64 = 0.4;

/// While the cell is below this share of its limit voltage.
const EMPTY: f64 = 0.85;

type Span = (Kind, usize, usize);

pub(super) fn parts(series: &Series, first: usize, last: usize) -> Vec<Span> {
    if sees_cell(series) {
        by_voltage(series, first, last)
    } else {
        by_power(series, first, last)
    }
}

fn by_voltage(series: &Series, first: usize, last: usize) -> Vec<Span> {
    let points = &series.points[first..=last];
    let measured: Vec<f64> = points.iter().map(|point| point.volts).collect();
    let volts = quiet(&measured);
    let amperes: Vec<f64> = points.iter().map(|point| point.amperes).collect();
    let top = top(&volts);
    let slack = (AT_LIMIT * top).max(4.0 * noise(&measured));
    let at_limit = |at: &usize| volts[*at] >= top - slack;
    let n = points.len();
    let end = (0..n).rev().find(at_limit).unwrap_or(n - 1);
    let reached = (0..=end).rev().take_while(at_limit).last().unwrap_or(end);
    let noise = 4.0 * noise(&amperes);
    // The level that the current leaves: what it had when the limit was reached, and just before.
    let level = middle(&amperes[reached.saturating_sub(4)..=reached]);
    let has_tail = amperes[end] < FALLEN * level - noise && end > reached;
    let mut spans = Vec::new();
    if has_tail {
        let holds = |at: usize| amperes[at] >= LEFT * level - noise;
        let switch = if holds(reached) {
            (reached..=end).take_while(|at| holds(*at)).last()
        } else {
            (0..reached).rev().find(|at| holds(*at))
        };
        // A charge that begins at the limit has one sample at its level, or none.
        let tail = switch.map_or(0, |at| if at == 0 { 0 } else { at + 1 });
        if tail > 0 {
            spans.extend(constant(series, first, first + tail - 1, EMPTY * top));
        }
        spans.push((Kind::ConstantVoltage, first + tail, first + end));
        if end + 1 < n {
            spans.push((Kind::Charge, first + end + 1, last));
        }
    } else {
        spans.extend(constant(series, first, last, EMPTY * top));
    }
    spans
}

fn by_power(series: &Series, first: usize, last: usize) -> Vec<Span> {
    let points = &series.points[first..=last];
    let power: Vec<f64> = points
        .iter()
        .map(|point| {
            if series.has_energy {
                point.watts
            } else {
                point.amperes
            }
        })
        .collect();
    let top = top(&power);
    let noise = 4.0 * noise(&power);
    let n = power.len();
    let high = (0..n)
        .rev()
        .find(|at| power[*at] >= POWER_LEFT * top - noise)
        .unwrap_or(n - 1);
    let mut spans = Vec::new();
    // What lies well below the power that is reached later is a negotiation or a precharge: the socket does not tell.
    let begins = (0..=high).find(|at| power[*at] >= top / 2.0).unwrap_or(0);
    if begins > 0 {
        spans.push((Kind::Charge, first, first + begins - 1));
    }
    spans.push((Kind::ConstantCurrent, first + begins, first + high));
    if high + 1 < n {
        let falls = power[n - 1] < 0.9 * top - noise;
        let kind = if falls {
            Kind::ConstantVoltage
        } else {
            Kind::Charge
        };
        spans.push((kind, first + high + 1, last));
    }
    spans
}

/// Splits the part before the limit into levels of current.
fn constant(series: &Series, first: usize, last: usize, empty_volts: f64) -> Vec<Span> {
    let amperes: Vec<f64> = series.points[first..=last]
        .iter()
        .map(|point| point.amperes)
        .collect();
    let noise = noise(&amperes);
    let levels = levels(&amperes);
    let is_flat = |level: &Level| level.deviation <= (0.03 * level.mean).max(4.0 * noise);
    let mut spans: Vec<Span> = Vec::new();
    for (at, level) in levels.iter().enumerate() {
        let next = levels.get(at + 1).map_or(0.0, |next| next.mean);
        let empty = series.points[first + level.last].volts < empty_volts;
        let begins = spans.iter().all(|span| span.0 == Kind::Precharge);
        let kind = if !is_flat(level) {
            Kind::Charge
        } else if begins && empty && level.mean < PRECHARGE * next {
            Kind::Precharge
        } else {
            Kind::ConstantCurrent
        };
        let (from, to) = (first + level.first, first + level.last);
        match spans.last_mut() {
            // What is not flat is one stretch, however many levels approximate it.
            Some(before) if before.0 == kind && kind == Kind::Charge => before.2 = to,
            _ => spans.push((kind, from, to)),
        }
    }
    spans
}

/// Returns the highest of some values, or, where they are many, what a hundredth of them exceeds.
fn top(values: &[f64]) -> f64 {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let n = sorted.len();
    sorted[n - 1 - if n >= 200 { n / 100 } else { 0 }]
}

/// Returns moving medians of five where there are many values: noise shrinks, and the edge of a rise stays.
fn quiet(values: &[f64]) -> Vec<f64> {
    if values.len() < 50 {
        return values.to_vec();
    }
    let last = values.len() - 1;
    (0..=last)
        .map(|at| middle(&values[at.saturating_sub(2)..=(at + 2).min(last)]))
        .collect()
}

fn middle(values: &[f64]) -> f64 {
    crate::guess::median(values)
}
