//! What a charger takes from its source.
//!
//! In: converter, source, cable, the charger's output at a moment or over a piece. Out: watts and joules at the
//! socket.
//! Not here: what the source allows (`charger` turns that into limits).

use crate::piece::{Integrals, Piece};
use crate::ramp::gauss;

/// How the charger turns its input into the cell's current.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Converter {
    /// The same current in and out; the rest of the voltage becomes heat.
    Linear,
    /// Power out is this share of power in.
    Switched {
        /// Output power over input power, at most 1.
        efficiency: f64,
    },
    /// A charge pump: the cell gets `ratio` times the input's current at the input's voltage over `ratio`, less
    /// what it loses. The source follows the cell's voltage, as a programmable supply does.
    Pump {
        /// Input voltage over cell voltage without losses, 2 in most.
        ratio: f64,
        /// Output power over input power, at most 1.
        efficiency: f64,
    },
}

/// What stands between the socket and the charger's output.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Input {
    /// Not known: no input power is worked out.
    None,
    /// A source, a cable and a converter.
    Fed(Feed),
}

/// A source, a cable and a converter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Feed {
    /// The converter.
    pub converter: Converter,
    /// Volts at the source; a charge pump's source follows the cell instead.
    pub source_v: f64,
    /// Ohms of the cable, both ways.
    pub cable_ohm: f64,
    /// Amperes that the charger and what it feeds directly take at the input.
    pub aside_a: f64,
    /// Output over input of what stands before the source, such as coils; 1 with nothing there.
    pub upstream: f64,
}

impl Feed {
    /// Watts at the socket while the charger gives `supplied_a` amperes at `voltage_v` volts.
    #[must_use]
    pub fn power_w(&self, supplied_a: f64, voltage_v: f64) -> f64 {
        let (current, volt) = match self.converter {
            Converter::Linear => (supplied_a + self.aside_a, self.source_v),
            Converter::Switched { efficiency } => {
                let watt = supplied_a * voltage_v / efficiency;
                let left = self.source_v - self.aside_a * self.cable_ohm;
                let square = (left * left - 4.0 * self.cable_ohm * watt).max(0.0);
                let current = self.aside_a + 2.0 * watt / (left + square.sqrt());
                (current, self.source_v)
            }
            Converter::Pump { ratio, efficiency } => {
                let current = supplied_a / ratio + self.aside_a;
                (
                    current,
                    ratio * voltage_v / efficiency + current * self.cable_ohm,
                )
            }
        };
        current * volt / self.upstream
    }

    /// Joules at the socket over a whole piece.
    pub(crate) fn energy_j(&self, piece: &Piece, over: &Integrals) -> f64 {
        let (load, t) = (piece.circuit.load_a, piece.length_s);
        let supplied = over.coulombs + load * t;
        let output = over.energy_j + load * over.volt_s;
        let joule = match self.converter {
            Converter::Linear => self.source_v * (supplied + self.aside_a * t),
            Converter::Switched { efficiency } if self.cable_ohm == 0.0 => {
                output / efficiency + self.source_v * self.aside_a * t
            }
            Converter::Switched { .. } => return self.summed_j(piece),
            Converter::Pump { ratio, efficiency } => {
                let squared = over.squared + 2.0 * load * over.coulombs + load * load * t;
                let aside = self.aside_a;
                let squared =
                    squared / (ratio * ratio) + 2.0 * aside * supplied / ratio + aside * aside * t;
                (output + ratio * aside * over.volt_s) / efficiency + self.cable_ohm * squared
            }
        };
        joule / self.upstream
    }

    /// The loss in a cable before a converter is no sum of exponentials; Gauss's rule over stretches of at most
    /// two of the shortest time constants leaves less than the last digits that are printed.
    fn summed_j(&self, piece: &Piece) -> f64 {
        // While power binds, all of this stands still.
        if let Some(watt) = piece.held_power() {
            return self.power_w(watt, 1.0) * piece.length_s;
        }
        let fastest = piece
            .circuit
            .pairs()
            .iter()
            .map(|pair| 1.0 / pair.seconds() + 1.0 / (piece.circuit.r0 * pair.farad))
            .fold(0.0, f64::max);
        let stretches = (0.5 * fastest * piece.length_s).ceil().clamp(1.0, 64.0);
        let mut sum = 0.0;
        let mut k = 0.0;
        while k < stretches {
            let (from, to) = (
                k / stretches * piece.length_s,
                (k + 1.0) / stretches * piece.length_s,
            );
            sum += gauss(from, to, |t| {
                let moment = piece.at(t);
                self.power_w(moment.supplied_a, moment.voltage_v)
            });
            k += 1.0;
        }
        sum
    }
}
