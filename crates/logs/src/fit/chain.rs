//! Draws from what a fit leaves open.
//!
//! In: a problem, its solution. Out: parameters as likely as they fit, by a random walk (Metropolis) whose steps have
//! the shape of the solution's covariance (Gelman, Roberts, Gilks 1996: 2.4/√d of it). The same every time.

use super::solve::Problem;
use super::{PARAMETERS, Spread, Values};
use statrs::distribution::{ContinuousCDF, Normal};

/// Steps before the first draw.
const WARM: usize = 1000;

/// Steps from one draw to the next.
const APART: usize = 20;

/// A stream of random numbers (SplitMix64: Steele, Lea, Flood 2014).
pub(super) struct Stream {
    state: u64,
    normal: Normal,
}

impl Stream {
    pub(super) fn new(seed: u64) -> Self {
        Self {
            state: seed,
            normal: Normal::standard(),
        }
    }

    /// A number between 0 and 1, neither of them.
    pub(super) fn unit(&mut self) -> f64 {
        self.state = self.state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.state;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^= mixed >> 31;
        ((mixed >> 12) as f64 + 0.5) / (1_u64 << 52) as f64
    }

    /// A standard normal number.
    pub(super) fn normal(&mut self) -> f64 {
        let unit = self.unit();
        self.normal.inverse_cdf(unit)
    }
}

/// Draws `count` sets of parameters.
pub(super) fn draws(
    problem: &Problem<'_>,
    from: Values,
    covariance: &Spread,
    count: usize,
    stream: &mut Stream,
) -> Vec<Values> {
    let Some(root) = covariance.cholesky() else {
        return Vec::new();
    };
    let step = root.l() * (2.4 / (PARAMETERS as f64).sqrt());
    let (mut here, mut cost) = (from, problem.cost_at(&from));
    let mut drawn = Vec::with_capacity(count);
    for at in 0..WARM + count * APART {
        let tried = here + step * Values::from_fn(|_, _| stream.normal());
        let tried_cost = problem.cost_at(&tried);
        if stream.unit().ln() < (cost - tried_cost) / 2.0 {
            (here, cost) = (tried, tried_cost);
        }
        if at >= WARM && (at - WARM) % APART == APART - 1 {
            drawn.push(here);
        }
    }
    drawn
}

/// Middle and standard deviation of each parameter among draws.
#[cfg(test)]
fn moments(draws: &[Values]) -> (Values, Values) {
    let n = draws.len() as f64;
    let mean = draws.iter().sum::<Values>() / n;
    let variance = draws
        .iter()
        .map(|draw| (draw - mean).component_mul(&(draw - mean)))
        .sum::<Values>()
        / n;
    (mean, variance.map(f64::sqrt))
}

#[cfg(test)]
mod tests {
    use super::super::model::Driven;
    use super::*;
    use crate::{Options, read_text};
    use charging::Ocv;

    /// Without samples that say anything, draws are those of what was known beforehand.
    #[test]
    fn draws_follow_what_was_known_where_samples_say_nothing() {
        let text = "t_s,v,a\n0,3.7,1.0\n10,3.7,1.0\n";
        let log = read_text(text.as_bytes(), "two.csv", &Options::default(), &mut |_| {
            true
        })
        .unwrap();
        let driven = Driven::new(&log.runs[0].series[0], 1, 10);
        let ocv = Ocv::new(&[(0.0, 3.0), (1.0, 4.2)]).unwrap();
        let (middle, spread) = (
            Values::repeat(1.0),
            Values::from_fn(|at, _| 0.1 + 0.1 * at as f64),
        );
        let problem = Problem {
            driven: &driven,
            ocv: &ocv,
            doubts: vec![1.0; 2],
            middle,
            spread,
            sigma: 1e6,
            independent: 2.0,
        };
        let covariance = Spread::from_diagonal(&spread.component_mul(&spread));
        let (mean, deviation) = moments(&draws(
            &problem,
            middle,
            &covariance,
            4000,
            &mut Stream::new(3),
        ));
        for at in 0..PARAMETERS {
            assert!(
                (mean[at] - 1.0).abs() < 0.15 * spread[at],
                "{at}: {}",
                mean[at]
            );
            assert!(
                (deviation[at] / spread[at] - 1.0).abs() < 0.1,
                "{at}: {}",
                deviation[at]
            );
        }
    }
}
