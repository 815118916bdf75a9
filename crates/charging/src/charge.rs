//! A charge from beginning to end, and what it answers.
//!
//! In: cell, state, stages, where to stop. Out: times, charge, energy, heat, input power, what binds.
//! Not here: the walk itself (`walk`); uncertainty (the caller draws cells and charges each, see `draws`).

use crate::input::Input;
use crate::piece::{Moment, Piece};
use crate::stage::Stage;
use crate::walk::{Finish, Until, walk};
use crate::{Binding, Cell, ChargingError, State};

/// Sums over a charge.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Totals {
    /// Coulombs into the cell.
    pub coulombs: f64,
    /// Joules into the cell's terminals.
    pub energy_j: f64,
    /// Joules turned into heat in the series resistance.
    pub heat_series_j: f64,
    /// Joules turned into heat in the pairs.
    pub heat_pairs_j: f64,
    /// Joules into what hangs on the cell meanwhile.
    pub load_j: f64,
    /// Joules at the socket; zero where the input is not known.
    pub input_j: f64,
    /// Seconds in which a voltage was held.
    pub held_s: f64,
}

impl Totals {
    pub(crate) fn add(&mut self, piece: &Piece, stage: &Stage) {
        let over = piece.integrals(piece.length_s);
        self.coulombs += over.coulombs;
        self.energy_j += over.energy_j;
        self.heat_series_j += piece.circuit.r0 * over.squared;
        self.heat_pairs_j += over.pairs_j;
        self.load_j += piece.circuit.load_a * over.volt_s;
        if let Input::Fed(feed) = stage.input {
            self.input_j += feed.energy_j(piece, &over);
        }
        if piece.binding == Binding::ChargeVoltage {
            self.held_s += piece.length_s;
        }
    }

    fn join(&mut self, other: &Totals) {
        self.coulombs += other.coulombs;
        self.energy_j += other.energy_j;
        self.heat_series_j += other.heat_series_j;
        self.heat_pairs_j += other.heat_pairs_j;
        self.load_j += other.load_j;
        self.input_j += other.input_j;
        self.held_s += other.held_s;
    }

    /// Ampere-hours into the cell.
    #[must_use]
    pub fn ampere_hours(&self) -> f64 {
        self.coulombs / 3600.0
    }

    /// Watt-hours into the cell's terminals.
    #[must_use]
    pub fn watt_hours(&self) -> f64 {
        self.energy_j / 3600.0
    }

    /// What reaches cell and load of what the socket gives, as a share; none without a known input.
    #[must_use]
    pub fn efficiency(&self) -> Option<f64> {
        (self.input_j > 0.0).then(|| (self.energy_j + self.load_j) / self.input_j)
    }
}

/// A charge, kept piece by piece.
#[derive(Debug, Clone, PartialEq)]
pub struct Charge {
    pieces: Vec<Piece>,
    stages: Vec<Stage>,
    start: State,
    /// Sums from beginning to end.
    pub totals: Totals,
    /// How and where it ended.
    pub finish: Finish,
}

/// A stretch of time in which the same stage and the same limit held.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Span {
    /// Which stage, from zero.
    pub stage: usize,
    /// What bound.
    pub binding: Binding,
    /// Seconds from the beginning.
    pub from_s: f64,
    /// Seconds from the beginning.
    pub to_s: f64,
}

/// One point of a curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sample {
    /// The cell.
    pub moment: Moment,
    /// Watts at the socket, where the input is known.
    pub input_w: Option<f64>,
}

/// Goes through a charge and keeps it.
///
/// # Errors
/// As [`walk`].
pub fn charge(
    cell: &Cell,
    start: State,
    stages: &[Stage],
    until: Until,
) -> Result<Charge, ChargingError> {
    let mut pieces = Vec::new();
    let mut totals = Totals::default();
    let finish = walk(cell, start, stages, until, |piece, stage| {
        totals.add(piece, stage);
        pieces.push(*piece);
    })?;
    Ok(Charge {
        pieces,
        stages: stages.to_vec(),
        start,
        totals,
        finish,
    })
}

/// Goes through a charge for its sums alone; nothing is allocated.
///
/// # Errors
/// As [`walk`].
pub fn totals(
    cell: &Cell,
    start: State,
    stages: &[Stage],
    until: Until,
) -> Result<(Totals, Finish), ChargingError> {
    let mut totals = Totals::default();
    let finish = walk(cell, start, stages, until, |piece, stage| {
        totals.add(piece, stage)
    })?;
    Ok((totals, finish))
}

impl Charge {
    /// The pieces, in order.
    #[must_use]
    pub fn pieces(&self) -> &[Piece] {
        &self.pieces
    }

    /// What bound from when to when, pieces of the same stage and binding joined.
    #[must_use]
    pub fn spans(&self) -> Vec<Span> {
        let mut spans: Vec<Span> = Vec::new();
        for piece in &self.pieces {
            match spans.last_mut() {
                Some(last) if last.stage == piece.stage && last.binding == piece.binding => {
                    last.to_s = piece.end_s();
                }
                _ => spans.push(Span {
                    stage: piece.stage,
                    binding: piece.binding,
                    from_s: piece.start_s,
                    to_s: piece.end_s(),
                }),
            }
        }
        spans
    }

