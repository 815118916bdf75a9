//! Everything about a term as plain data, and the probability that it meets a limit.
//!
//! In: a term. Out: a [`Figure`], a probability. Which method serves is decided in `method_choice.rs`.
//! Sources: JCGM 101:2008, 7.7 (coverage interval), JCGM 106:2012, 7 (conformance probability).

use super::method_choice::{Assessment, COVERAGE};
use super::program::Program;
use super::{Sheet, SheetError, Term};
use crate::{Figure, FigureInput, Interval, Unit, format_measured};
use std::rc::Rc;

/// Seed and draws that share out a variance which first order does not see.
const SEED: u64 = 1;
const SHARE_DRAWS: u64 = 8_192;

impl Sheet {
    /// Returns everything about a term as plain data. The method that serves is chosen here, see
    /// `docs/uncertainty.md`; where first order is not enough for value and uncertainty a
    /// note says why. `±` in the text and in the working is the standard uncertainty; the interval
    /// has a coverage of 95 %, with equal probabilities on both sides.
    ///
    /// # Errors
    /// As [`Sheet::value`]; also where the joint distribution has values for which there is no
    /// finite result.
    pub fn figure(&self, term: Term<'_>) -> Result<Figure, SheetError> {
        let program = self.program(&[term])?;
        let found = self.assessment(term, &program)?;
        let mut working = self.working(term)?;
        let (unit, name) = {
            let state = self.state.borrow();
            (state.unit(term.id), state.label(term.id))
        };
        if let Some(what) = &found.replaced {
            working.push(format!(
                "{name}: {what} = {}",
                shown(found.value, found.uncertainty, &unit)
            ));
        }
        let shares = if found.shares.iter().sum::<f64>() == 0.0 && found.uncertainty > 0.0 {
            self.sampled_shares(term, &program)
        } else {
            found.shares.clone()
        };
        // A unit with a negative factor would turn the interval round.
        let ends = (unit.of_si(found.interval.0), unit.of_si(found.interval.1));
        Ok(Figure {
            value: unit.of_si(found.value),
            standard_uncertainty: found.uncertainty / unit.factor().abs(),
            degrees_of_freedom: found.degrees.is_finite().then_some(found.degrees),
            interval: Interval {
                probability: COVERAGE,
                low: ends.0.min(ends.1),
                high: ends.0.max(ends.1),
            },
            text: shown(found.value, found.uncertainty, &unit),
            working,
            inputs: self.figure_inputs(&program, &shares),
            notes: found.notes.clone(),
            method: found.method.clone(),
            name,
            unit,
        })
    }

    /// Returns the probability that `term <= limit` (SI), by the method that serves the figure.
    ///
    /// # Errors
    /// As [`Sheet::figure`].
    pub fn probability_at_most(&self, term: Term<'_>, limit: f64) -> Result<f64, SheetError> {
        let program = self.program(&[term])?;
        let found = self.assessment(term, &program)?;
        if limit.is_nan() {
            return Err(SheetError::Value("the limit is not a number".into()));
        }
        Ok(found.distribution.probability(limit))
    }

    /// Returns what is known about a term; the last one is remembered.
    fn assessment(&self, term: Term<'_>, program: &Program) -> Result<Rc<Assessment>, SheetError> {
        if let Some((of, found)) = &self.state.borrow().assessed
            && *of == term.id
        {
            return Ok(Rc::clone(found));
        }
        let found = Rc::new(Assessment::new(&self.state.borrow(), term.id, program)?);
        self.state.borrow_mut().assessed = Some((term.id, Rc::clone(&found)));
        Ok(found)
    }

    /// Total shares by sampling, scaled to a sum of one; zero where they are not defined.
    fn sampled_shares(&self, term: Term<'_>, program: &Program) -> Vec<f64> {
        let Ok(shares) = self.variance_shares(term, SHARE_DRAWS, SEED) else {
            return vec![0.0; program.inputs.len()];
        };
        let whole: f64 = shares.total.iter().sum();
        program
            .inputs
            .iter()
            .map(|&k| {
                if whole > 0.0 {
                    shares.total[k as usize] / whole
                } else {
                    0.0
                }
            })
            .collect()
    }

    fn figure_inputs(&self, program: &Program, shares: &[f64]) -> Vec<FigureInput> {
        let state = self.state.borrow();
        let mut inputs: Vec<FigureInput> = program
            .inputs
            .iter()
            .zip(shares)
            .map(|(&k, &variance_share)| {
                let input = &state.inputs[k as usize];
                FigureInput {
                    name: input.name.clone(),
                    text: shown(
                        state.means[k as usize],
                        state.uncertainties[k as usize],
                        &input.unit,
                    ),
                    source: input.source.clone(),
                    variance_share,
                }
            })
            .collect();
        inputs.sort_by(|a, b| b.variance_share.total_cmp(&a.variance_share));
        inputs
    }
}

fn shown(value: f64, uncertainty: f64, unit: &Unit) -> String {
    format_measured(unit.of_si(value), uncertainty / unit.factor().abs(), unit)
}
