//! Distributions that were drawn before.
//!
//! In: a space of independent causes and the distributions of its inputs. Out: the distribution of the result, drawn
//! once for equal spaces: an examination that follows an edit elsewhere asks for the same ones again, and drawing
//! gives equal results for equal causes whoever asks. Spaces are compared word by word, never by a sum over them.
//! Not here: how it is drawn (`quasi_monte_carlo.rs`).

use super::cause_space::CauseSpace;
use super::program::{Program, Step};
use super::quasi_monte_carlo::QuasiMonteCarlo;
use crate::Distribution;
use std::collections::HashMap;
use std::sync::{Arc, LazyLock, Mutex, PoisonError};

/// Distributions that are kept, about 15 kB each; then the memory is emptied.
const MOST_KEPT: usize = 1024;

type Kept = HashMap<Vec<u64>, Arc<QuasiMonteCarlo>>;
static KEPT: LazyLock<Mutex<Kept>> = LazyLock::new(Mutex::default);

/// Returns the distribution of the result; `None` where a result is not finite.
pub(super) fn drawn(
    space: &CauseSpace<'_>,
    inputs: &[Distribution],
    coverage: f64,
) -> Option<Arc<QuasiMonteCarlo>> {
    let Some(key) = key(space, inputs, coverage) else {
        return QuasiMonteCarlo::new(space, coverage).map(Arc::new);
    };
    let kept = || KEPT.lock().unwrap_or_else(PoisonError::into_inner);
    if let Some(found) = kept().get(&key) {
        return Some(Arc::clone(found));
    }
    let found = Arc::new(QuasiMonteCarlo::new(space, coverage)?);
    let mut kept = kept();
    if kept.len() >= MOST_KEPT {
        kept.clear();
    }
    kept.insert(key, Arc::clone(&found));
    Some(found)
}

/// Returns everything that the result follows from; `None` where a model does not say what it is.
fn key(space: &CauseSpace<'_>, inputs: &[Distribution], coverage: f64) -> Option<Vec<u64>> {
    let program = space.program;
    let mut words = vec![coverage.to_bits(), inputs.len() as u64];
    for (k, distribution) in inputs.iter().enumerate() {
        words.extend(distribution.words());
        words.push(program.means[k].to_bits());
        words.push(program.uncertainties[k].to_bits());
    }
    words.push(space.members().len() as u64);
    for (variable, row) in space.members() {
        words.extend([*variable as u64, row.len() as u64]);
        words.extend(row.iter().map(|weight| weight.to_bits()));
    }
    words.push(program.steps.len() as u64);
    for step in &program.steps {
        step_words(program, step, &mut words)?;
    }
    words.push(u64::from(program.outputs[0]));
    Some(words)
}

/// Adds what a step does: first which kind it is, lists with their length.
fn step_words(program: &Program, step: &Step, words: &mut Vec<u64>) -> Option<()> {
    let two = |kind: u64, a: u32, b: u32| [kind, u64::from(a), u64::from(b)];
    match step {
        Step::Linear {
            from, to, constant, ..
        } => {
            words.extend([0, constant.to_bits(), u64::from(to - from)]);
            for (variable, factor) in &program.linear[*from as usize..*to as usize] {
                words.extend([u64::from(*variable), factor.to_bits()]);
            }
        }
        Step::Mul(a, b) => words.extend(two(1, *a, *b)),
        Step::Div(a, b) => words.extend(two(2, *a, *b)),
        Step::Power(a, n) => words.extend([3, u64::from(*a), *n as u64]),
        Step::PowerOf(a, b) => words.extend(two(4, *a, *b)),
        Step::Function(function, a) => words.extend([5, *function as u64, u64::from(*a)]),
        Step::Min(a, b) => words.extend(two(6, *a, *b)),
        Step::Max(a, b) => words.extend(two(7, *a, *b)),
        Step::Call { from, to, call } => {
            let identity = call.model.identity()?;
            let results = call.results.len() as u64;
            words.extend([8, results, identity.len() as u64, u64::from(to - from)]);
            words.extend(identity);
            let arguments = &program.arguments[*from as usize..*to as usize];
            words.extend(arguments.iter().copied().map(u64::from));
        }
        Step::Further => words.push(9),
    }
    Some(())
}
