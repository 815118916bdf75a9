//! Which method serves a term.
//!
//! In: a compiled term. Out: its value, uncertainty, interval and distribution function, with the
//! method and the reasons. Sources: JCGM 100:2008, G.4 (effective degrees of freedom), JCGM
//! 101:2008, 5 to 8 (distributions are propagated; when first order is enough).
//! Not here: the methods themselves (`propagate.rs`, `additive.rs`, `quasi_monte_carlo.rs`), the figure
//! (`term_figure.rs`).
//!
//! | tried in this order | serves |
//! | --- | --- |
//! | normal distribution | linear in normal inputs |
//! | distribution of one input | linear in a single input |
//! | combined effects | effects of the inputs add up, plainly or as logarithms |
//! | draws | everything else |

use super::additive::Additive;
use super::cause_space::CauseSpace;
use super::drawn::drawn;
use super::kink::corner;
use super::program::{Program, Step};
use super::propagate::FirstOrder;
use super::quasi_monte_carlo::QuasiMonteCarlo;
use super::zero_divisor::divides_by_zero;
use super::{SheetError, State, not_finite};
use crate::Distribution;
use crate::format::COVERAGE;
use crate::special::{normal_probability, normal_quantile, t_probability};
use std::sync::Arc;

/// Change of the uncertainty, and shift of the expectation in standard uncertainties, above which
/// first order is not enough for value and uncertainty.
const CURVED: f64 = 0.05;
const SHIFTED: f64 = 0.3;
/// Share of the variance above which the shape of one input is told in a note.
const DOMINANT: f64 = 0.5;
/// Degrees of freedom up to which a t distribution has no variance.
const NO_VARIANCE: f64 = 2.0;

/// What is known about a term.
pub(super) struct Assessment {
    pub(super) value: f64,
    /// Standard uncertainty; infinite where there is none.
    pub(super) uncertainty: f64,
    /// Effective degrees of freedom, a whole number; infinite where no input states any.
    pub(super) degrees: f64,
    /// Variance share per input of the program, 0 to 1.
    pub(super) shares: Vec<f64>,
    pub(super) interval: (f64, f64),
    /// What the value is where it is not that of first order: "mean of its distribution".
    pub(super) replaced: Option<String>,
    pub(super) notes: Vec<String>,
    pub(super) method: String,
    pub(super) distribution: ResultDistribution,
}

/// The distribution of a term.
pub(super) enum ResultDistribution {
    Normal {
        mean: f64,
        sd: f64,
    },
    /// An input's distribution stretched by a slope about the value.
    OneInput {
        distribution: Distribution,
        slope: f64,
        value: f64,
    },
    Combined(Box<Additive>),
    Drawn(Arc<QuasiMonteCarlo>),
}

impl ResultDistribution {
    /// Returns the probability of at most `limit`.
    pub(super) fn probability(&self, limit: f64) -> f64 {
        match self {
            Self::Normal { mean, sd: 0.0 } => f64::from(*mean <= limit),
            Self::Normal { mean, sd } => normal_probability((limit - mean) / sd),
            Self::OneInput {
                distribution,
                slope,
                value,
            } => {
                let at_most =
                    probability(distribution, distribution.mean() + (limit - value) / slope);
                if *slope > 0.0 { at_most } else { 1.0 - at_most }
            }
            Self::Combined(additive) => additive.probability(limit),
            Self::Drawn(quasi) => quasi.probability(limit),
        }
    }

    /// Returns the value below which the fraction `p` lies, 0 < p < 1.
    fn quantile(&self, p: f64) -> f64 {
        match self {
            Self::Normal { mean, sd } => mean + sd * normal_quantile(p),
            Self::OneInput {
                distribution,
                slope,
                value,
            } => {
                let p = if *slope > 0.0 { p } else { 1.0 - p };
                value + slope * (distribution.quantile(p) - distribution.mean())
            }
            Self::Combined(additive) => additive.quantile(p),
            Self::Drawn(quasi) => quasi.quantile(p),
        }
    }
}

