//! A piece of a charge: one law, one stretch of the open-circuit voltage, no event inside.
//!
//! In: a moment within the piece. Out: current, voltage, state; charge, energy and heat up to it.
//! Not here: where pieces begin and end (`walk`).

use crate::Binding;
use crate::cell::{MAX_PAIRS, State};
use crate::decay::{Decay, Side, TERMS, integral_of_exponential, root};
use crate::limit::Law;
use crate::modes::{Circuit, Modes};
use crate::ramp::Ramp;
use crate::stepped::{Step, Stepped};

/// A piece of a charge, without an event inside.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Piece {
    /// Seconds from the beginning of the charge.
    pub start_s: f64,
    /// Seconds that it lasts.
    pub length_s: f64,
    /// Which stage it belongs to, from zero.
    pub stage: usize,
    /// What binds throughout.
    pub binding: Binding,
    pub(crate) from: State,
    pub(crate) to: State,
    pub(crate) circuit: Circuit,
    pub(crate) shape: Shape,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Shape {
    Modes(Modes),
    Ramp(Ramp),
    /// A step and what it ends in.
    Step(Step, Stepped),
}

/// The cell at a moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moment {
    /// Seconds from the beginning of the charge.
    pub time_s: f64,
    /// Amperes into the cell.
    pub current_a: f64,
    /// Amperes out of the charger: into the cell and into what hangs on it.
    pub supplied_a: f64,
    /// Volts at the cell's terminals.
    pub voltage_v: f64,
    /// State of charge and pair voltages.
    pub state: State,
    /// What binds.
    pub binding: Binding,
}

/// Integrals over a piece, in coulombs, joules and the like.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Integrals {
    pub(crate) coulombs: f64,
    /// ∫ i² dt.
    pub(crate) squared: f64,
    /// ∫ Σ u²/R dt.
    pub(crate) pairs_j: f64,
    /// ∫ v·i dt.
    pub(crate) energy_j: f64,
    /// ∫ v dt; known only where it is needed, with a load.
    pub(crate) volt_s: f64,
}

impl Piece {
    /// Seconds from the beginning of the charge at which the piece ends.
    #[must_use]
    pub fn end_s(&self) -> f64 {
        self.start_s + self.length_s
    }

    /// The cell's state where the piece begins.
    #[must_use]
    pub fn from(&self) -> State {
        self.from
    }

    /// The cell's state where the piece ends.
    #[must_use]
    pub fn to(&self) -> State {
        self.to
    }

    /// The cell `t` seconds after the piece began.
    #[must_use]
    pub fn at(&self, t: f64) -> Moment {
        let t = t.clamp(0.0, self.length_s);
        let state = if t == self.length_s {
            self.to
        } else {
            self.state_after(t)
        };
        let (supplied_a, w) = match &self.shape {
            Shape::Modes(modes) => {
                let current = modes.current_at(t);
                (current + self.circuit.load_a, modes.w.value(t))
            }
            Shape::Ramp(ramp) => {
                let w = ramp.segment.voltage(state.soc);
                (ramp.law.supply(w, self.circuit.r0), w)
            }
            Shape::Step(step, _) => {
                let across: f64 = state.pair_v.iter().sum();
                let w = step.segment.voltage(state.soc) + across
                    - self.circuit.r0 * self.circuit.load_a;
                (step.law.supply(w, self.circuit.r0), w)
            }
        };
        Moment {
            time_s: self.start_s + t,
            current_a: supplied_a - self.circuit.load_a,
            supplied_a,
            voltage_v: w + self.circuit.r0 * supplied_a,
            state,
            binding: self.binding,
        }
    }

    pub(crate) fn state_after(&self, t: f64) -> State {
        match &self.shape {
            Shape::Modes(modes) => modes.state_after(&self.circuit, &self.from, t),
            Shape::Ramp(ramp) => State {
                soc: self.ramp_soc(ramp, t),
                ..self.from
            },
            Shape::Step(_, end) if t == self.length_s => end.state,
            Shape::Step(step, _) => step.after(t).state,
        }
    }

    fn ramp_soc(&self, ramp: &Ramp, t: f64) -> f64 {
        if t == self.length_s {
            ramp.to
        } else {
            ramp.soc_after(t)
        }
    }

    /// Watts out of the charger, where they are what binds.
    pub(crate) fn held_power(&self) -> Option<f64> {
        match &self.shape {
            Shape::Ramp(Ramp {
                law: Law::Power(watt),
                ..
            })
            | Shape::Step(
                Step {
                    law: Law::Power(watt),
                    ..
                },
                _,
            ) => Some(*watt),
            _ => None,
        }
    }

    /// Seconds after the beginning of the piece at which the state of charge is reached, if it is.
    pub(crate) fn time_to(&self, soc: f64) -> Option<f64> {
        let (from, to) = (self.from.soc, self.to.soc);
        if soc == from {
            return Some(0.0);
        }
        if soc == to {
            return Some(self.length_s);
        }
        let side = if soc > from { Side::Below } else { Side::Above };
        let time = match &self.shape {
            Shape::Modes(modes) if modes.resistance == 0.0 => {
                let time = (soc - from) * self.circuit.coulombs / modes.steady_a;
                (time >= 0.0 && time <= self.length_s).then_some(time)
            }
            Shape::Modes(modes) => {
                modes
                    .soc(&self.circuit, from)
                    .first_crossing(soc, side, self.length_s)
            }
            Shape::Ramp(ramp) => (soc > from && soc < to).then(|| ramp.time_to(soc)),
            Shape::Step(step, _) => ((soc - from) * (soc - to) < 0.0).then(|| {
                let up = side == Side::Below;
                root(
                    0.0,
                    self.length_s,
                    |gap| (gap > 0.0) == up,
                    |t| {
                        let (reached, rate) = step.soc_after(t);
                        (reached - soc, rate)
                    },
                )
            }),
        };
        time.map(|time| time.min(self.length_s))
    }

