//! The derivation graph: terms made of named inputs, evaluated in several ways.
//!
//! In: inputs with their distributions, formulas written with operators on [`Term`].
//! Out: values, first-order uncertainties, draws, shares of variance, the working as text.
//! Not here: reading figures (`stated.rs`), the distributions themselves (`distribution.rs`).
//!
//! All values are in the coherent SI unit inside; names carry the unit a term is shown in. A
//! mistake in an operator (unlike dimensions, terms of two sheets) is kept in the sheet and
//! returned by every evaluation, so that formulas stay readable.
//!
//! | file | subject |
//! | --- | --- |
//! | `input.rs` | inputs, and how an origin chooses a distribution |
//! | `term.rs`, `node.rs` | handles, operators, operations |
//! | `model.rs` | models that the graph cannot look into |
//! | `compile.rs`, `program.rs` | the part of the graph that a result needs, made and run |
//! | `gradient.rs`, `propagate.rs`, `curvature.rs` | derivatives, first order, second-order check |
//! | `method_choice.rs`, `kink.rs`, `zero_divisor.rs` | which method serves a term, and what stands against one |
//! | `normal_score.rs`, `nataf.rs`, `correlation.rs`, `cause_space.rs` | distributions as functions of normal scores, correlated ones too |
//! | `axis_probes.rs`, `additive.rs`, `convolution.rs` | distributions combined without draws |
//! | `quasi_monte_carlo.rs`, `score_line.rs`, `drawn.rs` | as few draws as the accuracy needs, once for equal causes |
//! | `random.rs`, `sampler.rs`, `block.rs`, `monte_carlo.rs`, `histogram.rs` | draws |
//! | `variance_shares.rs` | variance-based sensitivity |
//! | `working.rs`, `term_figure.rs` | text, and everything about a term as plain data |

mod additive;
mod axis_probes;
mod block;
mod cause_space;
mod compile;
mod convolution;
mod correlation;
mod curvature;
mod drawn;
mod gradient;
mod histogram;
mod input;
mod kink;
mod method_choice;
mod model;
mod monte_carlo;
mod nataf;
mod node;
mod normal_score;
mod program;
mod propagate;
mod quasi_monte_carlo;
mod random;
mod sampler;
mod score_line;
mod term;
mod term_figure;
mod variance_shares;
mod working;
mod zero_divisor;

pub use input::{Accuracy, Input};
pub use model::Model;
pub use monte_carlo::{MonteCarlo, Sampled};
pub use propagate::Propagation;
pub use term::Term;
pub use variance_shares::VarianceShares;

use crate::level::remedy;
use crate::{Dimension, Distribution, Unit};
use correlation::Correlation;
use method_choice::Assessment;
use nataf::score_correlation;
use node::{Node, Op};
use normal_score::ScoredDistribution;
use program::Program;
use std::cell::{Cell, RefCell};
use std::collections::BTreeMap;
use std::fmt;
use std::rc::Rc;

/// Why a sheet could not give an answer.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum SheetError {
    /// An operation joined unlike dimensions.
    #[error("cannot {operation} {left} and {right}{}", remedy(*.left, *.right))]
    Dimension {
        /// "add", "compare" …
        operation: &'static str,
        /// Left side.
        left: Dimension,
        /// Right side.
        right: Dimension,
    },
    /// A parameter or result is not usable.
    #[error("{0}")]
    Value(String),
}

/// An arena of terms. Errors of operators are kept and returned by the evaluations.
#[derive(Default)]
pub struct Sheet {
    state: RefCell<State>,
}

/// What a sheet holds. Nodes are only ever added, so a compiled program stays right; stating a
/// correlation drops it.
#[derive(Default)]
struct State {
    nodes: Vec<Node>,
    names: BTreeMap<u32, (String, Unit)>,
    units: Vec<Unit>,
    inputs: Vec<Input>,
    /// The node of each input.
    input_nodes: Vec<u32>,
    /// Per input: expectation and first-order standard uncertainty.
    means: Vec<f64>,
    uncertainties: Vec<f64>,
    /// Pairs of inputs (smaller number first) with their coefficient.
    correlations: BTreeMap<(u32, u32), Correlation>,
    /// Whether they have been found possible together.
    correlations_checked: Cell<bool>,
    error: Option<SheetError>,
    compiled: Option<(Vec<u32>, Rc<Program>)>,
    assessed: Option<(u32, Rc<Assessment>)>,
}

impl fmt::Debug for Sheet {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let state = self.state.borrow();
        f.debug_struct("Sheet")
            .field("inputs", &state.inputs.len())
            .field("nodes", &state.nodes.len())
            .field("error", &state.error)
            .finish()
    }
}

