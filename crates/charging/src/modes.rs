//! A cell under constant current or constant voltage, on one straight stretch of its open-circuit voltage.
//!
//! In: cell, stretch, state, law. Out: current, pair voltages, state of charge and w as sums of exponentials.
//! Not here: events (`walk`), integrals of products (`piece`).
//!
//! Constant current I: u_j = I·R_j + (u_j0 − I·R_j)·e^(−t/τ_j).
//! Constant voltage: i = Σ A_k e^(λ_k t), the rates being the zeros of the cell's impedance
//! Z(λ) = R + Σ R_j/(1 + λτ_j) + b/(qλ); they are the eigenvalues of the symmetric matrix of (i, u_j/√(R·R_j)).
//! The eigenvectors need no division by λ + 1/τ, so that equal time constants are no exception. The product of
//! the rates is known exactly and gives the slowest, which the eigenvalues alone give to fewer digits.

use crate::cell::{MAX_PAIRS, Pair, State};
use crate::decay::{Decay, TERMS};
use crate::ocv::Segment;
use nalgebra::Matrix3;

/// What a piece needs of its cell.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Circuit {
    pub(crate) coulombs: f64,
    pub(crate) r0: f64,
    pub(crate) pairs: [Pair; MAX_PAIRS],
    pub(crate) count: usize,
    pub(crate) load_a: f64,
}

impl Circuit {
    pub(crate) fn pairs(&self) -> &[Pair] {
        self.pairs.get(..self.count).unwrap_or_default()
    }
}

/// Everything about the cell as sums of exponentials that share their rates.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Modes {
    pub(crate) rates: [f64; TERMS],
    /// Amperes into the cell: a constant part, and a weight for each rate.
    pub(crate) steady_a: f64,
    pub(crate) current: [f64; TERMS],
    /// Volts across each pair.
    pub(crate) steady_v: [f64; MAX_PAIRS],
    pub(crate) over: [[f64; TERMS]; MAX_PAIRS],
    /// Volts behind the series resistance, as the charger meets them.
    pub(crate) w: Decay,
    /// Ohms between the held voltage and the pairs; zero under constant current.
    pub(crate) resistance: f64,
}

/// Constant current of `ampere` into the cell.
pub(crate) fn constant_current(
    circuit: &Circuit,
    segment: &Segment,
    state: &State,
    ampere: f64,
) -> Modes {
    let mut modes = Modes {
        rates: [0.0; TERMS],
        steady_a: ampere,
        current: [0.0; TERMS],
        steady_v: [0.0; MAX_PAIRS],
        over: [[0.0; TERMS]; MAX_PAIRS],
        w: Decay {
            constant: segment.voltage(state.soc) - circuit.r0 * circuit.load_a,
            slope: segment.slope * ampere / circuit.coulombs,
            rates: [0.0; TERMS],
            weights: [0.0; TERMS],
        },
        resistance: 0.0,
    };
    for (j, pair) in circuit.pairs().iter().enumerate() {
        let steady = ampere * pair.ohm;
        modes.rates[j] = -1.0 / pair.seconds();
        modes.steady_v[j] = steady;
        modes.over[j][j] = state.pair_v[j] - steady;
        modes.w.constant += steady;
        modes.w.weights[j] = modes.over[j][j];
    }
    modes.w.rates = modes.rates;
    modes
}

