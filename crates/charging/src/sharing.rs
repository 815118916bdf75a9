//! One input for several cells: a case that charges its own cell and its guests.
//!
//! In: watts at the input; who asks for how much, in order of priority. Out: who gets what, and charges that
//! follow from it.
//! Not here: which priority a product has (the caller states it).

use crate::charge::Charge;
use crate::limit::Law;
use crate::source::share;
use crate::stage::{Ends, Phase, Stage};
use crate::walk::{Ended, Until};
use crate::{Binding, Cell, ChargingError, State, charge};

/// Someone who takes from a common input.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Request {
    /// Watts asked for at the cell's side.
    pub watt: f64,
    /// Output over input of what stands between.
    pub efficiency: f64,
}

/// What one of them gets.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Share {
    /// Watts of the input.
    pub input_w: f64,
    /// Watts at the cell's side.
    pub output_w: f64,
}

/// Gives each, in order, what it asks for or what is left.
///
/// # Errors
/// Watts that are negative or no number, an efficiency that is not within 0 to 1.
pub fn shares(input_w: f64, requests: &[Request]) -> Result<Vec<Share>, ChargingError> {
    let mut left = not_negative("power at the input in watts", input_w)?;
    requests
        .iter()
        .map(|request| {
            let efficiency = share("efficiency of a converter", request.efficiency)?;
            let watt = not_negative("power asked for in watts", request.watt)?;
            let input_w = left.min(watt / efficiency);
            left -= input_w;
            Ok(Share {
                input_w,
                output_w: input_w * efficiency,
            })
        })
        .collect()
}

fn not_negative(what: &'static str, value: f64) -> Result<f64, ChargingError> {
    if value.is_finite() && value >= 0.0 {
        Ok(value)
    } else {
        Err(ChargingError::OutOfRange {
            what,
            value,
            from: 0.0,
            to: f64::MAX,
        })
    }
}

/// A cell on a common input.
#[derive(Debug, Clone, PartialEq)]
pub struct Guest {
    /// The cell.
    pub cell: Cell,
    /// Where it starts.
    pub start: State,
    /// Its charge without regard to the common input; no stage may count time.
    pub stages: Vec<Stage>,
    /// Output over input of what stands between.
    pub efficiency: f64,
}

/// Charges several cells from one input of `input_w` watts, the first served first, `steps` slices of time to each
/// piece of those before. Within a slice, what the ones before take is held at its mean, so that energy is kept
/// exactly and times are as near as the slices are short. A cell that nothing is left for waits.
///
/// # Errors
/// As [`crate::walk`]; watts that are no number, an efficiency that is not within 0 to 1, a stage that counts time.
pub fn charge_together(
    input_w: f64,
    guests: &[Guest],
    steps: u32,
) -> Result<Vec<Charge>, ChargingError> {
    not_negative("power at the input in watts", input_w)?;
    let mut charges: Vec<Charge> = Vec::new();
    for (number, guest) in guests.iter().enumerate() {
        share("efficiency of a converter", guest.efficiency)?;
        let timed = |stage: &Stage| stage.timer.is_some() || stage.ends.seconds.is_some();
        if let Some(stage) = guest.stages.iter().position(timed) {
            return Err(ChargingError::TimedOnCommonInput { stage: stage + 1 });
        }
        let before = || charges.iter().zip(guests.iter().take(number));
        let mut times: Vec<f64> = before()
            .flat_map(|(charge, _)| charge.pieces())
            .flat_map(|piece| {
                (1..=steps.max(1)).map(|k| {
                    piece.start_s + piece.length_s * f64::from(k) / f64::from(steps.max(1))
                })
            })
            .collect();
        times.sort_by(f64::total_cmp);
        times.dedup();
        let slices: Vec<(f64, f64)> = std::iter::once(0.0)
            .chain(times.iter().copied())
            .zip(times.iter().copied())
            .filter(|(from, to)| to > from)
            .map(|(from, to)| {
                let taken: f64 = before()
                    .map(|(charge, other)| charge.energy_between(from, to) / other.efficiency)
                    .sum();
                (to, (input_w - taken / (to - from)) * guest.efficiency)
            })
            .collect();
        charges.push(on_what_is_left(guest, &slices, input_w * guest.efficiency)?);
    }
    Ok(charges)
}

/// A charge whose power is limited slice by slice, and by `at_last` after the last.
fn on_what_is_left(
    guest: &Guest,
    slices: &[(f64, f64)],
    at_last: f64,
) -> Result<Charge, ChargingError> {
    /// Below this a converter gives nothing.
    const LEAST_W: f64 = 1e-9;
    let mut whole: Option<Charge> = None;
    let mut stages = guest.stages.as_slice();
    let mut state = guest.start;
    let mut from = 0.0;
    for (to, watt) in slices.iter().copied().chain([(f64::INFINITY, at_last)]) {
        let seconds = to - from;
        let until = Until {
            soc: None,
            seconds: seconds.is_finite().then_some(seconds),
        };
        let part = if watt < LEAST_W {
            let ends = Ends {
                seconds: until.seconds,
                ..Ends::default()
            };
            if !seconds.is_finite() {
                return Err(ChargingError::NothingLeft {
                    input_w: at_last,
                    taken_w: at_last - watt,
                });
            }
            let wait = Stage::new(
                Phase::Rest,
                crate::Limits::new().and(Law::Current(0.0), Binding::Rest)?,
                ends,
            );
            let mut part = charge(&guest.cell, state, &[wait], Until::default())?;
            part.finish.ended = Ended::Time;
            part
        } else {
            let limited = stages
                .iter()
                .map(|stage| {
                    Ok(Stage {
                        limits: stage.limits.and(Law::Power(watt), Binding::SourcePower)?,
                        ..*stage
                    })
                })
                .collect::<Result<Vec<Stage>, ChargingError>>()?;
            let part = charge(&guest.cell, state, &limited, until)?;
            // A stage that has ended does not come back in the next slice.
            if part.finish.ended == Ended::Time {
                let passed = part.pieces().last().map_or(0, |piece| piece.stage);
                stages = stages.get(passed..).unwrap_or_default();
            }
            part
        };
        state = part.finish.state;
        from = to;
        let going_on = part.finish.ended == Ended::Time;
        match &mut whole {
            None => whole = Some(part),
            Some(whole) => whole.append(part),
        }
        if !going_on {
            break;
        }
    }
    whole.ok_or(ChargingError::NoLimit { stage: 1 })
}
