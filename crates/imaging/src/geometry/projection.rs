//! A view at given parameters: places of pixels on the plane, with their derivatives.
//!
//! In: a mapping and its parameters. Out: places, and how each follows its pixel and every
//! parameter, in closed form. Not here: finding the parameters (`solve.rs`), measures.
//!
//! With v the ideal place of a pixel (x, y, 1), H the homography and p = H⁻¹ v, the place is
//! m = (p₁, p₂) / p₃. Then ∂m/∂v = A = (E − m ⊗ row 3) H⁻¹ / p₃, and ∂m/∂θ = −A (∂H/∂θ) p, since
//! d(H⁻¹) = −H⁻¹ dH H⁻¹.

use super::lens;
use super::mapping::Mapping;
use nalgebra::{Matrix2x3, Matrix3, Vector3};

/// Most parameters a view has: eight of the homography, two of the lens.
pub(crate) const MOST: usize = 10;

/// A mapping at given parameters.
pub(crate) struct Projection<'m> {
    mapping: &'m Mapping,
    matrix: Matrix3<f64>,
    inverse: Matrix3<f64>,
    lens: [f64; 2],
}

/// A place on the plane with its derivatives.
pub(crate) struct PlanePoint {
    /// The place, mm.
    pub(crate) mm: [f64; 2],
    /// How it follows the pixel, mm per pixel: columns are those of across and down in the picture.
    pub(crate) by_pixel: [[f64; 2]; 2],
    /// How it follows each parameter of the view, mm.
    pub(crate) by_theta: [[f64; 2]; MOST],
}

impl<'m> Projection<'m> {
    /// Makes the view, or `None` where the homography has no inverse.
    pub(crate) fn new(mapping: &'m Mapping, theta: &[f64]) -> Option<Self> {
        let matrix = mapping.matrix(theta);
        Some(Self {
            inverse: matrix.try_inverse()?,
            lens: mapping.lens(theta),
            mapping,
            matrix,
        })
    }

    /// Returns the pixel of a place on the plane, mm, or `None` behind the camera.
    pub(crate) fn project(&self, mm: [f64; 2]) -> Option<[f64; 2]> {
        self.mapping.project_by(&self.matrix, self.lens, mm)
    }

    /// Returns the place on the plane, mm, of a pixel, or `None` beyond the horizon.
    pub(crate) fn unproject(&self, px: [f64; 2]) -> Option<[f64; 2]> {
        Some(self.seen(px)?.1)
    }

    /// Returns the places of pixels, or the number of the first one that has none, from 0.
    pub(crate) fn unproject_all(&self, pixels: &[[f64; 2]]) -> Result<Vec<[f64; 2]>, usize> {
        let place = |(i, &px)| self.unproject(px).ok_or(i);
        pixels.iter().enumerate().map(place).collect()
    }

    /// The coordinates of the place before they are divided by the third, and the place, mm.
    fn seen(&self, px: [f64; 2]) -> Option<(Vector3<f64>, [f64; 2])> {
        let [x, y] = lens::ideal(self.lens, self.mapping.normal(px))?;
        let p = self.inverse * Vector3::new(x, y, 1.0);
        // The homography's last entry is 1, so the third coordinate is one over the depth, and
        // not above zero at and beyond the horizon.
        if p.z.is_nan() || p.z <= 1e-9 {
            return None;
        }
        let unit = self.mapping.unit_mm;
        let mm = [p.x / p.z * unit, p.y / p.z * unit];
        (mm[0].is_finite() && mm[1].is_finite()).then_some((p, mm))
    }

    /// Returns the place of a pixel with its derivatives; `turns` are those of the homography
    /// ([`Mapping::turns`]) at the same parameters.
    pub(crate) fn place(&self, px: [f64; 2], turns: &[Matrix3<f64>]) -> Option<PlanePoint> {
        let (p, mm) = self.seen(px)?;
        let unit = self.mapping.unit_mm;
        let row = |r: usize| (self.inverse.row(r) * unit - self.inverse.row(2) * mm[r]) / p.z;
        let by_ideal = Matrix2x3::from_rows(&[row(0), row(1)]);
        let mut by_theta = [[0.0; 2]; MOST];
        for (by, turn) in by_theta.iter_mut().zip(turns) {
            let moved = by_ideal * (turn * p);
            *by = [-moved.x, -moved.y];
        }
        let bent = lens::slopes(self.lens, self.mapping.normal(px))?;
        let chain =
            |[x, y]: [f64; 2]| [0, 1].map(|r: usize| by_ideal[(r, 0)] * x + by_ideal[(r, 1)] * y);
        for (by, by_k) in by_theta[turns.len()..].iter_mut().zip(bent.by_lens) {
            *by = chain(by_k);
        }
        let by_pixel = bent
            .by_place
            .map(|by| chain(by).map(|v| v / self.mapping.radius));
        Some(PlanePoint {
            mm,
            by_pixel,
            by_theta,
        })
    }
}