    /// Integrals over the first `t` seconds.
    pub(crate) fn integrals(&self, t: f64) -> Integrals {
        match &self.shape {
            Shape::Modes(modes) => modes.integrals(&self.circuit, t),
            Shape::Ramp(ramp) => {
                let soc = self.ramp_soc(ramp, t);
                let coulombs = self.circuit.coulombs * (soc - ramp.from);
                let squared = ramp.squared_current(soc);
                let energy_j = match ramp.law {
                    Law::Power(watt) => watt * t,
                    _ => {
                        let middle = ramp.segment.voltage(0.5 * (soc + ramp.from));
                        coulombs * middle + self.circuit.r0 * squared
                    }
                };
                Integrals {
                    coulombs,
                    squared,
                    pairs_j: 0.0,
                    energy_j,
                    volt_s: 0.0,
                }
            }
            Shape::Step(step, end) => {
                let end = if t == self.length_s {
                    *end
                } else {
                    step.after(t)
                };
                Integrals {
                    coulombs: self.circuit.coulombs * (end.state.soc - self.from.soc),
                    squared: end.squared_a,
                    pairs_j: end.pairs_j,
                    energy_j: end.energy_j,
                    volt_s: end.volt_s,
                }
            }
        }
    }
}

impl Modes {
    /// Amperes into the cell.
    pub(crate) fn current_at(&self, t: f64) -> f64 {
        let mut sum = self.steady_a;
        for (rate, weight) in self.rates.iter().zip(&self.current) {
            if *weight != 0.0 {
                sum += weight * (rate * t).exp();
            }
        }
        sum
    }

    /// State of charge over time.
    pub(crate) fn soc(&self, circuit: &Circuit, from: f64) -> Decay {
        let mut soc = Decay {
            constant: from,
            slope: self.steady_a / circuit.coulombs,
            rates: self.rates,
            weights: [0.0; TERMS],
        };
        for k in 0..TERMS {
            if self.current[k] == 0.0 {
                continue;
            }
            let weight = self.current[k] / circuit.coulombs;
            if self.rates[k] == 0.0 {
                soc.slope += weight;
            } else {
                soc.weights[k] = weight / self.rates[k];
                soc.constant -= soc.weights[k];
            }
        }
        soc
    }

    fn grown(&self, t: f64) -> [f64; TERMS] {
        self.rates.map(|rate| {
            if rate == 0.0 {
                0.0
            } else {
                (rate * t).exp_m1()
            }
        })
    }

    pub(crate) fn state_after(&self, circuit: &Circuit, from: &State, t: f64) -> State {
        let grown = self.grown(t);
        let mut charge = self.steady_a * t;
        for ((weight, rate), grown) in self.current.iter().zip(&self.rates).zip(&grown) {
            charge += weight * integral_of_exponential(*rate, *grown, t);
        }
        let mut pair_v = [0.0; MAX_PAIRS];
        let across = self.steady_v.iter().zip(&self.over);
        for (volt, (steady, weights)) in pair_v.iter_mut().zip(across).take(circuit.count) {
            *volt = *steady;
            for (weight, grown) in weights.iter().zip(&grown) {
                *volt += weight * (1.0 + grown);
            }
        }
        State {
            soc: from.soc + charge / circuit.coulombs,
            pair_v,
        }
    }

    pub(crate) fn integrals(&self, circuit: &Circuit, t: f64) -> Integrals {
        let grown = self.grown(t);
        let mut once = [0.0; TERMS];
        for ((once, rate), grown) in once.iter_mut().zip(&self.rates).zip(&grown) {
            *once = integral_of_exponential(*rate, *grown, t);
        }
        let square = |steady: f64, weights: &[f64; TERMS]| {
            let mut sum = steady * steady * t;
            for k in 0..TERMS {
                if weights[k] == 0.0 {
                    continue;
                }
                sum += 2.0 * steady * weights[k] * once[k];
                for l in k..TERMS {
                    if weights[l] == 0.0 {
                        continue;
                    }
                    // e^(a+b) − 1 from e^a − 1 and e^b − 1, without a difference.
                    let both = grown[k] + grown[l] + grown[k] * grown[l];
                    let twice = if k == l { 1.0 } else { 2.0 };
                    let rate = self.rates[k] + self.rates[l];
                    sum += twice * weights[k] * weights[l] * integral_of_exponential(rate, both, t);
                }
            }
            sum
        };
        let mut coulombs = self.steady_a * t;
        let mut w_s = self.w.constant * t + 0.5 * self.w.slope * t * t;
        for (k, once) in once.iter().enumerate() {
            coulombs += self.current[k] * once;
            w_s += self.w.weights[k] * once;
        }
        let squared = square(self.steady_a, &self.current);
        let pairs_j = circuit
            .pairs()
            .iter()
            .enumerate()
            .map(|(j, pair)| square(self.steady_v[j], &self.over[j]) / pair.ohm)
            .sum();
        // w is a constant less a multiple of the current where the voltage is held, and the current is constant
        // where it is not: either way the product needs no further integral.
        let emf_s = w_s + circuit.r0 * circuit.load_a * t;
        let energy_j = if self.resistance > 0.0 {
            let held = self.w.constant + circuit.r0 * circuit.load_a;
            held * coulombs - (self.resistance - circuit.r0) * squared
        } else {
            self.steady_a * (emf_s + circuit.r0 * coulombs)
        };
        Integrals {
            coulombs,
            squared,
            pairs_j,
            energy_j,
            volt_s: emf_s + circuit.r0 * coulombs,
        }
    }
}
