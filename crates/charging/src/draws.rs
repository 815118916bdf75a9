//! Many charges of drawn cells, for their answers alone.
//!
//! In: cells, states and stages that the caller has drawn; questions. Out: one outcome for each draw.
//! Not here: the drawing, quantiles, which inputs drive the result (the caller has them).
//!
//! Nothing is allocated for a draw: pieces are looked at as they come and forgotten.

use crate::charge::Totals;
use crate::walk::{Finish, Until, walk};
use crate::{Cell, ChargingError, Stage, State};

/// What is asked of every draw.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Question {
    /// Seconds until a state of charge is first reached.
    TimeTo(f64),
    /// State of charge after some seconds, or at the end if that comes first.
    SocAfter(f64),
    /// Ampere-hours that came in within some seconds.
    ChargeAfter(f64),
    /// Watt-hours that came in at the cell's terminals within some seconds.
    EnergyAfter(f64),
}

/// One drawn charge.
#[derive(Debug, Clone, PartialEq)]
pub struct Draw<'a> {
    /// The cell; [`Cell::with`] makes one without copying the voltage table.
    pub cell: Cell,
    /// Where it starts.
    pub start: State,
    /// What it goes through.
    pub stages: &'a [Stage],
}

/// What came of one draw.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outcome<const N: usize> {
    /// Answers in the order of the questions; none to a state of charge that is not reached.
    pub answers: [Option<f64>; N],
    /// Sums over the charge.
    pub totals: Totals,
    /// How and where it ended.
    pub finish: Finish,
}

/// Goes through one charge and answers questions.
///
/// # Errors
/// As [`walk`].
pub fn ask<const N: usize>(
    cell: &Cell,
    start: State,
    stages: &[Stage],
    until: Until,
    questions: &[Question; N],
) -> Result<Outcome<N>, ChargingError> {
    let mut totals = Totals::default();
    let mut answers = questions.map(|question| match question {
        Question::TimeTo(soc) => (soc == start.soc).then_some(0.0),
        Question::SocAfter(_) => Some(start.soc),
        Question::ChargeAfter(_) | Question::EnergyAfter(_) => Some(0.0),
    });
    let finish = walk(cell, start, stages, until, |piece, stage| {
        totals.add(piece, stage);
        for (question, answer) in questions.iter().zip(&mut answers) {
            match *question {
                Question::TimeTo(soc) if answer.is_none() => {
                    *answer = piece.time_to(soc).map(|t| piece.start_s + t);
                }
                Question::SocAfter(s) if s > piece.start_s => {
                    *answer = Some(piece.at(s - piece.start_s).state.soc);
                }
                Question::ChargeAfter(s) if s > piece.start_s => {
                    let part = piece.integrals((s - piece.start_s).min(piece.length_s));
                    *answer = answer.map(|sum| sum + part.coulombs / 3600.0);
                }
                Question::EnergyAfter(s) if s > piece.start_s => {
                    let part = piece.integrals((s - piece.start_s).min(piece.length_s));
                    *answer = answer.map(|sum| sum + part.energy_j / 3600.0);
                }
                _ => {}
            }
        }
    })?;
    Ok(Outcome {
        answers,
        totals,
        finish,
    })
}

/// Goes through many charges, one after another on one thread, and answers the same questions of each. A draw that
/// cannot be worked out says why and leaves the others alone.
#[must_use]
pub fn draws<const N: usize>(
    draws: &[Draw<'_>],
    until: Until,
    questions: &[Question; N],
) -> Vec<Result<Outcome<N>, ChargingError>> {
    draws
        .iter()
        .map(|draw| ask(&draw.cell, draw.start, draw.stages, until, questions))
        .collect()
}
