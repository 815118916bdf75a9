//! Everything about a term as plain data, and the probability that it meets a limit.
//!
//! In: a term. Out: a [`Figure`], a probability. Which method serves is decided in `method_choice.rs`.
//! Sources: JCGM 101:2008, 7.7 (coverage interval), JCGM 106:2012, 7 (conformance probability).

use super::method_choice::Assessment;
use super::program::Program;
use super::working::Told;
use super::{Sheet, SheetError, Term};
use crate::format::COVERAGE;
use crate::{Figure, FigureInput, Interval, Unit, format_measured};
use std::rc::Rc;

/// Seed and draws that share out a variance which first order does not see.
const SEED: u64 = 1;
const SHARE_DRAWS: u64 = 8_192;

impl Sheet {
    /// Returns everything about a term as plain data. The method that serves is chosen here, see
    /// `docs/uncertainty.md`; where first order is not enough for value and uncertainty a
    /// note says why. `±` in the text and in the working is half the interval, which has a coverage
    /// of 95 %, with equal probabilities on both sides.
    ///
    /// # Errors
    /// As [`Sheet::value`]; also where the joint distribution has values for which there is no
    /// finite result.
    pub fn figure(&self, term: Term<'_>) -> Result<Figure, SheetError> {
        let program = self.program(&[term])?;
        let found = self.assessment(term, &program)?;
        let (unit, name) = {
            let state = self.state.borrow();
            (state.unit(term.id), state.label(term.id))
        };
        let (low, high) = ends(found.interval, &unit);
        let text = Figure::told(unit.of_si(found.value), (low, high), &[], &unit);
        let working = match &found.replaced {
            Some(what) => {
                let mut working = self.working_to(term, Told::Number)?;
                working.push(format!("{name}: {what} = {text}"));
                working
            }
            None => self.working_to(term, Told::As(&text))?,
        };
        let shares = if found.shares.iter().sum::<f64>() == 0.0 && found.uncertainty > 0.0 {
            self.sampled_shares(term, &program)
        } else {
            found.shares.clone()
        };
        Ok(Figure {
            text,
            value: unit.of_si(found.value),
            standard_uncertainty: found.uncertainty / unit.factor().abs(),
            degrees_of_freedom: found.degrees.is_finite().then_some(found.degrees),
            interval: Interval {
                probability: COVERAGE,
                low,
                high,
            },
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
                        input.sampling_distribution().interval(),
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

/// Returns an interval in a unit; one with a negative factor would turn it round.
fn ends(interval: (f64, f64), unit: &Unit) -> (f64, f64) {
    let ends = (unit.of_si(interval.0), unit.of_si(interval.1));
    (ends.0.min(ends.1), ends.0.max(ends.1))
}

/// Writes a value with its interval, both in SI.
pub(super) fn shown(value: f64, interval: (f64, f64), unit: &Unit) -> String {
    format_measured(unit.of_si(value), ends(interval, unit), unit)
}