impl State {
    fn push(&mut self, op: Op, dimension: Dimension) -> u32 {
        let id = u32::try_from(self.nodes.len()).unwrap_or(u32::MAX);
        if id == u32::MAX {
            self.fail(SheetError::Value("the sheet has too many terms".into()));
            return 0;
        }
        self.nodes.push(Node { op, dimension });
        id
    }

    fn fail(&mut self, error: SheetError) {
        self.error.get_or_insert(error);
    }

    fn dimension(&self, id: u32) -> Dimension {
        self.nodes
            .get(id as usize)
            .map_or(Dimension::NONE, |n| n.dimension)
    }

    /// Returns the dimension of a sum, or keeps an error where there is none.
    fn sum_dimension(&mut self, left: Dimension, right: Dimension) -> Dimension {
        left.plus(right).unwrap_or_else(|| {
            self.fail(SheetError::Dimension {
                operation: "add",
                left,
                right,
            });
            left
        })
    }

    /// Whether an input takes part in a stated correlation.
    fn correlated_inputs(&self) -> Vec<bool> {
        let mut correlated = vec![
            false;
            if self.correlations.is_empty() {
                0
            } else {
                self.inputs.len()
            }
        ];
        for (&(a, b), pair) in &self.correlations {
            if pair.stated != 0.0 {
                correlated[a as usize] = true;
                correlated[b as usize] = true;
            }
        }
        correlated
    }

    /// Returns the name a reader knows a term by.
    fn label(&self, id: u32) -> String {
        if let Some((name, _)) = self.names.get(&id) {
            return name.clone();
        }
        match self.nodes.get(id as usize).map(|n| &n.op) {
            Some(Op::Input(k)) => self.inputs[*k as usize].name.clone(),
            _ => "the result".into(),
        }
    }
}

impl Sheet {
    /// Makes an empty sheet.
    pub fn new() -> Self {
        Self::default()
    }

