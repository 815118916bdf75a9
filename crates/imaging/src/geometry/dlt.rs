//! A homography from point pairs, directly.
//!
//! In: places on the plane and in the picture. Out: the matrix that minimises the algebraic
//! error. Source: R. Hartley, "In defense of the eight-point algorithm", IEEE PAMI 19 (1997) 580
//! (normalisation); R. Hartley, A. Zisserman, *Multiple Projection Geometry*, algorithm 4.2.

use nalgebra::{DMatrix, Matrix3};

/// Returns the homography with last entry 1 that takes `from` to `to`, or `None` where the points
/// do not determine one.
pub(crate) fn homography(from: &[[f64; 2]], to: &[[f64; 2]]) -> Option<Matrix3<f64>> {
    let count = from.len().min(to.len());
    if count < 4 {
        return None;
    }
    let (a, b) = (normalisation(from)?, normalisation(to)?);
    let mut rows = DMatrix::zeros((2 * count).max(9), 9);
    for i in 0..count {
        let (p, q) = (moved(&a, from[i]), moved(&b, to[i]));
        let row = [p[0], p[1], 1.0];
        for c in 0..3 {
            rows[(2 * i, c)] = row[c];
            rows[(2 * i, 6 + c)] = -q[0] * row[c];
            rows[(2 * i + 1, 3 + c)] = row[c];
            rows[(2 * i + 1, 6 + c)] = -q[1] * row[c];
        }
    }
    let svd = rows.svd(false, true);
    let v = svd.v_t?;
    let mut order: Vec<usize> = (0..9).collect();
    order.sort_by(|&i, &j| svd.singular_values[i].total_cmp(&svd.singular_values[j]));
    // Two vanishing singular values: a whole family of answers, as with collinear points.
    if svd.singular_values[order[1]] < 1e-9 * svd.singular_values[order[8]] {
        return None;
    }
    let h = Matrix3::from_fn(|r, c| v[(order[0], 3 * r + c)]);
    let h = b.try_inverse()? * h * a;
    let last = h[(2, 2)];
    let h = h / last;
    h.iter().all(|v| v.is_finite()).then_some(h)
}

/// Returns the similarity that moves the points' middle to zero and their mean distance to √2.
fn normalisation(points: &[[f64; 2]]) -> Option<Matrix3<f64>> {
    let n = points.len() as f64;
    let middle: [f64; 2] = std::array::from_fn(|c| points.iter().map(|p| p[c]).sum::<f64>() / n);
    let mean = points
        .iter()
        .map(|p| (p[0] - middle[0]).hypot(p[1] - middle[1]))
        .sum::<f64>()
        / n;
    let s = std::f64::consts::SQRT_2 / mean;
    (mean > 0.0 && s.is_finite()).then(|| {
        Matrix3::new(
            s,
            0.0,
            -s * middle[0],
            0.0,
            s,
            -s * middle[1],
            0.0,
            0.0,
            1.0,
        )
    })
}

fn moved(by: &Matrix3<f64>, p: [f64; 2]) -> [f64; 2] {
    [
        by[(0, 0)] * p[0] + by[(0, 2)],
        by[(1, 1)] * p[1] + by[(1, 2)],
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn four_corners_give_their_homography_and_collinear_ones_none() {
        let from = [[0.0, 0.0], [4.0, 0.0], [4.0, 3.0], [0.0, 3.0]];
        let to = [[10.0, 20.0], [90.0, 25.0], [80.0, 70.0], [15.0, 60.0]];
        let h = homography(&from, &to).unwrap();
        for (p, q) in from.iter().zip(to) {
            let v = h * nalgebra::Vector3::new(p[0], p[1], 1.0);
            assert!((v.x / v.z - q[0]).abs() < 1e-9 && (v.y / v.z - q[1]).abs() < 1e-9);
        }
        let line = [[0.0, 0.0], [1.0, 0.0], [2.0, 0.0], [3.0, 0.0]];
        assert_eq!(homography(&line, &to), None);
    }
}
