//! Whether a divisor can be zero.
//!
//! In: a program with the distributions of its inputs. Out: whether a result has no expectation because
//! something it divides by can be zero. The ranges of all steps follow from those of the inputs
//! (R. E. Moore, "Interval Analysis" (1966)); distributions without ends count five standard deviations
//! wide, beyond which no number of draws will ever look.

use super::State;
use super::node::Function;
use super::program::{Program, Step};
use super::propagate::FirstOrder;
use crate::Distribution;
use crate::special::t_quantile;

/// Half-width of a distribution without ends, in standard deviations, and the probability beyond.
const FIVE: f64 = 5.0;
const BEYOND_FIVE: f64 = 2.9e-7;

type Range = (f64, f64);
const ANYTHING: Range = (f64::NEG_INFINITY, f64::INFINITY);

/// Whether the result divides by what can be zero.
pub(super) fn divides_by_zero(first: &FirstOrder<'_>, state: &State) -> bool {
    let program = first.program;
    let divides = |step: &Step| matches!(step, Step::Div(..)) || is_inverse(step);
    if !program.steps.iter().any(divides) {
        return false;
    }
    let distributions = program
        .inputs
        .iter()
        .map(|&k| range(&state.inputs[k as usize].sampling_distribution()));
    let mut ranges: Vec<Range> = distributions.collect();
    for step in &program.steps {
        let found = step_range(program, step, &ranges);
        ranges.push(found);
    }
    program.steps.iter().any(|step| {
        let divisor = match step {
            Step::Div(_, b) => *b,
            Step::Power(a, _) if is_inverse(step) => *a,
            _ => return false,
        };
        let (low, high) = ranges[divisor as usize];
        low <= 0.0 && high >= 0.0 && is_near(first, state, divisor)
    })
}

fn is_inverse(step: &Step) -> bool {
    matches!(step, Step::Power(_, n) if *n < 0)
}

/// Whether zero is within five standard uncertainties of a variable, or a matter of hard limits.
fn is_near(first: &FirstOrder<'_>, state: &State, variable: u32) -> bool {
    let program = first.program;
    let mut slopes = vec![0.0; program.variables()];
    program.reverse(
        &first.variables,
        &first.variables,
        variable,
        true,
        &mut slopes,
    );
    let (mut squares, mut bounded) = (0.0, true);
    for (v, (slope, u)) in slopes.iter().zip(&program.uncertainties).enumerate() {
        let distribution = state.inputs[program.inputs[v] as usize].sampling_distribution();
        squares += (slope * u).powi(2);
        bounded &= *slope == 0.0 || distribution.quantile(1.0).is_finite();
    }
    bounded || first.variables[variable as usize].abs() < FIVE * squares.sqrt()
}

fn range(distribution: &Distribution) -> Range {
    match *distribution {
        Distribution::Normal { mean, sd } => (mean - FIVE * sd, mean + FIVE * sd),
        Distribution::Lognormal { mu, sigma } => {
            ((mu - FIVE * sigma).exp(), (mu + FIVE * sigma).exp())
        }
        Distribution::ScaledT {
            mean,
            scale,
            degrees_of_freedom,
        } => {
            let reach = -scale * t_quantile(BEYOND_FIVE, degrees_of_freedom);
            (mean - reach, mean + reach)
        }
        _ => (distribution.quantile(0.0), distribution.quantile(1.0)),
    }
}

fn step_range(program: &Program, step: &Step, ranges: &[Range]) -> Range {
    let at = |v: u32| ranges[v as usize];
    match step {
        Step::Linear {
            from, to, constant, ..
        } => {
            let summands = &program.linear[*from as usize..*to as usize];
            summands
                .iter()
                .fold((*constant, *constant), |(low, high), &(v, c)| {
                    let (a, b) = (c * at(v).0, c * at(v).1);
                    (low + a.min(b), high + a.max(b))
                })
        }
        Step::Mul(a, b) => product(at(*a), at(*b)),
        Step::Div(a, b) => product(at(*a), inverse(at(*b))),
        Step::Power(a, n) => power(at(*a), *n),
        Step::Min(a, b) => (at(*a).0.min(at(*b).0), at(*a).1.min(at(*b).1)),
        Step::Max(a, b) => (at(*a).0.max(at(*b).0), at(*a).1.max(at(*b).1)),
        Step::Function(Function::Exp, a) => (at(*a).0.exp(), at(*a).1.exp()),
        Step::Function(Function::Sqrt, a) => (at(*a).0.max(0.0).sqrt(), at(*a).1.max(0.0).sqrt()),
        Step::Function(Function::Ln | Function::Atan, a) => {
            let Step::Function(f, _) = step else {
                return ANYTHING;
            };
            (f.value(at(*a).0.max(f64::MIN)), f.value(at(*a).1))
        }
        Step::Function(Function::Abs, a) => {
            let (low, high) = at(*a);
            let least = if low <= 0.0 && high >= 0.0 {
                0.0
            } else {
                low.abs().min(high.abs())
            };
            (least, low.abs().max(high.abs()))
        }
        // What is not known may be anything; its first order then decides.
        _ => ANYTHING,
    }
}

fn product(a: Range, b: Range) -> Range {
    let ends = [a.0 * b.0, a.0 * b.1, a.1 * b.0, a.1 * b.1];
    if ends.iter().any(|x| x.is_nan()) {
        return ANYTHING;
    }
    let low = ends.iter().copied().fold(f64::INFINITY, f64::min);
    let high = ends.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    (low, high)
}

fn inverse(a: Range) -> Range {
    if a.0 <= 0.0 && a.1 >= 0.0 {
        ANYTHING
    } else {
        (1.0 / a.1, 1.0 / a.0)
    }
}

fn power(a: Range, n: i8) -> Range {
    if n < 0 {
        return match n.checked_neg() {
            Some(n) => inverse(power(a, n)),
            None => ANYTHING,
        };
    }
    let (low, high) = (a.0.powi(n.into()), a.1.powi(n.into()));
    if n % 2 == 0 {
        let least = if a.0 <= 0.0 && a.1 >= 0.0 {
            0.0
        } else {
            low.min(high)
        };
        (least, low.max(high))
    } else {
        (low, high)
    }
}
