//! A cell with pairs under a law that has no closed form, by steps of a Runge–Kutta method.
//!
//! In: cell, stretch, law, state. Out: the state after a step, with integrals, and the length of the next step.
//! Not here: events (`walk` finds them by shortening the last step, so that they are as exact as the steps).
//! Source: Dormand and Prince, A family of embedded Runge–Kutta formulae, J. Comput. Appl. Math. 6 (1980) 19–26.

use crate::cell::{MAX_PAIRS, State};
use crate::limit::Law;
use crate::modes::Circuit;
use crate::ocv::Segment;

/// State of charge, pair voltages, and the integrals of v·i, i², Σu²/R and v.
pub(crate) const STATES: usize = 1 + MAX_PAIRS + 4;
type Vector = [f64; STATES];

/// Error allowed in a step, in shares of the capacity and in volts.
const TOLERANCE: f64 = 1e-10;

/// A step: where it starts and under which law.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Step {
    pub(crate) law: Law,
    pub(crate) segment: Segment,
    pub(crate) circuit: Circuit,
    pub(crate) from: State,
}

const NODES: [&[f64]; 6] = [
    &[1.0 / 5.0],
    &[3.0 / 40.0, 9.0 / 40.0],
    &[44.0 / 45.0, -56.0 / 15.0, 32.0 / 9.0],
    &[
        19372.0 / 6561.0,
        -25360.0 / 2187.0,
        64448.0 / 6561.0,
        -212.0 / 729.0,
    ],
    &[
        9017.0 / 3168.0,
        -355.0 / 33.0,
        46732.0 / 5247.0,
        49.0 / 176.0,
        -5103.0 / 18656.0,
    ],
    &[
        35.0 / 384.0,
        0.0,
        500.0 / 1113.0,
        125.0 / 192.0,
        -2187.0 / 6784.0,
        11.0 / 84.0,
    ],
];

/// Fifth order less fourth order.
const ERROR: [f64; 7] = [
    71.0 / 57600.0,
    0.0,
    -71.0 / 16695.0,
    71.0 / 1920.0,
    -17253.0 / 339_200.0,
    22.0 / 525.0,
    -1.0 / 40.0,
];

/// What a step ends in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Stepped {
    pub(crate) state: State,
    pub(crate) energy_j: f64,
    pub(crate) squared_a: f64,
    pub(crate) pairs_j: f64,
    pub(crate) volt_s: f64,
    error: f64,
}

impl Step {
    /// Amperes out of the charger and the voltage behind the resistance, at a state.
    fn at(&self, y: &Vector) -> (f64, f64) {
        let across: f64 = y.iter().skip(1).take(self.circuit.count).sum();
        let emf = self.segment.voltage(y[0]) + across;
        let w = emf - self.circuit.r0 * self.circuit.load_a;
        (self.law.supply(w, self.circuit.r0), w)
    }

    fn rates(&self, y: &Vector) -> Vector {
        let (supplied, w) = self.at(y);
        let volt = w + self.circuit.r0 * supplied;
        let current = supplied - self.circuit.load_a;
        let mut rates = [0.0; STATES];
        rates[0] = current / self.circuit.coulombs;
        for (j, pair) in self.circuit.pairs().iter().enumerate() {
            let u = y[j + 1];
            rates[j + 1] = (current - u / pair.ohm) / pair.farad;
            rates[STATES - 2] += u * u / pair.ohm;
        }
        rates[STATES - 4] = volt * current;
        rates[STATES - 3] = current * current;
        rates[STATES - 1] = volt;
        rates
    }

    /// The state after `h` seconds, in one step.
    pub(crate) fn after(&self, h: f64) -> Stepped {
        let start = vector(&self.from);
        let mut slopes = [[0.0; STATES]; 7];
        slopes[0] = self.rates(&start);
        let mut y = start;
        for (stage, row) in NODES.iter().enumerate() {
            y = start;
            for (weight, slope) in row.iter().zip(&slopes) {
                for (value, rate) in y.iter_mut().zip(slope) {
                    *value += h * weight * rate;
                }
            }
            slopes[stage + 1] = self.rates(&y);
        }
        // Everything in shares of the capacity or in volts, so that one bound suits all.
        let coulombs = self.circuit.coulombs;
        let scale = |k: usize| match STATES - k {
            4 | 2 => 1.0 / coulombs,
            3 => self.circuit.r0 / coulombs,
            1 => self.circuit.load_a / coulombs,
            _ => 1.0,
        };
        let error = (0..STATES)
            .map(|k| {
                let sum: f64 = ERROR.iter().zip(&slopes).map(|(w, s)| w * s[k]).sum();
                (h * sum * scale(k)).abs()
            })
            // A step out of the law's range is no number, which a maximum would pass over.
            .fold(0.0, |most: f64, error| {
                if error.is_nan() {
                    f64::INFINITY
                } else {
                    most.max(error)
                }
            });
        let mut pair_v = [0.0; MAX_PAIRS];
        pair_v.copy_from_slice(&y[1..=MAX_PAIRS]);
        Stepped {
            state: State { soc: y[0], pair_v },
            energy_j: y[STATES - 4],
            squared_a: y[STATES - 3],
            pairs_j: y[STATES - 2],
            volt_s: y[STATES - 1],
            error,
        }
    }

    /// The voltage behind the resistance in a state, as the charger meets it.
    pub(crate) fn w_in(&self, state: &State) -> f64 {
        self.at(&vector(state)).1
    }

    /// The voltage behind the resistance after `h` seconds and how it changes.
    pub(crate) fn w_after(&self, h: f64) -> (f64, f64) {
        let y = vector(&self.after(h).state);
        let rates = self.rates(&y);
        let across: f64 = rates.iter().skip(1).take(self.circuit.count).sum();
        (self.at(&y).1, self.segment.slope * rates[0] + across)
    }

    /// The state of charge after `h` seconds and how it changes.
    pub(crate) fn soc_after(&self, h: f64) -> (f64, f64) {
        let y = vector(&self.after(h).state);
        (y[0], self.rates(&y)[0])
    }

    /// A step that keeps the error within bounds, not longer than `longest`: its length, its end, and the length to
    /// try after it. No length at all where even the shortest step ends in no number: the law has no current there.
    pub(crate) fn take(&self, tried: f64, longest: f64) -> (f64, Stepped, f64) {
        /// Seconds below which the error is no reason to go shorter.
        const SHORTEST: f64 = 1e-9;
        let mut h = tried.min(longest);
        loop {
            let end = self.after(h);
            let factor = (0.9 * (TOLERANCE / end.error.max(1e-300)).powf(0.2)).clamp(0.2, 5.0);
            let number = end.error.is_finite();
            if end.error <= TOLERANCE || (h <= SHORTEST && number) {
                // A step cut short by an end says nothing about the next.
                let next = if h < tried { tried } else { h * factor };
                return (h, end, next);
            }
            if h <= SHORTEST {
                return (0.0, self.after(0.0), tried);
            }
            h *= if number { factor.min(0.9) } else { 0.2 };
        }
    }
}

fn vector(state: &State) -> Vector {
    let mut y = [0.0; STATES];
    y[0] = state.soc;
    y[1..=MAX_PAIRS].copy_from_slice(&state.pair_v);
    y
}
