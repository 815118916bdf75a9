//! A cell without pairs under constant power, or on the heat limit of a linear charger.
//!
//! In: law, stretch of the open-circuit voltage, states of charge. Out: times and current integrals in closed form.
//! Not here: cells with pairs, for which there is none (`stepped`).
//!
//! With w the open-circuit voltage, the time from w0 to w1 is (q/b)·∫dw/i(w), and ∫i² dt is (q/b)·∫i(w) dw.
//! Power P: 1/i = (w + √(w² + s²))/(2P), s² = 4·R0·P. Heat G behind the input voltage: with x = Vin − w and
//! h² = 4·R·G, 1/i = (x + √(x² − h²))/(2G). Where the table is nearly flat the difference of two antiderivatives
//! loses digits; there the integrand is nearly straight and Gauss's rule with eight points is exact.

use crate::decay::root;
use crate::limit::Law;
use crate::modes::Circuit;
use crate::ocv::Segment;

/// Nodes and weights of Gauss's rule with eight points on −1 to 1.
/// Source: Abramowitz and Stegun, Handbook of Mathematical Functions, table 25.4.
pub(crate) const GAUSS: [(f64, f64); 4] = [
    (0.183_434_642_495_649_8, 0.362_683_783_378_362),
    (0.525_532_409_916_329, 0.313_706_645_877_887_3),
    (0.796_666_477_413_626_7, 0.222_381_034_453_374_48),
    (0.960_289_856_497_536_3, 0.101_228_536_290_376_26),
];

/// ∫ f over `from` to `to` by Gauss's rule with eight points.
pub(crate) fn gauss(from: f64, to: f64, f: impl Fn(f64) -> f64) -> f64 {
    let (middle, half) = (0.5 * (from + to), 0.5 * (to - from));
    half * GAUSS
        .iter()
        .map(|(node, weight)| weight * (f(middle - half * node) + f(middle + half * node)))
        .sum::<f64>()
}

/// A stretch of the charge without pairs, under power or on the heat limit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Ramp {
    pub(crate) law: Law,
    pub(crate) segment: Segment,
    pub(crate) from: f64,
    /// State of charge where the piece ends.
    pub(crate) to: f64,
    pub(crate) coulombs: f64,
    pub(crate) r0: f64,
}

impl Ramp {
    /// The ramp from a state of charge, if the law has a closed form for this cell.
    pub(crate) fn new(law: Law, circuit: &Circuit, segment: Segment, from: f64) -> Option<Ramp> {
        let closed = match law {
            Law::Power(watt) => watt > 0.0,
            Law::Heat { .. } => true,
            Law::Current(_) | Law::Voltage { .. } => false,
        };
        (closed && circuit.count == 0 && circuit.load_a == 0.0).then_some(Ramp {
            law,
            segment,
            from,
            to: from,
            coulombs: circuit.coulombs,
            r0: circuit.r0,
        })
    }

    fn current_at(&self, soc: f64) -> f64 {
        self.law.supply(self.segment.voltage(soc), self.r0)
    }

    /// Seconds to a higher state of charge.
    pub(crate) fn time_to(&self, soc: f64) -> f64 {
        let closed = self.steep(soc).then(|| match self.law {
            Law::Power(watt) => {
                let square = 4.0 * self.r0 * watt;
                let of = |w: f64| power_time(w, square) / (2.0 * watt);
                self.between(soc, of)
            }
            Law::Heat { watt, input_v, ohm } => {
                let square = 4.0 * (self.r0 + ohm) * watt;
                let of = |w: f64| -heat_time(input_v - w, square) / (2.0 * watt);
                self.between(soc, of)
            }
            Law::Current(_) | Law::Voltage { .. } => 0.0,
        });
        closed
            .unwrap_or_else(|| self.coulombs * gauss(self.from, soc, |z| 1.0 / self.current_at(z)))
    }

    /// ∫ i² dt up to a higher state of charge.
    pub(crate) fn squared_current(&self, soc: f64) -> f64 {
        let closed = self.steep(soc).then(|| match self.law {
            Law::Power(watt) => {
                let square = 4.0 * self.r0 * watt;
                let of = |w: f64| (power_time(w, square) - w * w) / (2.0 * self.r0);
                self.between(soc, of)
            }
            Law::Heat { watt, input_v, ohm } => {
                let square = 4.0 * (self.r0 + ohm) * watt;
                let of = |w: f64| {
                    let x = input_v - w;
                    (heat_time(x, square) - x * x) / (2.0 * (self.r0 + ohm))
                };
                self.between(soc, of)
            }
            Law::Current(_) | Law::Voltage { .. } => 0.0,
        });
        closed.unwrap_or_else(|| self.coulombs * gauss(self.from, soc, |z| self.current_at(z)))
    }

    fn between(&self, soc: f64, antiderivative: impl Fn(f64) -> f64) -> f64 {
        let (w0, w1) = (self.segment.voltage(self.from), self.segment.voltage(soc));
        self.coulombs / self.segment.slope * (antiderivative(w1) - antiderivative(w0))
    }

    /// Whether two antiderivatives differ enough to be subtracted.
    fn steep(&self, soc: f64) -> bool {
        let (w0, w1) = (self.segment.voltage(self.from), self.segment.voltage(soc));
        w1 - w0 > 0.01 * w0
    }

    /// The state of charge after `t` seconds, if it lies within the stretch.
    pub(crate) fn soc_after(&self, t: f64) -> f64 {
        if t <= 0.0 {
            return self.from;
        }
        root(
            self.from,
            self.segment.to,
            |late| late > 0.0,
            |soc| (self.time_to(soc) - t, self.coulombs / self.current_at(soc)),
        )
    }
}

/// ∫ (w + √(w² + s²)) dw.
fn power_time(w: f64, square: f64) -> f64 {
    let root = (w * w + square).sqrt();
    0.5 * (w * w + w * root + square * (w / square.sqrt()).asinh())
}

/// ∫ (x + √(x² − h²)) dx.
fn heat_time(x: f64, square: f64) -> f64 {
    let root = (x * x - square).max(0.0).sqrt();
    let ratio = (x / square.sqrt()).max(1.0);
    0.5 * (x * x + x * root - square * ratio.acosh())
}