    /// Adds an input. Impossible parameters are an error kept in the sheet.
    pub fn input(&self, input: Input) -> Term<'_> {
        let state = &mut *self.state.borrow_mut();
        if let Err(e) = input.distribution.validate() {
            state.fail(SheetError::Value(format!("input '{}': {e}", input.name)));
        }
        if input
            .degrees_of_freedom
            .is_some_and(|nu| nu.is_nan() || nu <= 0.0)
        {
            state.fail(SheetError::Value(format!(
                "input '{}': the degrees of freedom are not above zero",
                input.name
            )));
        }
        let number = u32::try_from(state.inputs.len()).unwrap_or(u32::MAX);
        let id = state.push(Op::Input(number), input.unit.dimension());
        state.means.push(input.distribution.mean());
        state
            .uncertainties
            .push(input.distribution.standard_uncertainty());
        state.correlations_checked.set(false);
        state.input_nodes.push(id);
        state.inputs.push(input);
        Term { sheet: self, id }
    }

    /// Adds a plain number that belongs to the formula (printed as itself).
    pub fn number(&self, value: f64) -> Term<'_> {
        let id = self
            .state
            .borrow_mut()
            .push(Op::Number(value), Dimension::NONE);
        Term { sheet: self, id }
    }

    /// Adds a constant with a unit (printed with its unit).
    pub fn constant(&self, value: f64, unit: &Unit) -> Term<'_> {
        let state = &mut *self.state.borrow_mut();
        let number = u32::try_from(state.units.len()).unwrap_or(u32::MAX);
        state.units.push(unit.clone());
        let id = state.push(Op::Constant(unit.to_si(value), number), unit.dimension());
        Term { sheet: self, id }
    }

    /// Adds the sum of terms as one node: cheaper than a chain of `+` and one line in the working.
    /// An empty sum is an error kept in the sheet.
    pub fn sum<'s>(&'s self, terms: &[Term<'s>]) -> Term<'s> {
        let Some(ids) = self.own(terms) else {
            return self.number(f64::NAN);
        };
        let state = &mut *self.state.borrow_mut();
        let Some(&first) = ids.first() else {
            state.fail(SheetError::Value("a sum without terms has no unit".into()));
            return Term {
                sheet: self,
                id: state.push(Op::Number(0.0), Dimension::NONE),
            };
        };
        let mut dimension = state.dimension(first);
        for &id in ids.iter().skip(1) {
            dimension = state.sum_dimension(dimension, state.dimension(id));
        }
        Term {
            sheet: self,
            id: state.push(Op::Sum(ids.into()), dimension),
        }
    }

    /// States the correlation coefficient of two inputs, −1 to 1: the product-moment coefficient of
    /// their values. First order takes it as it is; the joint distribution is a Gaussian copula
    /// whose scores are correlated so that the values have it (Nataf's model). Anything but two
    /// different inputs, and a coefficient that their distributions cannot have, is an error kept
    /// in the sheet. A t distribution without a finite variance counts as normal here.
    pub fn correlate(&self, a: Term<'_>, b: Term<'_>, coefficient: f64) {
        let Some(ids) = self.own(&[a, b]) else { return };
        let state = &mut *self.state.borrow_mut();
        let inputs: Vec<u32> = ids
            .iter()
            .filter_map(|&id| match state.nodes[id as usize].op {
                Op::Input(k) => Some(k),
                _ => None,
            })
            .collect();
        let &[a, b] = inputs.as_slice() else {
            state.fail(SheetError::Value(
                "only inputs can be correlated, not results".into(),
            ));
            return;
        };
        if a == b || !(-1.0..=1.0).contains(&coefficient) {
            state.fail(SheetError::Value(format!(
                "the correlation of '{}' and '{}' cannot be {coefficient}",
                state.inputs[a as usize].name, state.inputs[b as usize].name
            )));
            return;
        }
        let distribution = |k: u32| match state.inputs[k as usize].sampling_distribution() {
            Distribution::ScaledT {
                mean,
                scale,
                degrees_of_freedom,
            } if degrees_of_freedom <= 2.0 => Distribution::Normal { mean, sd: scale },
            distribution => distribution,
        };
        let distributions = [distribution(a), distribution(b)];
        let both_normal = distributions
            .iter()
            .all(|l| matches!(l, Distribution::Normal { .. } | Distribution::Exact { .. }));
        let of_scores = if both_normal
            || coefficient == 0.0
            || distributions.iter().any(|l| l.sd() == 0.0)
        {
            coefficient
        } else {
            let [x, y] = distributions.map(|l| ScoredDistribution::new(&l));
            match score_correlation(&x, &y, coefficient) {
                Ok(of_scores) => of_scores,
                Err((least, most)) => {
                    let name = |k: u32| state.inputs[k as usize].name.clone();
                    let error = format!(
                        "the correlation of '{}' ({}) and '{}' ({}) cannot be {coefficient}: such distributions reach {least:.2} to {most:.2}",
                        name(a),
                        distributions[0].word(),
                        name(b),
                        distributions[1].word()
                    );
                    state.fail(SheetError::Value(error));
                    return;
                }
            }
        };
        let pair = Correlation {
            stated: coefficient,
            of_scores,
        };
        state.correlations.insert((a.min(b), a.max(b)), pair);
        state.correlations_checked.set(false);
        state.compiled = None;
        state.assessed = None;
    }

    /// Returns the value of a term in SI at the inputs' expectations.
    ///
    /// # Errors
    /// The first error kept in the sheet, or a non-finite value.
    pub fn value(&self, term: Term<'_>) -> Result<f64, SheetError> {
        let program = self.program(&[term])?;
        let state = self.state.borrow();
        let value = program.forward()[program.outputs[0] as usize];
        if value.is_finite() {
            Ok(value)
        } else {
            Err(not_finite(&state.label(term.id)))
        }
    }

    /// Returns the ids of terms, or keeps an error where one belongs to another sheet.
    fn own(&self, terms: &[Term<'_>]) -> Option<Vec<u32>> {
        if terms.iter().all(|t| std::ptr::eq(t.sheet, self)) {
            return Some(terms.iter().map(|t| t.id).collect());
        }
        self.state.borrow_mut().fail(SheetError::Value(
            "terms of two sheets cannot be combined".into(),
        ));
        None
    }

    /// Returns the compiled form of terms, after the sheet's own errors.
    fn program(&self, terms: &[Term<'_>]) -> Result<Rc<Program>, SheetError> {
        if !terms.iter().all(|t| std::ptr::eq(t.sheet, self)) {
            return Err(SheetError::Value(
                "the term belongs to another sheet".into(),
            ));
        }
        let state = &mut *self.state.borrow_mut();
        if let Some(error) = &state.error {
            return Err(error.clone());
        }
        if let Some((of, program)) = &state.compiled
            && of.len() == terms.len()
            && of.iter().zip(terms).all(|(id, t)| *id == t.id)
        {
            return Ok(Rc::clone(program));
        }
        let ids: Vec<u32> = terms.iter().map(|t| t.id).collect();
        let program = Rc::new(Program::new(state, &ids, false));
        state.compiled = Some((ids, Rc::clone(&program)));
        Ok(program)
    }
}

fn not_finite(label: &str) -> SheetError {
    SheetError::Value(format!(
        "{label} has no finite value (a division by zero, or a function outside its range)"
    ))
}
