//! Which correlation of normal scores gives two distributions a stated product-moment correlation.
//!
//! In: two distributions and a coefficient. Out: the coefficient of the scores, or the limits of what the
//! distributions can have. Source: P.-L. Liu, A. Der Kiureghian, "Multivariate distribution models with
//! prescribed marginals and covariances", Prob. Eng. Mech. 1 (1986) 105 (Nataf's model). With x(z)
//! and y(z) in Hermite polynomials, E[xy] = Σ aₙbₙρⁿ (Mehler).

use super::normal_score::ScoredDistribution;

/// Terms of the series; two more close it at ρ = ±1.
const TERMS: usize = 24;
/// How far beyond the limits rounding may put a coefficient that is meant to be on them.
const TOLERANCE: f64 = 1e-6;

/// Returns the correlation of scores.
///
/// # Errors
/// The least and the greatest coefficient that the distributions can have.
pub(super) fn score_correlation(
    a: &ScoredDistribution,
    b: &ScoredDistribution,
    coefficient: f64,
) -> Result<f64, (f64, f64)> {
    let (least, most) = (a.extreme(b, -1.0), a.extreme(b, 1.0));
    if !(least - TOLERANCE..=most + TOLERANCE).contains(&coefficient) {
        return Err((least, most));
    }
    let (p, q) = (a.hermite::<TERMS>(), b.hermite::<TERMS>());
    let terms: [f64; TERMS] = std::array::from_fn(|n| p[n] * q[n]);
    let series = |r: f64| terms.iter().rev().fold(0.0, |sum, t| (sum + t) * r);
    let (above, below) = (most - series(1.0), least - series(-1.0));
    let (odd, even) = ((above - below) / 2.0, (above + below) / 2.0);
    let found = |r: f64| {
        let high = r.powi(TERMS as i32 + 1);
        series(r) + odd * high + even * high * r
    };
    let (mut low, mut high) = (-1.0_f64, 1.0_f64);
    for _ in 0..60 {
        let middle = (low + high) / 2.0;
        if found(middle) < coefficient {
            low = middle;
        } else {
            high = middle;
        }
    }
    Ok((low + high) / 2.0)
}
