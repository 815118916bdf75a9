//! Radial distortion.
//!
//! In: places relative to the middle of the picture, in half diagonals. Out: the distorted place,
//! or the place without distortion. Source: the radial part of the Brown–Conrady model,
//! `distorted = ideal × (1 + k₁ r² + k₂ r⁴)` with r of the ideal place (D. C. Brown,
//! Photogrammetric Engineering 32 (1966) 444). k₁ is thus the displacement at the corner of the
//! picture as a share of the half diagonal; a model in units of the focal length f (pixels) has
//! k₁(f) = k₁ (f / half diagonal)².

/// Newton steps; three suffice for usual lenses.
const STEPS: usize = 30;

/// Returns where a lens puts an ideal place.
pub fn distorted(k: [f64; 2], [x, y]: [f64; 2]) -> [f64; 2] {
    let r2 = x * x + y * y;
    let factor = 1.0 + r2 * (k[0] + k[1] * r2);
    [x * factor, y * factor]
}

/// Returns the ideal place of a distorted one, or `None` where the lens folds the picture.
pub fn ideal(k: [f64; 2], [x, y]: [f64; 2]) -> Option<[f64; 2]> {
    let far = (x * x + y * y).sqrt();
    if far == 0.0 || k == [0.0, 0.0] {
        return Some([x, y]);
    }
    let mut r = far;
    for _ in 0..STEPS {
        let r2 = r * r;
        let slope = 1.0 + r2 * (3.0 * k[0] + 5.0 * k[1] * r2);
        // Where the slope is gone the picture folds back, and no place is the ideal one.
        if slope <= 0.05 {
            return None;
        }
        let off = r * (1.0 + r2 * (k[0] + k[1] * r2)) - far;
        r -= off / slope;
        if off.abs() <= 1e-14 * far {
            break;
        }
    }
    let back = r * (1.0 + r * r * (k[0] + k[1] * r * r));
    let good = r > 0.0 && (back - far).abs() <= 1e-9 * far;
    good.then(|| [x * r / far, y * r / far])
}

/// How the ideal place of a distorted one follows what it rests on.
pub(crate) struct Slopes {
    /// By the distorted place, across and down.
    pub(crate) by_place: [[f64; 2]; 2],
    /// By k₁ and k₂.
    pub(crate) by_lens: [[f64; 2]; 2],
}

/// Returns the derivatives of [`ideal`], or `None` where there is no ideal place.
pub(crate) fn slopes(k: [f64; 2], [x, y]: [f64; 2]) -> Option<Slopes> {
    let far = (x * x + y * y).sqrt();
    if far == 0.0 {
        return Some(Slopes {
            by_place: [[1.0, 0.0], [0.0, 1.0]],
            by_lens: [[0.0; 2]; 2],
        });
    }
    let (u, v) = (x / far, y / far);
    let [at_x, at_y] = ideal(k, [x, y])?;
    let r = at_x.hypot(at_y);
    let r2 = r * r;
    let slope = 1.0 + r2 * (3.0 * k[0] + 5.0 * k[1] * r2);
    // Along the radius the ideal place follows by 1 / slope, square to it by r / far.
    let (along, square) = (1.0 / slope, r / far);
    let mixed = (along - square) * u * v;
    let by_k = |power: f64| [-u * power / slope, -v * power / slope];
    Some(Slopes {
        by_place: [
            [along * u * u + square * v * v, mixed],
            [mixed, along * v * v + square * u * u],
        ],
        by_lens: [by_k(r2 * r), by_k(r2 * r2 * r)],
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn taking_distortion_off_brings_the_ideal_place_back() {
        for k in [[0.03, 0.0], [-0.08, 0.01], [0.0, 0.0], [-0.2, 0.05]] {
            for i in 0..20 {
                let p = [f64::from(i) * 0.04, 0.3 - f64::from(i) * 0.02];
                let back = ideal(k, distorted(k, p)).unwrap();
                assert!((back[0] - p[0]).abs() + (back[1] - p[1]).abs() < 1e-12);
            }
        }
    }

    #[test]
    fn a_lens_that_folds_the_picture_has_no_ideal_place() {
        assert_eq!(ideal([-0.5, 0.0], [0.9, 0.9]), None);
        assert_eq!(ideal([f64::NAN, 0.0], [0.9, 0.9]), None);
    }
}