impl Assessment {
    pub(super) fn new(state: &State, term: u32, program: &Program) -> Result<Self, SheetError> {
        state.check_correlations()?;
        let first = FirstOrder::new(program);
        let value = first.value(0);
        if !value.is_finite() {
            return Err(not_finite(&state.label(term)));
        }
        let uncertainty = first.variance(0).sqrt();
        let mut found = Self {
            value,
            uncertainty,
            degrees: first.effective_degrees(0),
            shares: shares(&first),
            interval: (value, value),
            replaced: None,
            notes: Vec::new(),
            method: "first order".into(),
            distribution: ResultDistribution::Normal {
                mean: value,
                sd: uncertainty,
            },
        };
        if let Some(distribution) = simple(&first, state) {
            if let ResultDistribution::OneInput { distribution, .. } = &distribution
                && !is_bell(distribution)
            {
                let name = found.dominant(&first, state).map(|(name, _)| name);
                let name = name.unwrap_or_default();
                found.method = format!("first order, with the distribution of {name}");
            }
            found.distribution = distribution;
        } else {
            found.look_further(&first, state, term)?;
        }
        let tail = (1.0 - COVERAGE) / 2.0;
        found.interval = (
            found.distribution.quantile(tail),
            found.distribution.quantile(1.0 - tail),
        );
        Ok(found)
    }

    /// Combines the inputs' distributions, or draws where they act on each other too much.
    fn look_further(
        &mut self,
        first: &FirstOrder<'_>,
        state: &State,
        term: u32,
    ) -> Result<(), SheetError> {
        let program = first.program;
        let space = CauseSpace::new(program, &first.variables, state)?;
        let near = corner(program, &first.variables);
        let combined = match near {
            Some(_) => None,
            None => Additive::new(&space, first),
        };
        let unbounded = divides_by_zero(first, state);
        if let Some(additive) = combined {
            let why = insufficient(self, program, additive.mean, additive.sd);
            let moments = (additive.mean, additive.sd);
            let shaped = additive.shaped;
            if self.shares.iter().all(|s| *s == 0.0) {
                self.shares = space.shares(&additive.variances);
            }
            self.distribution = ResultDistribution::Combined(Box::new(additive));
            if why.is_some() || unbounded {
                self.method = "distributions combined".into();
                let moments = (!unbounded).then_some(moments);
                self.replace(
                    moments,
                    why.as_deref(),
                    "those of the combined distributions",
                );
            } else if shaped {
                self.method = "first order, with the distributions combined".into();
                if let Some((name, word)) = self.dominant(first, state)
                    && !matches!(word, "normal" | "scaled t")
                {
                    let share = self.shares.iter().copied().fold(0.0, f64::max) * 100.0;
                    self.notes.push(format!(
                        "{share:.0} % of the variance comes from {name}, which is {word}, so the interval is that of the combined distributions."
                    ));
                }
            }
            return Ok(());
        }
        let distributions: Vec<Distribution> = program
            .inputs
            .iter()
            .map(|&k| state.inputs[k as usize].sampling_distribution())
            .collect();
        let quasi = drawn(&space, &distributions, COVERAGE).ok_or_else(|| {
            SheetError::Value(format!(
                "{} has draws without a finite value (a division by zero, or a function outside its range)",
                state.label(term)
            ))
        })?;
        let heavy = distributions.iter().zip(first.weights(0)).any(|(distribution, w)| {
            *w != 0.0
                && matches!(distribution, Distribution::ScaledT { degrees_of_freedom, .. } if *degrees_of_freedom <= NO_VARIANCE)
        });
        let far = insufficient(self, program, quasi.mean, quasi.sd);
        let method = format!("quasi-Monte Carlo, {} points", spaced(quasi.count()));
        if far.is_none() && !unbounded {
            self.distribution = ResultDistribution::Drawn(quasi);
            self.method = format!("first order, with {method}");
            let why = near.unwrap_or_else(|| "the inputs act on each other".into());
            self.notes
                .push(format!("The interval is sampled, for {why}."));
            return Ok(());
        }
        let why = near.or(far).unwrap_or_default();
        self.method = method;
        let moments = (!unbounded && !heavy).then_some((quasi.mean, quasi.sd));
        self.distribution = ResultDistribution::Drawn(quasi);
        self.replace(moments, Some(&why), "sampled");
        if heavy && !unbounded {
            self.notes.push("An input has too few degrees of freedom for the result to have a standard uncertainty; its value is the median.".into());
        }
        Ok(())
    }

