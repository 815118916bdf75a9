//! The walk through a charge, from event to event.
//!
//! In: cell, state, stages, where to stop. Out: pieces, one after another, given to a function; nothing is
//! allocated, so that a thousand draws cost a thousand charges and no more.
//! Not here: the solutions within a piece (`modes`, `ramp`, `stepped`), sums over pieces (`charge`).
//!
//! An event is a change of stretch of the open-circuit voltage, another limit taking over, an end of the stage, a
//! wanted state of charge or a time. All of them but the times are crossings of the state of charge or of w (see
//! `limit`), which the closed forms give to the last digits.

use crate::decay::{Side, root};
use crate::limit::{Law, Limit, NEAR};
use crate::modes::{Circuit, constant_current, constant_voltage};
use crate::piece::{Piece, Shape};
use crate::ramp::Ramp;
use crate::stage::Stage;
use crate::stepped::Step;
use crate::{Binding, Cell, ChargingError, State};

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

/// Takeovers at one moment; more would be the same two by turns.
const MOST_TAKEOVERS: usize = 8;

/// What a crossing of w leads to.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Act {
    Takeover,
    Leave(Left),
}

/// How a stage was left: on to the next, or with the charge over.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Left {
    Next(Ended),
    Over(Ended),
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Event {
    /// w has crossed a threshold, upwards or downwards.
    Crossed(Act, Side),
    /// The state of charge has reached the upper or lower bound of the piece.
    Upper,
    Lower,
    /// The time at which the piece must end.
    Time,
}

struct Bounds {
    upper: f64,
    lower: f64,
    rising: (f64, Act),
    falling: (f64, Act),
    horizon: f64,
}

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
    if until.soc == Some(start.soc) {
        return Ok(walker.finish(Ended::Soc));
    }
    let mut last = Ended::StagesDone;
    for (number, stage) in stages.iter().enumerate() {
        match walker.stage(number, stage, &mut sink)? {
            Left::Next(ended) => last = ended,
            Left::Over(ended) => return Ok(walker.finish(ended)),
        }
    }
    Ok(walker.finish(last))
}

