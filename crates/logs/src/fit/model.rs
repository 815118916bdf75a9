//! The circuit driven by the measured current.
//!
//! In: samples of current and voltage, parameters. Out: the voltage that the circuit would show, and what is left.
//! Not here: search (`solve`).

use super::{Circuit, Values};
use crate::series::Series;
use charging::Ocv;

/// Slope of the open-circuit voltage beyond its table, volts for the whole state of charge.
const BEYOND: f64 = 2.0;

/// Usual step of a published table, share of the charge.
const TABLE_STEP: f64 = 0.05;

/// One sample that drives the circuit.
#[derive(Debug, Clone, Copy)]
struct Sample {
    width_s: f64,
    /// Ampere-hours since the first sample, of all rows.
    charge_ah: f64,
    amperes: f64,
    volts: f64,
}

/// Samples that drive a circuit.
#[derive(Debug, Clone)]
pub(crate) struct Driven {
    samples: Vec<Sample>,
}

/// Where a driven circuit stands.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Standing {
    pub(crate) soc: f64,
    pub(crate) pair_v: [f64; 2],
    pub(crate) volts: f64,
}

/// Returns parameters as what they mean.
pub(crate) fn circuit(values: &Values) -> Circuit {
    Circuit {
        capacity_ah: values[0].exp(),
        start_soc: values[1],
        ohm: values[2].exp(),
        pair_ohm: [values[3].exp(), values[4].exp()],
        pair_s: [values[5].exp(), values[6].exp()],
    }
}

impl Driven {
    /// Takes at most `most` points up to `last`.
    pub(crate) fn new(series: &Series, last: usize, most: usize) -> Self {
        let last = last.min(series.last());
        let apart = (last / most).max(1);
        let mut chosen: Vec<usize> = (0..=last).step_by(apart).collect();
        if chosen.last() != Some(&last) {
            chosen.push(last);
        }
        let first = &series.points[0];
        let mut before = first.t_s;
        let samples = chosen
            .into_iter()
            .map(|at| {
                let point = &series.points[at];
                let width_s = point.t_s - before;
                before = point.t_s;
                Sample {
                    width_s,
                    charge_ah: (point.charge.sum - first.charge.sum) / 3600.0,
                    amperes: point.amperes,
                    volts: point.volts,
                }
            })
            .collect();
        Self { samples }
    }

    /// Returns the last measured voltage.
    pub(crate) fn last_volts(&self) -> f64 {
        self.samples[self.samples.len() - 1].volts
    }

    /// Returns the range of charge that the samples pass, ampere-hours.
    pub(crate) fn passed_ah(&self) -> f64 {
        let charges = || self.samples.iter().map(|sample| sample.charge_ah);
        charges().fold(f64::NEG_INFINITY, f64::max) - charges().fold(f64::INFINITY, f64::min)
    }

    pub(crate) fn len(&self) -> usize {
        self.samples.len()
    }

    /// Returns the state of charge that the first voltage stands for.
    pub(crate) fn first_soc(&self, ocv: &Ocv, ohm: f64) -> f64 {
        let first = &self.samples[0];
        let volts = first.volts - first.amperes * ohm;
        let (mut low, mut high) = (0.0, 1.0);
        for _ in 0..40 {
            let middle = (low + high) / 2.0;
            if ocv.at(middle) < volts {
                low = middle
            } else {
                high = middle
            }
        }
        low
    }

    /// Drives the circuit through all samples, tells each standing, returns the last.
    fn drive(
        &self,
        ocv: &Ocv,
        values: &Values,
        mut told: impl FnMut(&Sample, &Standing),
    ) -> Standing {
        let circuit = circuit(values);
        let mut pair_v = [0.0; 2];
        let mut before = 0.0;
        let mut standing = Standing {
            soc: circuit.start_soc,
            pair_v,
            volts: 0.0,
        };
        for (at, sample) in self.samples.iter().enumerate() {
            if at > 0 && sample.width_s > 0.0 {
                // Exact for a current that is straight between samples.
                let (dt, slope) = (sample.width_s, (sample.amperes - before) / sample.width_s);
                for (pair, volts) in pair_v.iter_mut().enumerate() {
                    let (ohm, tau) = (circuit.pair_ohm[pair], circuit.pair_s[pair]);
                    let left = (-dt / tau).exp();
                    let start = ohm * (before - slope * tau);
                    let end = ohm * (sample.amperes - slope * tau);
                    *volts = end + (*volts - start) * left;
                }
            }
            before = sample.amperes;
            let soc = circuit.start_soc + sample.charge_ah / circuit.capacity_ah;
            let inside = soc.clamp(0.0, 1.0);
            standing = Standing {
                soc,
                pair_v,
                volts: ocv.at(inside)
                    + BEYOND * (soc - inside)
                    + circuit.ohm * sample.amperes
                    + pair_v[0]
                    + pair_v[1],
            };
            told(sample, &standing);
        }
        standing
    }

    /// Returns what the circuit leaves of each measured voltage.
    pub(crate) fn residuals(&self, ocv: &Ocv, values: &Values) -> Vec<f64> {
        let mut left = Vec::with_capacity(self.samples.len());
        self.drive(ocv, values, |sample, standing| {
            left.push(sample.volts - standing.volts)
        });
        left
    }

    /// Returns by how many times each voltage is less sure than where the table is straight. Between two points of a
    /// table the curve bends away from the straight line by an eighth of the change of its slope.
    pub(crate) fn doubts(&self, ocv: &Ocv, values: &Values, straight_v: f64) -> Vec<f64> {
        let mut doubts = Vec::with_capacity(self.samples.len());
        self.drive(ocv, values, |_, standing| {
            let at = |off: f64| ocv.at((standing.soc + off).clamp(0.0, 1.0));
            let bend = if (TABLE_STEP..1.0 - TABLE_STEP).contains(&standing.soc) {
                at(TABLE_STEP) - 2.0 * at(0.0) + at(-TABLE_STEP)
            } else {
                let inner = if standing.soc < 0.5 {
                    TABLE_STEP
                } else {
                    1.0 - TABLE_STEP
                };
                ocv.at(inner + TABLE_STEP) - 2.0 * ocv.at(inner) + ocv.at(inner - TABLE_STEP)
            };
            doubts.push((bend / 8.0).hypot(straight_v) / straight_v);
        });
        doubts
    }

    /// Returns where the circuit stands at the last sample.
    pub(crate) fn end(&self, ocv: &Ocv, values: &Values) -> Standing {
        self.drive(ocv, values, |_, _| {})
    }
}

/// Returns the root mean square of residuals, and how many independent ones would carry as much: of a process whose
/// neighbours correlate by ρ there are n(1 − ρ)/(1 + ρ).
pub(crate) fn independent(residuals: &[f64]) -> (f64, f64) {
    let n = residuals.len() as f64;
    let squares: f64 = residuals.iter().map(|left| left * left).sum();
    let neighbours: f64 = residuals.windows(2).map(|pair| pair[0] * pair[1]).sum();
    let rho = if squares > 0.0 {
        (neighbours / squares).clamp(0.0, 0.999)
    } else {
        0.0
    };
    let count = n * (1.0 - rho) / (1.0 + rho);
    ((squares / n).sqrt(), count.clamp(3.0, n))
}