    /// Puts the distribution's own value and uncertainty in the place of those of first order.
    fn replace(&mut self, moments: Option<(f64, f64)>, why: Option<&str>, whose: &str) {
        self.degrees = f64::INFINITY;
        if let Some((mean, sd)) = moments {
            (self.value, self.uncertainty) = (mean, sd);
            self.replaced = Some(match &self.distribution {
                ResultDistribution::Drawn(quasi) => {
                    format!("mean of {} points", spaced(quasi.count()))
                }
                _ => "mean of its distribution".into(),
            });
            if let Some(why) = why {
                self.notes.push(format!(
                    "First order is not enough: {why}, so value, uncertainty and interval are {whose}."
                ));
            }
            return;
        }
        self.value = self.distribution.quantile(0.5);
        self.uncertainty = f64::INFINITY;
        self.replaced = Some("median of its distribution".into());
        self.notes.push(format!(
            "What is divided by can be zero, so there is no mean and no standard uncertainty: the value is the median, and median and interval are {whose}."
        ));
    }

    /// The input that most of the variance comes from, with the word for its shape.
    fn dominant(&self, first: &FirstOrder<'_>, state: &State) -> Option<(String, &'static str)> {
        let at = self.shares.iter().position(|&s| s > DOMINANT)?;
        let input = &state.inputs[first.program.inputs[at] as usize];
        Some((input.name.clone(), input.sampling_distribution().word()))
    }
}

/// First-order share of the variance per input, 0 to 1.
fn shares(first: &FirstOrder<'_>) -> Vec<f64> {
    let weights = first.weights(0);
    let whole: f64 = weights.iter().map(|w| w * w).sum();
    let share = |w: &f64| if whole > 0.0 { w * w / whole } else { 0.0 };
    weights.iter().map(share).collect()
}

/// The distribution of what is linear in normal inputs or in a single one.
fn simple(first: &FirstOrder<'_>, state: &State) -> Option<ResultDistribution> {
    let program = first.program;
    if !program.steps.iter().all(Step::is_linear) {
        return None;
    }
    let (value, weights) = (first.value(0), first.weights(0));
    let distribution = |v: usize| state.inputs[program.inputs[v] as usize].sampling_distribution();
    let mut felt = (0..weights.len()).filter(|&v| weights[v] != 0.0);
    if let (Some(v), None) = (felt.next(), felt.next()) {
        return Some(ResultDistribution::OneInput {
            distribution: distribution(v),
            slope: first.slopes(0)[v],
            value,
        });
    }
    let normal = |v: usize| matches!(distribution(v), Distribution::Normal { .. });
    let mut felt = (0..weights.len()).filter(|&v| weights[v] != 0.0);
    felt.all(normal).then(|| ResultDistribution::Normal {
        mean: value,
        sd: first.variance(0).sqrt(),
    })
}

fn is_bell(distribution: &Distribution) -> bool {
    matches!(
        distribution,
        Distribution::Normal { .. } | Distribution::ScaledT { .. }
    )
}

/// Says why first order is not enough for value and uncertainty, if it is not.
fn insufficient(found: &Assessment, program: &Program, mean: f64, sd: f64) -> Option<String> {
    if program.steps.iter().all(Step::is_linear) {
        return None;
    }
    let (value, uncertainty) = (found.value, found.uncertainty);
    if !uncertainty.is_finite() {
        return Some("a sensitivity is not finite there".into());
    }
    let shift = mean - value;
    if uncertainty == 0.0 {
        return (sd > 0.0 || shift != 0.0)
            .then(|| "the sensitivities vanish there although the inputs are uncertain".into());
    }
    let change = sd / uncertainty - 1.0;
    let shift = shift / uncertainty;
    if change.abs() > CURVED {
        return Some(format!(
            "higher orders change the uncertainty by {:.0} %",
            change * 100.0
        ));
    }
    (shift.abs() > SHIFTED)
        .then(|| format!("higher orders shift the value by {shift:.2} standard uncertainties"))
}

/// Returns the probability of at most `x`; without a formula it inverts the quantile by halving.
fn probability(distribution: &Distribution, x: f64) -> f64 {
    match *distribution {
        Distribution::Normal { mean, sd } => return normal_probability((x - mean) / sd),
        Distribution::ScaledT {
            mean,
            scale,
            degrees_of_freedom,
        } => return t_probability((x - mean) / scale, degrees_of_freedom),
        _ => {}
    }
    let (mut low, mut high) = (0.0, 1.0);
    if x >= distribution.quantile(1.0) {
        return 1.0;
    }
    for _ in 0..60 {
        let middle = (low + high) / 2.0;
        if distribution.quantile(middle) <= x {
            low = middle
        } else {
            high = middle
        }
    }
    low
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
