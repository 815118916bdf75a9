//! Correlation matrices: whether one is possible, and its triangular factor.

/// The correlation of two inputs.
#[derive(Debug, Clone, Copy)]
pub(super) struct Correlation {
    /// The product-moment coefficient of the values.
    pub(super) stated: f64,
    /// The coefficient of the normal scores that gives it.
    pub(super) of_scores: f64,
}

/// How far below zero a pivot may come out by rounding.
const TOLERANCE: f64 = 1e-9;

/// Returns the lower triangular factor L with L·Lᵀ = `matrix` (rows of a symmetric matrix with
/// ones on the diagonal), or `None` where the matrix has a negative eigenvalue. A singular matrix
/// (coefficients of ±1) is fine.
pub(super) fn factor(matrix: &[Vec<f64>]) -> Option<Vec<Vec<f64>>> {
    let n = matrix.len();
    let mut lower = vec![vec![0.0; n]; n];
    for j in 0..n {
        let pivot = matrix[j][j] - (0..j).map(|k| lower[j][k] * lower[j][k]).sum::<f64>();
        if pivot < -TOLERANCE {
            return None;
        }
        let root = if pivot > TOLERANCE { pivot.sqrt() } else { 0.0 };
        lower[j][j] = root;
        for i in j + 1..n {
            let rest = matrix[i][j] - (0..j).map(|k| lower[i][k] * lower[j][k]).sum::<f64>();
            if root > 0.0 {
                lower[i][j] = rest / root;
            } else if rest.abs() > TOLERANCE.sqrt() {
                return None;
            }
        }
    }
    Some(lower)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn possible_and_impossible_matrices_are_told_apart() {
        let with = |a: f64, b: f64, c: f64| vec![vec![1.0, a, b], vec![a, 1.0, c], vec![b, c, 1.0]];
        for possible in [with(-0.36, 0.86, -0.65), with(1.0, 0.5, 0.5)] {
            let lower = factor(&possible).unwrap();
            for (i, row) in possible.iter().enumerate() {
                for (j, wanted) in row.iter().enumerate() {
                    let product: f64 = (0..3).map(|k| lower[i][k] * lower[j][k]).sum();
                    assert!((product - wanted).abs() < 1e-12, "{i} {j}: {product}");
                    assert!(j <= i || lower[i][j] == 0.0, "L is lower triangular");
                }
            }
        }
        // Both have a negative determinant, 1 + 2abc − a² − b² − c²: no three quantities vary so.
        assert!(factor(&with(0.9, 0.9, -0.9)).is_none());
        assert!(factor(&with(1.0, 0.5, -0.5)).is_none());
    }
}
