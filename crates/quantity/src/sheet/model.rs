//! Models that the graph cannot look into: a plane fitted to points, a simulated charge.
//!
//! In: arguments, SI. Out: several results from one run, their slopes, lines of working. Runs
//! outside of draws are kept, so that all results of a model, all figures of a sheet and the
//! derivatives about one place share a run. Not here: where models stand in a formula (`term.rs`,
//! `compile.rs`), how draws run them (`block.rs`).

use super::node::Op;
use super::{Sheet, SheetError, Term};
use crate::Dimension;
use std::collections::HashMap;
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

/// A model with one or several results. Equal arguments must give equal results.
pub trait Model: Send + Sync {
    /// Fills one number per result, SI; NaN where there is none. `arguments` are in SI.
    fn run(&self, arguments: &[f64], results: &mut [f64]);

    /// Fills the derivatives by the arguments, row by row: ∂result r/∂argument a at
    /// `r × arguments.len() + a`. False where the model has none to give; they are then central
    /// differences of two runs per argument, so the model should be smooth.
    fn slopes(&self, arguments: &[f64], slopes: &mut [f64]) -> bool {
        let _ = (arguments, slopes);
        false
    }

    /// Whether the results are so nearly straight across the uncertainty of the arguments that
    /// the tangent at the expectations stands for the model everywhere but in draws. It saves all
    /// runs but one.
    fn is_straight(&self) -> bool {
        false
    }

    /// Returns what the model is apart from its arguments: of two models with equal words, whatever their kinds, equal
    /// arguments give equal results. What is drawn through such a model is kept for the next sheet that asks for the
    /// same. `None` where a model says nothing of the kind.
    fn identity(&self) -> Option<Vec<u64>> {
        None
    }

    /// Returns lines that say how a result came about. Where there are some they are printed
    /// before the line of the result, which then does without the list of arguments.
    fn working(&self, result: usize, arguments: &[f64], results: &[f64]) -> Vec<String> {
        let _ = (result, arguments, results);
        Vec::new()
    }
}

impl Sheet {
    /// Adds a model and returns its results, each with the name it is called by in formulas
    /// ("across") and its dimension. One run gives all of them.
    pub fn model<'s>(
        &'s self,
        arguments: &[Term<'s>],
        results: &[(&str, Dimension)],
        model: Arc<dyn Model>,
    ) -> Vec<Term<'s>> {
        let Some(arguments) = self.own(arguments) else {
            return results.iter().map(|_| self.number(f64::NAN)).collect();
        };
        let state = &mut *self.state.borrow_mut();
        if results.is_empty() {
            state.fail(SheetError::Value("a model without results".into()));
        }
        let call = Arc::new(Call {
            arguments,
            results: results.iter().map(|(name, _)| (*name).into()).collect(),
            model,
            kept: Mutex::default(),
        });
        let term = |(k, (_, dimension)): (usize, &(&str, Dimension))| Term {
            sheet: self,
            id: state.push(Op::Result(Arc::clone(&call), k as u32), *dimension),
        };
        results.iter().enumerate().map(term).collect()
    }
}

/// A model with the terms it is given.
pub(super) struct Call {
    pub(super) arguments: Vec<u32>,
    /// The name of each result.
    pub(super) results: Vec<String>,
    pub(super) model: Arc<dyn Model>,
    kept: Mutex<HashMap<Vec<u64>, Arc<Run>>>,
}

/// One run that is kept.
pub(super) struct Run {
    pub(super) arguments: Vec<f64>,
    pub(super) results: Vec<f64>,
    slopes: OnceLock<Vec<f64>>,
}

/// Runs that are kept of one model; then the memory is emptied.
const MOST_KEPT: usize = 512;

/// Relative step of a numeric derivative: the cube root of the rounding error, widened for models
/// that iterate to a tolerance.
const STEP: f64 = 3e-5;

impl Call {
    /// Returns the run at given arguments.
    pub(super) fn at(&self, arguments: Vec<f64>) -> Arc<Run> {
        let key: Vec<u64> = arguments.iter().map(|x| x.to_bits()).collect();
        let kept = || self.kept.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(run) = kept().get(&key) {
            return Arc::clone(run);
        }
        let mut results = vec![f64::NAN; self.results.len()];
        self.model.run(&arguments, &mut results);
        let run = Arc::new(Run {
            arguments,
            results,
            slopes: OnceLock::new(),
        });
        let mut kept = kept();
        if kept.len() >= MOST_KEPT {
            kept.clear();
        }
        kept.insert(key, Arc::clone(&run));
        run
    }

    /// Returns the slopes at a run, row by row. `spread` is the uncertainty of an argument where
    /// it is known, else zero: it sets the scale of differences about zero.
    pub(super) fn slopes<'r>(&self, run: &'r Run, spread: impl Fn(usize) -> f64) -> &'r [f64] {
        run.slopes.get_or_init(|| {
            let (n, m) = (run.arguments.len(), run.results.len());
            let mut slopes = vec![0.0; n * m];
            if self.model.slopes(&run.arguments, &mut slopes) {
                return slopes;
            }
            let mut x = run.arguments.clone();
            let (mut high, mut low) = (vec![f64::NAN; m], vec![f64::NAN; m]);
            for a in 0..n {
                let here = x[a];
                let scale = here.abs().max(spread(a));
                let h = STEP * if scale > 0.0 { scale } else { 1.0 };
                let (above, below) = (here + h, here - h);
                x[a] = above;
                self.model.run(&x, &mut high);
                x[a] = below;
                self.model.run(&x, &mut low);
                x[a] = here;
                for r in 0..m {
                    slopes[r * n + a] = (high[r] - low[r]) / (above - below);
                }
            }
            slopes
        })
    }
}