/// A voltage of `volt` behind `ohm`, in series with the cell's own resistance.
pub(crate) fn constant_voltage(
    circuit: &Circuit,
    segment: &Segment,
    state: &State,
    volt: f64,
    ohm: f64,
) -> Modes {
    let (r0, load) = (circuit.r0, circuit.load_a);
    let resistance = r0 + ohm;
    let beta = segment.slope / (circuit.coulombs * resistance);
    // The load lowers the voltage by what it takes through the resistance before the cell.
    let volt = volt - ohm * load;
    let across: f64 = state.pair_v.iter().take(circuit.count).sum();
    let start = (volt - segment.voltage(state.soc) - across) / resistance;
    let mut modes = Modes {
        rates: [0.0; TERMS],
        steady_a: 0.0,
        current: [0.0; TERMS],
        steady_v: [0.0; MAX_PAIRS],
        over: [[0.0; TERMS]; MAX_PAIRS],
        w: Decay {
            constant: volt - r0 * load,
            slope: 0.0,
            rates: [0.0; TERMS],
            weights: [0.0; TERMS],
        },
        resistance,
    };
    match circuit.pairs() {
        [] => {
            modes.rates[0] = -beta;
            modes.current[0] = start;
        }
        [pair] => one_pair(&mut modes, pair, beta, resistance, start, state.pair_v[0]),
        pairs => more_pairs(&mut modes, pairs, beta, resistance, start, state),
    }
    for (weight, current) in modes.w.weights.iter_mut().zip(&modes.current) {
        *weight = -resistance * current;
    }
    modes.w.rates = modes.rates;
    modes
}

fn one_pair(modes: &mut Modes, pair: &Pair, beta: f64, resistance: f64, i0: f64, u0: f64) {
    let decay = 1.0 / pair.seconds();
    let gamma = 1.0 / (resistance * pair.farad);
    let gap = beta + gamma - decay;
    let root = (gap * gap + 4.0 * gamma * decay).sqrt();
    let fast = -(beta + gamma + decay + root) / 2.0;
    let slow = beta * decay / fast;
    let rise = -(beta + gamma) * i0 + u0 * decay / resistance;
    let slow_a = (rise - fast * i0) / (slow - fast);
    let fast_a = (rise - slow * i0) / (fast - slow);
    modes.rates = [slow, fast, 0.0];
    modes.current = [slow_a, fast_a, 0.0];
    // What a current e^(λt) leaves across the pair is 1/(C·(λ + 1/τ)). The two λ + 1/τ multiply to −γ/τ; the one
    // without a difference is computed first.
    let (slow_gap, fast_gap) = if gap >= 0.0 {
        let fast = -(gap + root) / 2.0;
        (-gamma * decay / fast, fast)
    } else {
        let slow = (root - gap) / 2.0;
        (slow, -gamma * decay / slow)
    };
    modes.over[0] = [
        slow_a / (pair.farad * slow_gap),
        fast_a / (pair.farad * fast_gap),
        0.0,
    ];
}

fn more_pairs(
    modes: &mut Modes,
    pairs: &[Pair],
    beta: f64,
    resistance: f64,
    i0: f64,
    state: &State,
) {
    let mut matrix = Matrix3::<f64>::zeros();
    let mut scale = [1.0; TERMS];
    let mut start = [i0, 0.0, 0.0];
    matrix[(0, 0)] = -beta;
    let mut product = -beta;
    for (j, pair) in pairs.iter().enumerate() {
        let row = j + 1;
        scale[row] = (resistance * pair.ohm).sqrt();
        start[row] = state.pair_v[j] / scale[row];
        matrix[(0, 0)] -= 1.0 / (resistance * pair.farad);
        matrix[(0, row)] = 1.0 / (pair.farad * scale[row]);
        matrix[(row, 0)] = matrix[(0, row)];
        matrix[(row, row)] = -1.0 / pair.seconds();
        product *= matrix[(row, row)];
    }
    let eigen = matrix.symmetric_eigen();
    let mut slowest = 0;
    for k in 1..TERMS {
        if eigen.eigenvalues[k] > eigen.eigenvalues[slowest] {
            slowest = k;
        }
    }
    for k in 0..TERMS {
        let vector = eigen.eigenvectors.column(k);
        let share: f64 = vector.iter().zip(&start).map(|(v, s)| v * s).sum();
        modes.rates[k] = eigen.eigenvalues[k];
        if k != slowest {
            product /= eigen.eigenvalues[k];
        }
        modes.current[k] = vector[0] * share;
        for (j, over) in modes.over.iter_mut().enumerate() {
            over[k] = vector[j + 1] * share * scale[j + 1];
        }
    }
    modes.rates[slowest] = product;
}
