//! The walk through a charge, from event to event.
//!
//! In: cell, state, stages, where to stop. Out: pieces, one after another, given to a function; nothing is
//! allocated, so that a thousand draws cost a thousand charges and no more.
//! Not here: the solutions within a piece (`modes`, `ramp`, `stepped`), sums over pieces (`charge`).
//!
//! An event is a change of stretch of the open-circuit voltage, another limit taking over, an end of the stage, a
//! wanted state of charge or a time. All of them but the times are crossings of the state of charge or of w (see
//! `limit`), which the closed forms give to the last digits.

use crate::bounds::{Act, Bounds, Event, Left, at_once};
use crate::decay::Side;
use crate::limit::{Law, Limit};
use crate::modes::Circuit;
use crate::piece::Piece;
use crate::stage::Stage;
use crate::{Cell, ChargingError, State};

/// Where a charge stops at the latest.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Until {
    /// At this state of charge.
    pub soc: Option<f64>,
    /// After these seconds.
    pub seconds: Option<f64>,
}

/// Why a charge ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Ended {
    /// The current has fallen to the charger's termination current.
    Terminated,
    /// The last stage ended in another way.
    StagesDone,
    /// The wanted state of charge is reached.
    Soc,
    /// The wanted time is over.
    Time,
    /// A timer ended it.
    Timer,
    /// The cell is empty.
    Empty,
}

/// How and where a charge ended.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Finish {
    /// Why.
    pub ended: Ended,
    /// Seconds from the beginning.
    pub time_s: f64,
    /// The cell.
    pub state: State,
}

/// Pieces after which a charge counts as one that cannot be followed.
const MOST_PIECES: usize = 200_000;

/// Volts by which w is moved past a crossing to see which limit binds there.
const PAST: f64 = 1e-9;

/// Share of the capacity a second, and volts a second, below which a cell stands still: thirty years for a charge, and
/// ten times what a step may be off.
const STILL: f64 = 1e-9;

/// Goes through a charge and gives every piece, with its stage, to `sink`.
///
/// # Errors
/// A state that the cell cannot be in; a stage without a limit; a charge that never ends, or that fills the
/// table of the open-circuit voltage before it does.
pub fn walk(
    cell: &Cell,
    start: State,
    stages: &[Stage],
    until: Until,
    mut sink: impl FnMut(&Piece, &Stage),
) -> Result<Finish, ChargingError> {
    cell.check(&start)?;
    let mut walker = Walker::new(cell, start, until);
    let mut last = Ended::StagesDone;
    for (number, stage) in stages.iter().enumerate() {
        match walker.stage(number, stage, &mut sink)? {
            Left::Next(ended) => last = ended,
            Left::Over(ended) => return Ok(walker.finish(ended)),
        }
    }
    Ok(walker.finish(last))
}

pub(crate) struct Walker<'a> {
    pub(crate) cell: &'a Cell,
    until: Until,
    pub(crate) circuit: Circuit,
    pub(crate) state: State,
    pub(crate) index: usize,
    time: f64,
    pieces: usize,
    /// Length of step to try where there is no closed form.
    pub(crate) tried: f64,
}

