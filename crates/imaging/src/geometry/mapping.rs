//! From the plane to the picture and back.
//!
//! In: parameters of a view. Out: the homography and its derivatives, the camera's place.
//! Not here: finding the parameters (`solve.rs`), places at given parameters (`projection.rs`).
//!
//! Inside, places on the plane are counted in `unit_mm` from the middle of the first reference,
//! and places in the picture in half diagonals from its middle, so that all parameters are of
//! order one. Two sets of parameters are used:
//!
//! - *projective*: the eight free entries of the homography (its last is 1), when the references
//!   determine them;
//! - *pose*: scale, turn, position, two tilts and the focal length, when they do not (two points,
//!   one ruler). Tilt and focal length then rest on what the photographer says, or on what is
//!   usual; the optical axis is taken to meet the middle of the picture.
//!
//! The lens follows (`lens.rs`): k₁, k₂. Source: R. Hartley, A. Zisserman, *Multiple Projection
//! Geometry*, 2nd edition, 2.3 and 8.1.1.

use super::lens;
use nalgebra::{Matrix3, Vector3};

/// Which parameters stand before the lens terms.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Model {
    /// Eight entries of the homography.
    Projective,
    /// ln scale, turn, x, y, tilt about x, tilt about y, ln focal length.
    Pose,
}

impl Model {
    /// Number of parameters without the lens.
    pub(crate) fn count(self) -> usize {
        match self {
            Self::Projective => 8,
            Self::Pose => 7,
        }
    }
}

/// Position of the tilts and of the focal length among the parameters of a pose.
pub(crate) const TILT: [usize; 2] = [4, 5];
pub(crate) const FOCAL: usize = 6;

/// What the parameters refer to.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Mapping {
    pub(crate) model: Model,
    /// Middle of the picture, pixels.
    pub(crate) middle: [f64; 2],
    /// Half diagonal of the picture, pixels.
    pub(crate) radius: f64,
    /// Length of the plane's inner unit, mm.
    pub(crate) unit_mm: f64,
}

impl Mapping {
    /// Returns a pixel in half diagonals from the middle.
    pub(crate) fn normal(&self, px: [f64; 2]) -> [f64; 2] {
        [
            (px[0] - self.middle[0]) / self.radius,
            (px[1] - self.middle[1]) / self.radius,
        ]
    }

    fn pixel(&self, normal: [f64; 2]) -> [f64; 2] {
        [
            self.middle[0] + normal[0] * self.radius,
            self.middle[1] + normal[1] * self.radius,
        ]
    }

    pub(crate) fn lens(&self, theta: &[f64]) -> [f64; 2] {
        let n = self.model.count();
        [
            theta.get(n).copied().unwrap_or(0.0),
            theta.get(n + 1).copied().unwrap_or(0.0),
        ]
    }

    /// Returns the homography from inner plane units to half diagonals; its last entry is 1.
    pub(crate) fn matrix(&self, theta: &[f64]) -> Matrix3<f64> {
        match self.model {
            Model::Projective => Matrix3::new(
                theta[0], theta[1], theta[2], theta[3], theta[4], theta[5], theta[6], theta[7], 1.0,
            ),
            Model::Pose => {
                let (scale, focal) = (theta[0].exp(), theta[FOCAL].exp());
                let (st, ct) = theta[1].sin_cos();
                let (sa, ca) = theta[TILT[0]].sin_cos();
                let (sb, cb) = theta[TILT[1]].sin_cos();
                let first = Vector3::new(cb, 0.0, -sb);
                let second = Vector3::new(sb * sa, ca, cb * sa);
                let (right, down) = (first * ct + second * st, second * ct - first * st);
                let depth = scale / focal;
                Matrix3::new(
                    scale * right.x,
                    scale * down.x,
                    theta[2],
                    scale * right.y,
                    scale * down.y,
                    theta[3],
                    depth * right.z,
                    depth * down.z,
                    1.0,
                )
            }
        }
    }

    pub(crate) fn project_by(
        &self,
        h: &Matrix3<f64>,
        k: [f64; 2],
        mm: [f64; 2],
    ) -> Option<[f64; 2]> {
        let p = h * Vector3::new(mm[0] / self.unit_mm, mm[1] / self.unit_mm, 1.0);
        if p.z.is_nan() || p.z <= 1e-9 {
            return None;
        }
        let px = self.pixel(lens::distorted(k, [p.x / p.z, p.y / p.z]));
        (px[0].is_finite() && px[1].is_finite()).then_some(px)
    }

    /// Returns the derivatives of [`Mapping::matrix`] by each parameter before the lens terms.
    pub(crate) fn turns(&self, theta: &[f64]) -> Vec<Matrix3<f64>> {
        match self.model {
            Model::Projective => (0..8)
                .map(|k| Matrix3::from_fn(|r, c| f64::from(3 * r + c == k)))
                .collect(),
            Model::Pose => {
                let (scale, focal) = (theta[0].exp(), theta[FOCAL].exp());
                let (st, ct) = theta[1].sin_cos();
                let (sa, ca) = theta[TILT[0]].sin_cos();
                let (sb, cb) = theta[TILT[1]].sin_cos();
                let across = |right: Vector3<f64>, down: Vector3<f64>, last: Vector3<f64>| {
                    let rows = Vector3::new(scale, scale, scale / focal);
                    Matrix3::from_columns(&[
                        right.component_mul(&rows),
                        down.component_mul(&rows),
                        last,
                    ])
                };
                // What the axes of the plane are turned from, and how it follows either tilt.
                let first = Vector3::new(cb, 0.0, -sb);
                let second = Vector3::new(sb * sa, ca, cb * sa);
                let second_by_a = Vector3::new(sb * ca, -sa, cb * ca);
                let first_by_b = Vector3::new(-sb, 0.0, -cb);
                let second_by_b = Vector3::new(cb * sa, 0.0, -sb * sa);
                let none = Vector3::zeros();
                let (right, down) = (first * ct + second * st, second * ct - first * st);
                let deep = |v: Vector3<f64>| Vector3::new(0.0, 0.0, -v.z);
                vec![
                    across(right, down, none),
                    across(down, -right, none),
                    across(none, none, Vector3::x()),
                    across(none, none, Vector3::y()),
                    across(second_by_a * st, second_by_a * ct, none),
                    across(
                        first_by_b * ct + second_by_b * st,
                        second_by_b * ct - first_by_b * st,
                        none,
                    ),
                    across(deep(right), deep(down), none),
                ]
            }
        }
    }

    /// Returns the optical centre in the plane's frame, mm: across, down, and the distance from
    /// the plane; `focal_px` in pixels.
    pub(crate) fn camera(&self, theta: &[f64], focal_px: f64) -> Option<[f64; 3]> {
        let h = self.matrix(theta);
        let focal = focal_px / self.radius;
        let rows = Matrix3::new(1.0 / focal, 0.0, 0.0, 0.0, 1.0 / focal, 0.0, 0.0, 0.0, 1.0);
        let m = rows * h;
        let (a, b, t) = (m.column(0), m.column(1), m.column(2));
        let length = (a.norm() * b.norm()).sqrt();
        let (a, b, t) = (a / length, b / length, t / length);
        let normal = a.cross(&b);
        let centre = [-a.dot(&t), -b.dot(&t), normal.dot(&t)];
        let mm = centre.map(|v| v * self.unit_mm);
        (mm.iter().all(|v| v.is_finite()) && mm[2] > 0.0).then_some(mm)
    }
}