struct Walker<'a> {
    cell: &'a Cell,
    until: Until,
    circuit: Circuit,
    state: State,
    index: usize,
    time: f64,
    pieces: usize,
    /// Length of step to try where there is no closed form.
    tried: f64,
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
                return Err(match bound.law {
                    Law::Power(watt) => ChargingError::PowerTooHigh {
                        watt: watt.abs(),
                        ohm: r0,
                        ocv_v: w,
                    },
                    _ => ChargingError::NoLimit { stage: number + 1 },
                });
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
            let mut bounds = self.bounds(stage, bound, w);
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
            let (shape, length, event) = self.solve(bound, &bounds, number)?;
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
            match event {
                Some(Event::Upper) => piece.to.soc = bounds.upper,
                Some(Event::Lower) => piece.to.soc = bounds.lower,
                _ => {}
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
                    if self.until.soc == Some(self.state.soc) {
                        return Ok(Left::Over(Ended::Soc));
                    }
                    if stage.ends.soc == Some(self.state.soc) {
                        return Ok(Left::Next(Ended::StagesDone));
                    }
                    if event == Some(Event::Upper) && self.index == self.cell.ocv().last() {
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

    fn bounds(&self, stage: &Stage, bound: Limit, w: f64) -> Bounds {
        let r0 = self.circuit.r0;
        let segment = self.cell.ocv().segment(self.index);
        let (mut upper, mut lower) = (segment.to, segment.from);
        for target in [stage.ends.soc, self.until.soc].into_iter().flatten() {
            if target > self.state.soc {
                upper = upper.min(target);
            } else {
                lower = lower.max(target);
            }
        }
        let next = stage.limits.takeovers(bound, w, r0);
        let mut rising = (f64::INFINITY, Act::Takeover);
        let mut falling = (f64::NEG_INFINITY, Act::Takeover);
        if let Some(volt) = stage.ends.rises_to_v {
            rising.0 = behind(bound.law, volt, r0, Side::Below);
            rising.1 = Act::Leave(Left::Next(Ended::StagesDone));
        }
        if let Some(volt) = stage.ends.falls_to_v {
            falling.0 = behind(bound.law, volt, r0, Side::Above);
            falling.1 = Act::Leave(Left::Next(Ended::StagesDone));
        }
        let held = match bound.law {
            Law::Voltage { volt, ohm } => Some((volt, r0 + ohm)),
            Law::Current(_) if bound.binding == Binding::Full => Some((w, 0.0)),
            _ => None,
        };
        if let Some((volt, ohm)) = held {
            for (ampere, left) in [
                (stage.ends.falls_to_a, Left::Next(Ended::Terminated)),
                (stage.ends.finishes_at_a, Left::Over(Ended::Terminated)),
            ] {
                if let Some(ampere) = ampere {
                    let at = volt - ohm * ampere;
                    if at < rising.0 {
                        rising = (at, Act::Leave(left));
                    }
                }
            }
        }
        if next.rising < rising.0 {
            rising = (next.rising, Act::Takeover);
        }
        if next.falling > falling.0 {
            falling = (next.falling, Act::Takeover);
        }
        Bounds {
            upper,
            lower,
            rising,
            falling,
            horizon: f64::INFINITY,
        }
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

    /// The solution under a law, how long it holds, and what ends it.
    fn solve(
        &mut self,
        bound: Limit,
        bounds: &Bounds,
        stage: usize,
    ) -> Result<(Shape, f64, Option<Event>), ChargingError> {
        let segment = self.cell.ocv().segment(self.index);
        let modes = match bound.law {
            Law::Current(ampere) => constant_current(
                &self.circuit,
                &segment,
                &self.state,
                ampere - self.circuit.load_a,
            ),
            Law::Voltage { volt, ohm } => {
                constant_voltage(&self.circuit, &segment, &self.state, volt, ohm)
            }
            Law::Power(_) | Law::Heat { .. } => {
                return Ok(
                    match Ramp::new(bound.law, &self.circuit, segment, self.state.soc) {
                        Some(ramp) => ramped(ramp, bounds),
                        None => self.stepped(bound.law, bounds),
                    },
                );
            }
        };
        let mut first = (bounds.horizon, Event::Time);
        let soc = self.state.soc;
        if modes.resistance == 0.0 {
            let current = modes.steady_a;
            let (bound, event) = if current > 0.0 {
                (bounds.upper, Event::Upper)
            } else {
                (bounds.lower, Event::Lower)
            };
            let time = (bound - soc) * self.circuit.coulombs / current;
            if current != 0.0 && time <= first.0 {
                first = (time, event);
            }
        } else {
            let path = modes.soc(&self.circuit, soc);
            // The end of the table may be approached without end; the last digits must not reach it.
            let at_end = self.index == self.cell.ocv().last() && bounds.upper == segment.to;
            let slack = if at_end { 1e-12 } else { 0.0 };
            if let Some(time) = path.first_crossing(bounds.upper + slack, Side::Below, first.0) {
                first = (time, Event::Upper);
            }
            if self.circuit.load_a > 0.0
                && let Some(time) = path.first_crossing(bounds.lower, Side::Above, first.0)
            {
                first = (time, Event::Lower);
            }
        }
        let (level, act) = bounds.rising;
        if level.is_finite()
            && let Some(time) = modes.w.first_crossing(level, Side::Below, first.0)
        {
            first = (time, Event::Crossed(act, Side::Below));
        }
        let (level, act) = bounds.falling;
        if level.is_finite()
            && let Some(time) = modes.w.first_crossing(level, Side::Above, first.0)
        {
            first = (time, Event::Crossed(act, Side::Above));
        }
        if first.0.is_infinite() {
            let lasting: f64 = (0..modes.rates.len())
                .filter(|k| modes.rates[*k] == 0.0)
                .map(|k| modes.current[k])
                .sum();
            return Err(ChargingError::NeverEnds {
                stage: stage + 1,
                tends_to_a: modes.steady_a + lasting + self.circuit.load_a,
                binding: bound.binding,
            });
        }
        Ok((Shape::Modes(modes), first.0, Some(first.1)))
    }

    fn stepped(&mut self, law: Law, bounds: &Bounds) -> (Shape, f64, Option<Event>) {
        let step = Step {
            law,
            segment: self.cell.ocv().segment(self.index),
            circuit: self.circuit,
            from: self.state,
        };
        let (length, next) = step.length(self.tried, bounds.horizon);
        self.tried = next;
        let mut first = (length, (length == bounds.horizon).then_some(Event::Time));
        let (w, _) = step.w_after(length);
        let (soc, _) = step.soc_after(length);
        let crossings = [
            (soc - bounds.upper, bounds.upper, true, Event::Upper),
            (bounds.lower - soc, bounds.lower, true, Event::Lower),
            (
                w - bounds.rising.0,
                bounds.rising.0,
                false,
                Event::Crossed(bounds.rising.1, Side::Below),
            ),
            (
                bounds.falling.0 - w,
                bounds.falling.0,
                false,
                Event::Crossed(bounds.falling.1, Side::Above),
            ),
        ];
        for (over, level, of_soc, event) in crossings {
            if over < 0.0 || !level.is_finite() {
                continue;
            }
            let up = matches!(event, Event::Upper | Event::Crossed(_, Side::Below));
            let time = root(
                0.0,
                first.0,
                |gap| if up { gap > 0.0 } else { gap < 0.0 },
                |h| {
                    let (value, rate) = if of_soc {
                        step.soc_after(h)
                    } else {
                        step.w_after(h)
                    };
                    (value - level, rate)
                },
            );
            if time <= first.0 {
                first = (time, Some(event));
            }
        }
        (Shape::Step(step), first.0, first.1)
    }
}

/// A piece in closed form along the state of charge: it rises, and w with it.
fn ramped(ramp: Ramp, bounds: &Bounds) -> (Shape, f64, Option<Event>) {
    let (mut soc, mut event) = (bounds.upper, Event::Upper);
    let (level, act) = bounds.rising;
    if ramp.segment.slope > 0.0 {
        let at = ramp.segment.from + (level - ramp.segment.volts) / ramp.segment.slope;
        if at < soc {
            (soc, event) = (at.max(ramp.from), Event::Crossed(act, Side::Below));
        }
    }
    let time = ramp.time_to(soc);
    if bounds.horizon < time {
        return (Shape::Ramp(ramp), bounds.horizon, Some(Event::Time));
    }
    (Shape::Ramp(ramp), time, Some(event))
}

/// What happens before any time passes.
fn at_once(bounds: &Bounds, w: f64, climb: f64, takeovers: usize) -> Option<(Act, Side)> {
    let may = |act: Act, towards: bool| match act {
        Act::Takeover => towards && takeovers < MOST_TAKEOVERS,
        Act::Leave(_) => true,
    };
    let (level, act) = bounds.rising;
    if w >= level - NEAR && may(act, climb > 0.0) {
        return Some((act, Side::Below));
    }
    let (level, act) = bounds.falling;
    (w <= level + NEAR && may(act, climb < 0.0)).then_some((act, Side::Above))
}

fn beyond(side: Side) -> f64 {
    match side {
        Side::Below => PAST,
        Side::Above => -PAST,
    }
}

/// The w at which the cell's terminals show `volt` under a law; infinite, on the side it comes from, if never.
fn behind(law: Law, volt: f64, r0: f64, side: Side) -> f64 {
    match law {
        Law::Current(ampere) => volt - r0 * ampere,
        Law::Power(watt) => volt - r0 * watt / volt,
        Law::Heat { watt, input_v, ohm } => {
            // i·(Vin − v − ohm·i) = G at v.
            let left = input_v - volt;
            let square = left * left - 4.0 * ohm * watt;
            if left <= 0.0 || square < 0.0 {
                return f64::INFINITY;
            }
            volt - r0 * 2.0 * watt / (left + square.sqrt())
        }
        Law::Voltage { volt: held, ohm } => {
            let reached = match side {
                Side::Below => held >= volt - NEAR,
                Side::Above => held <= volt + NEAR,
            };
            match side {
                // A held voltage stays; behind a resistance it rises as the current falls.
                _ if ohm > 0.0 => ((r0 + ohm) * volt - r0 * held) / ohm,
                Side::Below if reached => f64::NEG_INFINITY,
                Side::Below => f64::INFINITY,
                Side::Above if reached => f64::INFINITY,
                Side::Above => f64::NEG_INFINITY,
            }
        }
    }
}