impl<'a> Walker<'a> {
    fn new(cell: &'a Cell, start: State, until: Until) -> Walker<'a> {
        let mut circuit = Circuit {
            coulombs: cell.coulombs(),
            r0: cell.ohm(),
            pairs: [crate::Pair {
                ohm: 1.0,
                farad: 1.0,
            }; crate::MAX_PAIRS],
            count: cell.pairs().len(),
            load_a: 0.0,
        };
        for (slot, pair) in circuit.pairs.iter_mut().zip(cell.pairs()) {
            *slot = *pair;
        }
        let mut state = start;
        // A voltage across a pair that the cell does not have means nothing.
        for unused in state.pair_v.iter_mut().skip(circuit.count) {
            *unused = 0.0;
        }
        Walker {
            cell,
            until,
            circuit,
            state,
            index: cell.ocv().index(start.soc),
            time: 0.0,
            pieces: 0,
            tried: 1.0,
        }
    }

    fn finish(&self, ended: Ended) -> Finish {
        Finish {
            ended,
            time_s: self.time,
            state: self.state,
        }
    }

    /// Goes through one stage.
    fn stage(
        &mut self,
        number: usize,
        stage: &Stage,
        sink: &mut impl FnMut(&Piece, &Stage),
    ) -> Result<Left, ChargingError> {
        let began = self.time;
        let mut timer_left = stage.timer.map_or(f64::INFINITY, |timer| timer.seconds);
        let mut past = 0.0;
        let mut takeovers = 0;
        self.circuit.load_a = stage.load_a;
        loop {
            self.pieces += 1;
            if self.pieces > MOST_PIECES {
                return Err(ChargingError::TooManyPieces {
                    pieces: MOST_PIECES,
                    time_s: self.time,
                });
            }
            if self.until.soc == Some(self.state.soc) {
                return Ok(Left::Over(Ended::Soc));
            }
            if stage.ends.soc == Some(self.state.soc) {
                return Ok(Left::Next(Ended::StagesDone));
            }
            let stage_left = stage
                .ends
                .seconds
                .map_or(f64::INFINITY, |s| began + s - self.time);
            let until_left = self.until.seconds.map_or(f64::INFINITY, |s| s - self.time);
            if stage_left <= 0.0 {
                return Ok(Left::Next(Ended::StagesDone));
            }
            if until_left <= 0.0 {
                return Ok(Left::Over(Ended::Time));
            }
            if timer_left <= 0.0 {
                return Ok(Left::Over(Ended::Timer));
            }
            let r0 = self.circuit.r0;
            let across: f64 = self.state.pair_v.iter().sum();
            let segment = self.cell.ocv().segment(self.index);
            let emf = segment.voltage(self.state.soc) + across;
            let w = emf - r0 * stage.load_a;
            let bound = stage
                .limits
                .binding(w + past, r0)
                .ok_or(ChargingError::NoLimit { stage: number + 1 })?;
            let supplied = bound.law.supply(w, r0);
            if !supplied.is_finite() {
                return Err(too_high(bound.law, r0, w));
            }
            let current = supplied - stage.load_a;
            // A state of charge exactly between two stretches belongs to the one it moves into.
            if current > 0.0 && self.state.soc >= segment.to && self.index < self.cell.ocv().last()
            {
                self.index += 1;
                continue;
            }
            if current < 0.0 && self.state.soc <= segment.from && self.index > 0 {
                self.index -= 1;
                continue;
            }
            if current < 0.0 && self.state.soc <= segment.from {
                return Ok(Left::Over(Ended::Empty));
            }
            let pace = match stage.timer {
                Some(timer) if bound.binding.holds_back() => timer.pace_held_back,
                _ => 1.0,
            };
            let mut bounds =
                Bounds::new(stage, &self.until, bound, (r0, segment, self.state.soc, w));
            bounds.horizon = stage_left.min(until_left).min(if pace > 0.0 {
                timer_left / pace
            } else {
                f64::INFINITY
            });
            let climb = self.climb(current, segment.slope);
            if let Some((act, side)) = at_once(&bounds, w, climb, takeovers) {
                if let Act::Leave(left) = act {
                    return Ok(left);
                }
                past = beyond(side);
                takeovers += 1;
                continue;
            }
            let still = current.abs() < STILL * self.circuit.coulombs && climb.abs() < STILL;
            if still
                && bounds.horizon.is_infinite()
                && matches!(bound.law, Law::Power(_) | Law::Heat { .. })
            {
                return Err(ChargingError::NeverEnds {
                    stage: number + 1,
                    // Nothing goes into the cell any more: all of it into the load.
                    tends_to_a: stage.load_a,
                    binding: bound.binding,
                });
            }
            let (shape, length, event) = self.solve(bound, &bounds, number)?;
            if event.is_none() && length == 0.0 {
                return Err(too_high(bound.law, r0, w));
            }
            let mut piece = Piece {
                start_s: self.time,
                length_s: length,
                stage: number,
                binding: bound.binding,
                from: self.state,
                to: self.state,
                circuit: self.circuit,
                shape,
            };
            piece.to = piece.state_after(length);
            // Reached, whether it is this or something at the same moment that ends the piece.
            if event == Some(Event::Upper) || piece.to.soc > bounds.upper {
                piece.to.soc = bounds.upper;
            } else if event == Some(Event::Lower) || piece.to.soc < bounds.lower {
                piece.to.soc = bounds.lower;
            }
            if length > 0.0 {
                sink(&piece, stage);
                takeovers = 0;
            }
            self.state = piece.to;
            self.time = piece.end_s();
            timer_left -= length * pace;
            past = 0.0;
            match event {
                None => {}
                Some(Event::Upper | Event::Lower) => {
                    let wanted = [self.until.soc, stage.ends.soc];
                    let reached = wanted.contains(&Some(self.state.soc));
                    if event == Some(Event::Upper)
                        && !reached
                        && self.index == self.cell.ocv().last()
                    {
                        return Err(self.table_ends(bound));
                    }
                }
                Some(Event::Crossed(Act::Takeover, side)) => {
                    past = beyond(side);
                    takeovers += 1;
                }
                Some(Event::Crossed(Act::Leave(left), _)) => return Ok(left),
                Some(Event::Time) => {
                    return Ok(if bounds.horizon == stage_left {
                        Left::Next(Ended::StagesDone)
                    } else if bounds.horizon == until_left {
                        Left::Over(Ended::Time)
                    } else {
                        Left::Over(Ended::Timer)
                    });
                }
            }
        }
    }

    /// How w changes now, in volts a second.
    fn climb(&self, current: f64, slope: f64) -> f64 {
        let pairs: f64 = self
            .circuit
            .pairs()
            .iter()
            .zip(self.state.pair_v)
            .map(|(pair, u)| (current - u / pair.ohm) / pair.farad)
            .sum();
        slope * current / self.circuit.coulombs + pairs
    }

    fn table_ends(&self, bound: Limit) -> ChargingError {
        let segment = self.cell.ocv().segment(self.index);
        let across: f64 = self.state.pair_v.iter().sum();
        let w = segment.voltage(self.state.soc) + across - self.circuit.r0 * self.circuit.load_a;
        ChargingError::TableEndsBelow {
            soc: self.state.soc,
            ocv_v: segment.voltage(segment.to),
            current_a: bound.law.supply(w, self.circuit.r0) - self.circuit.load_a,
            binding: bound.binding,
        }
    }
}

/// A law without a current. Only a power out of the cell has none, where the cell cannot give it.
fn too_high(law: Law, ohm: f64, ocv_v: f64) -> ChargingError {
    let watt = match law {
        Law::Power(watt) => watt.abs(),
        _ => f64::INFINITY,
    };
    ChargingError::PowerTooHigh { watt, ohm, ocv_v }
}

fn beyond(side: Side) -> f64 {
    match side {
        Side::Below => PAST,
        Side::Above => -PAST,
    }
}