    /// Seconds at which a state of charge is first reached; none if it is not.
    #[must_use]
    pub fn time_to(&self, soc: f64) -> Option<f64> {
        if soc == self.start.soc {
            return Some(0.0);
        }
        self.pieces
            .iter()
            .find_map(|piece| Some(piece.start_s + piece.time_to(soc)?))
    }

    /// The state of charge after some seconds: what they buy. After the end it is that of the end.
    #[must_use]
    pub fn soc_after(&self, seconds: f64) -> f64 {
        match self.piece_at(seconds) {
            Some(piece) => piece.at(seconds - piece.start_s).state.soc,
            None if seconds <= 0.0 => self.start.soc,
            None => self.finish.state.soc,
        }
    }

    /// Ampere-hours that some minutes buy from the beginning.
    #[must_use]
    pub fn bought_in(&self, minutes: f64) -> f64 {
        let mut coulombs = 0.0;
        for piece in &self.pieces {
            let t = (60.0 * minutes - piece.start_s).min(piece.length_s);
            if t > 0.0 {
                coulombs += piece.integrals(t).coulombs;
            }
        }
        coulombs / 3600.0
    }

    /// The cell at a moment, if the charge goes on then; where two pieces meet, the later.
    #[must_use]
    pub fn at(&self, seconds: f64) -> Option<Sample> {
        let piece = self.piece_at(seconds)?;
        Some(self.sample(piece, seconds - piece.start_s))
    }

    fn piece_at(&self, seconds: f64) -> Option<&Piece> {
        let next = self
            .pieces
            .partition_point(|piece| piece.start_s <= seconds);
        let piece = self.pieces.get(next.checked_sub(1)?)?;
        (seconds <= piece.end_s()).then_some(piece)
    }

    fn sample(&self, piece: &Piece, t: f64) -> Sample {
        let moment = piece.at(t);
        let input_w = self
            .stages
            .get(piece.stage)
            .and_then(|stage| match stage.input {
                Input::Fed(feed) => Some(feed.power_w(moment.supplied_a, moment.voltage_v)),
                Input::None => None,
            });
        Sample { moment, input_w }
    }

    /// The curve of the whole charge: both ends of every span with the same stage and binding, so that a step shows
    /// as two points at one time, and `samples` points evenly spread between the beginning and the end.
    #[must_use]
    pub fn curve(&self, samples: usize) -> Vec<Sample> {
        let mut curve = Vec::new();
        #[expect(clippy::cast_precision_loss, reason = "a curve has few samples")]
        let apart = self.finish.time_s / (samples as f64 + 1.0);
        let mut next = apart;
        for (k, piece) in self.pieces.iter().enumerate() {
            let same = |other: Option<&Piece>| {
                other.is_some_and(|o| o.stage == piece.stage && o.binding == piece.binding)
            };
            if !same(k.checked_sub(1).and_then(|before| self.pieces.get(before))) {
                curve.push(self.sample(piece, 0.0));
            }
            while apart > 0.0 && next < piece.end_s() {
                if next > piece.start_s {
                    curve.push(self.sample(piece, next - piece.start_s));
                }
                next += apart;
            }
            if !same(self.pieces.get(k + 1)) {
                curve.push(self.sample(piece, piece.length_s));
            }
        }
        curve
    }

    /// Joules into the cell's terminals between two moments.
    #[must_use]
    pub fn energy_between(&self, from_s: f64, to_s: f64) -> f64 {
        self.pieces
            .iter()
            .filter(|piece| piece.start_s < to_s && piece.end_s() > from_s)
            .map(|piece| {
                let upto = |s: f64| {
                    let t = (s - piece.start_s).clamp(0.0, piece.length_s);
                    piece.integrals(t).energy_j
                };
                upto(to_s) - upto(from_s)
            })
            .sum()
    }

    /// Adds what came after.
    pub(crate) fn append(&mut self, mut later: Charge) {
        let (time, stage) = (self.finish.time_s, self.stages.len());
        for piece in &mut later.pieces {
            piece.start_s += time;
            piece.stage += stage;
        }
        self.pieces.append(&mut later.pieces);
        self.stages.append(&mut later.stages);
        self.totals.join(&later.totals);
        self.finish = Finish {
            time_s: time + later.finish.time_s,
            ..later.finish
        };
    }

    /// The share by which energies do not add up: what went in, less what is stored more and what became heat, over
    /// what went in. A check of the calculation, not of the cell.
    #[must_use]
    pub fn imbalance(&self, cell: &Cell) -> f64 {
        let stored = cell.stored_between_j(&self.start, &self.finish.state);
        let heat = self.totals.heat_series_j + self.totals.heat_pairs_j;
        let scale = self.totals.energy_j.abs().max(heat).max(f64::MIN_POSITIVE);
        (self.totals.energy_j - stored - heat) / scale
    }
}
