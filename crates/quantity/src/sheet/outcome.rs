//! Everything about a term as plain data, and the probability that it meets a limit.
//!
//! In: a term. Out: a [`Figure`], a probability. First order where it suffices, Monte Carlo where
//! it does not, with a note that says why. Sources: JCGM 100:2008, G.3 and G.4 (t factors),
//! JCGM 101:2008, 8 (when first order is not enough), JCGM 106:2012, 7 (conformance probability).

use super::curvature::curvature;
use super::monte_carlo::{MonteCarlo, Sampled};
use super::node::Function;
use super::program::{Program, Step};
use super::propagate::FirstOrder;
use super::{Sheet, SheetError, Term, not_finite};
use crate::special::{t_probability, t_quantile};
use crate::{Distribution, Figure, FigureInput, Interval, Unit, format_measured};
use std::rc::Rc;

/// Coverage probability of a figure's interval.
const COVERAGE: f64 = 0.95;
/// Change of the uncertainty by second-order parts above which first order is not enough.
const CURVED: f64 = 0.05;
/// Distance from a corner of `min`, `max` or `abs`, in standard uncertainties, below which the
/// corner matters.
const CORNER: f64 = 3.0;
/// Difference of a table's slopes within one standard uncertainty, relative to the slope, above
/// which its corners matter.
const BENT: f64 = 0.1;
/// Share of the variance above which the shape of one input is the shape of the result.
const DOMINANT: f64 = 0.5;
/// Draws of the run that replaces first order, and of one through an opaque model.
const DRAWS: u64 = 200_000;
const OPAQUE_DRAWS: u64 = 10_000;
const SEED: u64 = 1;
/// Draws that share out a variance which first order does not see.
const SHARE_DRAWS: u64 = 8_192;

/// What first order says about a term, and whether that is enough.
struct Assessment {
    value: f64,
    uncertainty: f64,
    /// Degrees of freedom for the coverage factor; infinite where none are stated.
    degrees: f64,
    /// Variance share per input of the program, 0 to 1.
    shares: Vec<f64>,
    notes: Vec<String>,
    way: Way,
}

/// How the distribution of a term is known.
enum Way {
    /// Normal or t with the first-order uncertainty.
    FirstOrder,
    /// The term is straight in a single input: its law, stretched by a slope.
    OneInput(Distribution, f64, String),
    /// First-order value and uncertainty hold, the shape is sampled.
    SampledShape,
    /// Value, uncertainty and shape are sampled.
    Sampled,
}

