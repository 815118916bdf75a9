//! Many findings looked at together.
//!
//! In: their probabilities by chance. Out: the same adjusted for how many they are, in the order given.
//! Not here: what a finding is. A caller says how many were looked at, not only those that stayed.
//! Source: S. Holm, 1979; Y. Hochberg, 1988; Y. Benjamini and Y. Hochberg, 1995; Y. Benjamini and D. Yekutieli, 2001.

/// Returns the probabilities times their number: controls any false finding.
pub fn bonferroni(probabilities: &[f64]) -> Vec<f64> {
    let m = probabilities.len() as f64;
    probabilities.iter().map(|p| (m * p).min(1.0)).collect()
}

/// Returns Holm's: controls any false finding, never weaker than [`bonferroni`].
pub fn holm(probabilities: &[f64]) -> Vec<f64> {
    let order = rising(probabilities);
    let m = order.len();
    let mut adjusted = vec![0.0; m];
    let mut greatest: f64 = 0.0;
    for (k, i) in order.into_iter().enumerate() {
        greatest = greatest.max((m - k) as f64 * probabilities[i]).min(1.0);
        adjusted[i] = greatest;
    }
    adjusted
}

/// Returns Hochberg's: controls any false finding where the findings are independent.
pub fn hochberg(probabilities: &[f64]) -> Vec<f64> {
    step_up(probabilities, |rank, m| m - rank + 1.0)
}

/// Returns Benjamini and Hochberg's: those at or below a level hold no more than that share of false ones, where the
/// findings are independent or hang together the same way.
pub fn benjamini_hochberg(probabilities: &[f64]) -> Vec<f64> {
    step_up(probabilities, |rank, m| m / rank)
}

/// Returns Benjamini and Yekutieli's: the same however the findings hang together.
pub fn benjamini_yekutieli(probabilities: &[f64]) -> Vec<f64> {
    let harmonic: f64 = (1..=probabilities.len()).map(|k| 1.0 / k as f64).sum();
    step_up(probabilities, |rank, m| harmonic * m / rank)
}

/// From the greatest down, each times a factor of its rank from 1 and never above the one before.
fn step_up(probabilities: &[f64], factor: impl Fn(f64, f64) -> f64) -> Vec<f64> {
    let order = rising(probabilities);
    let m = order.len();
    let mut adjusted = vec![0.0; m];
    let mut least: f64 = 1.0;
    for (k, i) in order.into_iter().enumerate().rev() {
        least = least.min(factor(k as f64 + 1.0, m as f64) * probabilities[i]);
        adjusted[i] = least;
    }
    adjusted
}

fn rising(probabilities: &[f64]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..probabilities.len()).collect();
    order.sort_by(|a, b| probabilities[*a].total_cmp(&probabilities[*b]));
    order
}