impl Sheet {
    /// Returns everything about a term as plain data. First order where it suffices; where the
    /// second-order check says it does not, or a distribution has no normal shape, the interval
    /// comes from a seeded Monte-Carlo run and a note says so. `±` in the text and in the working
    /// is the standard uncertainty; the interval has a coverage of 95 %.
    ///
    /// # Errors
    /// As [`Sheet::value`].
    pub fn figure(&self, term: Term<'_>) -> Result<Figure, SheetError> {
        let program = self.program(&[term])?;
        let mut found = self.assess(term, &program)?;
        let mut working = self.working(term)?;
        let (unit, name) = {
            let state = self.state.borrow();
            (state.unit(term.id), state.label(term.id))
        };
        let mut method = String::from("first order");
        let half = (1.0 - COVERAGE) / 2.0;
        let (low, high) = match &found.way {
            Way::FirstOrder => {
                let reach = t_quantile(1.0 - half, found.degrees) * found.uncertainty;
                (found.value - reach, found.value + reach)
            }
            Way::OneInput(law, slope, input) => {
                method = format!("first order, with the distribution of {input}");
                let at = |p: f64| found.value + slope * (law.quantile(p) - law.mean());
                let ends = (at(half), at(1.0 - half));
                (ends.0.min(ends.1), ends.0.max(ends.1))
            }
            Way::SampledShape | Way::Sampled => {
                let sampled = self.sampled(term, &program)?;
                let draws = spaced(draws(&program));
                method = format!("Monte Carlo, {draws} draws, seed {SEED}");
                if matches!(found.way, Way::Sampled) {
                    found.value = sampled.mean;
                    found.uncertainty = sampled.sd;
                    found.degrees = f64::INFINITY;
                    working.push(format!(
                        "{name}: mean of {draws} draws = {}",
                        shown(found.value, found.uncertainty, &unit)
                    ));
                }
                sampled.symmetric(COVERAGE)
            }
        };
        if found.shares.iter().sum::<f64>() == 0.0 && found.uncertainty > 0.0 {
            found.shares = self.sampled_shares(term, &program);
        }
        // A unit with a negative factor would turn the interval round.
        let ends = (unit.of_si(low), unit.of_si(high));
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
            inputs: self.figure_inputs(&program, &found.shares),
            notes: found.notes,
            method,
            name,
            unit,
        })
    }

    /// Returns the probability that `term <= limit` (SI): normal or t by first order, sampled
    /// where first order is not enough.
    ///
    /// # Errors
    /// As [`Sheet::value`].
    pub fn probability_at_most(&self, term: Term<'_>, limit: f64) -> Result<f64, SheetError> {
        let program = self.program(&[term])?;
        let found = self.assess(term, &program)?;
        if limit.is_nan() {
            return Err(SheetError::Value("the limit is not a number".into()));
        }
        Ok(match &found.way {
            Way::FirstOrder if found.uncertainty == 0.0 => f64::from(found.value <= limit),
            Way::FirstOrder => {
                t_probability((limit - found.value) / found.uncertainty, found.degrees)
            }
            Way::OneInput(law, slope, _) => {
                let at_most = probability(law, law.mean() + (limit - found.value) / slope);
                if *slope > 0.0 { at_most } else { 1.0 - at_most }
            }
            Way::SampledShape | Way::Sampled => {
                self.sampled(term, &program)?.probability_at_most(limit)
            }
        })
    }

    fn assess(&self, term: Term<'_>, program: &Program) -> Result<Assessment, SheetError> {
        let state = &*self.state.borrow();
        state.check_correlations()?;
        let first = FirstOrder::new(program);
        let value = first.value(0);
        if !value.is_finite() {
            return Err(not_finite(&state.label(term.id)));
        }
        let uncertainty = first.variance(0).sqrt();
        let weights = first.weights(0);
        let whole: f64 = weights.iter().map(|w| w * w).sum();
        let shares: Vec<f64> = weights
            .iter()
            .map(|w| if whole > 0.0 { w * w / whole } else { 0.0 })
            .collect();
        let mut found = Assessment {
            value,
            uncertainty,
            degrees: first.degrees(0),
            shares,
            notes: Vec::new(),
            way: Way::FirstOrder,
        };
        if found.degrees.is_nan() {
            found.degrees = least_degrees(program, weights);
            found.notes.push(
                "Correlated inputs rule out effective degrees of freedom; the interval uses the least of the inputs'.".into(),
            );
        } else if found.degrees.is_finite() {
            // GUM G.4.1, note 1: the next lower whole number.
            found.degrees = found.degrees.floor().max(1.0);
        }
        let parts = curvature(&first);
        let bent = curved(uncertainty, parts.variance[0], parts.shift[0]);
        if let Some(why) = bent.or_else(|| corner(program, &first.variables)) {
            found.notes.push(why);
            found.way = Way::Sampled;
        } else if let Some(at) = found.shares.iter().position(|&s| s > DOMINANT) {
            let input = &state.inputs[program.inputs[at] as usize];
            let straight = program
                .steps
                .iter()
                .all(|s| matches!(s, Step::Linear { .. }));
            let alone = weights.iter().filter(|w| **w != 0.0).count() == 1;
            let normal = matches!(
                input.distribution,
                Distribution::Normal { .. } | Distribution::ScaledT { .. }
            );
            if straight && alone && !normal && input.degrees_of_freedom.is_none() {
                let slope = first.slopes(0)[at];
                found.way = Way::OneInput(input.distribution, slope, input.name.clone());
            } else if !normal {
                found.notes.push(format!(
                    "{:.0} % of the variance comes from {}, which is {}, so the interval is sampled.",
                    found.shares[at] * 100.0,
                    input.name,
                    input.distribution.word()
                ));
                found.way = Way::SampledShape;
            }
        }
        Ok(found)
    }

    /// Returns the run that stands in for first order; the last one is remembered.
    fn sampled(&self, term: Term<'_>, program: &Program) -> Result<Rc<Sampled>, SheetError> {
        if let Some((of, sampled)) = &self.state.borrow().sampled
            && *of == term.id
        {
            return Ok(Rc::clone(sampled));
        }
        let run = MonteCarlo {
            draws: draws(program),
            seed: SEED,
            threads: 1,
            keep_samples: false,
        };
        let sampled = Rc::new(self.monte_carlo(term, run)?);
        self.state.borrow_mut().sampled = Some((term.id, Rc::clone(&sampled)));
        Ok(sampled)
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

/// Says why second-order parts matter, if they do.
fn curved(uncertainty: f64, second: f64, shift: f64) -> Option<String> {
    if !uncertainty.is_finite() || !(second + shift).is_finite() {
        return Some("First order is not enough: a sensitivity is not finite there, so value, uncertainty and interval are sampled.".into());
    }
    let variance = uncertainty * uncertainty;
    let whole = (variance + second).max(0.0) + shift * shift;
    if uncertainty == 0.0 {
        return (whole > 0.0).then(|| {
            "First order is not enough: the sensitivities vanish there although the inputs are uncertain, so value, uncertainty and interval are sampled.".into()
        });
    }
    let change = whole.sqrt() / uncertainty - 1.0;
    (change.abs() > CURVED).then(|| {
        format!(
            "First order is not enough: second-order parts change the uncertainty by {:.0} %, so value, uncertainty and interval are sampled.",
            change * 100.0
        )
    })
}

/// Says which corner of the formula lies near, if one does.
fn corner(program: &Program, values: &[f64]) -> Option<String> {
    let mut left = vec![0.0; values.len()];
    let mut right = vec![0.0; values.len()];
    for step in &program.steps {
        let (word, a, b) = match step {
            Step::Min(a, b) => ("min", *a, Some(*b)),
            Step::Max(a, b) => ("max", *a, Some(*b)),
            Step::Function(Function::Abs, a) => ("abs", *a, None),
            Step::Interpolate(a, table) => {
                left.fill(0.0);
                program.reverse(values, values, *a, true, &mut left);
                let u = spread(program, left.iter().copied());
                let at = |x: f64| table.at(x).0;
                let x = values[*a as usize];
                let (low, middle, high) = (at(x - u), at(x), at(x + u));
                if (high + low - 2.0 * middle).abs() > BENT * (high - low).abs() {
                    return Some(format!(
                        "First order is not enough: {} bends within the uncertainty, so value, uncertainty and interval are sampled.",
                        table.name
                    ));
                }
                continue;
            }
            _ => continue,
        };
        left.fill(0.0);
        program.reverse(values, values, a, true, &mut left);
        right.fill(0.0);
        if let Some(b) = b {
            program.reverse(values, values, b, true, &mut right);
        }
        let distance = values[a as usize] - b.map_or(0.0, |b| values[b as usize]);
        let u = spread(program, left.iter().zip(&right).map(|(p, q)| p - q));
        if distance.abs() < CORNER * u {
            return Some(format!(
                "First order is not enough: a corner of {word}() lies within the uncertainty, so value, uncertainty and interval are sampled."
            ));
        }
    }
    None
}

/// Standard uncertainty of a variable with the given derivatives, inputs taken as independent.
fn spread(program: &Program, slopes: impl Iterator<Item = f64>) -> f64 {
    program
        .uncertainties
        .iter()
        .zip(slopes)
        .map(|(u, slope)| (slope * u).powi(2))
        .sum::<f64>()
        .sqrt()
}

fn least_degrees(program: &Program, weights: &[f64]) -> f64 {
    program
        .degrees
        .iter()
        .filter(|(v, _)| weights[*v] != 0.0)
        .map(|(_, degrees)| *degrees)
        .fold(f64::INFINITY, f64::min)
}

fn draws(program: &Program) -> u64 {
    let opaque = program.steps.iter().any(|s| matches!(s, Step::Call { .. }));
    if opaque { OPAQUE_DRAWS } else { DRAWS }
}

/// Inverts the quantile by halving.
fn probability(law: &Distribution, x: f64) -> f64 {
    let (mut low, mut high) = (0.0, 1.0);
    if x >= law.quantile(1.0) {
        return 1.0;
    }
    for _ in 0..60 {
        let middle = (low + high) / 2.0;
        if law.quantile(middle) <= x {
            low = middle
        } else {
            high = middle
        }
    }
    low
}

fn shown(value: f64, uncertainty: f64, unit: &Unit) -> String {
    format_measured(unit.of_si(value), uncertainty / unit.factor().abs(), unit)
}

/// Groups digits by threes with spaces.
fn spaced(number: u64) -> String {
    let digits = number.to_string();
    let mut text = String::new();
    for (i, digit) in digits.chars().enumerate() {
        if i > 0 && (digits.len() - i).is_multiple_of(3) {
            text.push(' ');
        }
        text.push(digit);
    }
    text
}
