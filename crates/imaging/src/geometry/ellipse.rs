//! Circles and ellipses through points.
//!
//! In: points. Out: the circle with the least squared distances; the ellipse with the least
//! algebraic error. Sources: W. Gander, G. Golub, R. Strebel, "Least-squares fitting of circles
//! and ellipses", BIT 34 (1994) 558 (geometric circle, Gauss–Newton); I. Kåsa, IEEE Trans.
//! Instrum. Meas. 25 (1976) 8 (start); A. Fitzgibbon, M. Pilu, R. Fisher, "Direct least square
//! fitting of ellipses", IEEE PAMI 21 (1999) 476, in the stable form of R. Halíř, J. Flusser,
//! WSCG 1998.

use nalgebra::{Matrix3, Vector3};

/// A circle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Circle {
    /// Middle.
    pub middle: [f64; 2],
    /// Radius.
    pub radius: f64,
}

/// An ellipse.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ellipse {
    /// Middle.
    pub middle: [f64; 2],
    /// Greater and smaller half axis.
    pub half_axes: [f64; 2],
    /// Direction of the greater axis, radians from x towards y, −π/2 to π/2.
    pub direction_rad: f64,
}

/// Rounds of the circle fit; five suffice for points on a rim.
const ROUNDS: usize = 50;

/// Returns the circle with the least sum of squared distances to three or more points, or `None`
/// where they lie on a line or are too few.
pub fn circle(points: &[[f64; 2]]) -> Option<Circle> {
    if points.len() < 3 {
        return None;
    }
    let (middle, scale) = frame(points)?;
    let local = |p: &[f64; 2]| [(p[0] - middle[0]) / scale, (p[1] - middle[1]) / scale];
    let local: Vec<[f64; 2]> = points.iter().map(local).collect();
    // Kåsa: x² + y² = 2ax + 2by + c.
    let mut normal = Matrix3::zeros();
    let mut right = Vector3::zeros();
    for p in &local {
        let row = Vector3::new(2.0 * p[0], 2.0 * p[1], 1.0);
        normal += row * row.transpose();
        right += row * (p[0] * p[0] + p[1] * p[1]);
    }
    if normal.determinant().abs() < 1e-9 * normal.norm().powi(3) {
        return None;
    }
    let start = normal.lu().solve(&right)?;
    let mut at = Vector3::new(
        start.x,
        start.y,
        (start.z + start.x * start.x + start.y * start.y)
            .max(0.0)
            .sqrt(),
    );
    for _ in 0..ROUNDS {
        let mut normal = Matrix3::zeros();
        let mut right = Vector3::zeros();
        for p in &local {
            let (dx, dy) = (p[0] - at.x, p[1] - at.y);
            // Of order one, so that nothing can overflow.
            let d = (dx * dx + dy * dy).sqrt();
            if d == 0.0 {
                return None;
            }
            let row = Vector3::new(-dx / d, -dy / d, -1.0);
            normal += row * row.transpose();
            right += row * (d - at.z);
        }
        let step = normal.lu().solve(&right)?;
        at -= step;
        if step.norm() < 1e-13 {
            break;
        }
    }
    let radius = at.z * scale;
    (radius > 0.0 && radius.is_finite()).then_some(Circle {
        middle: [middle[0] + at.x * scale, middle[1] + at.y * scale],
        radius,
    })
}

/// Returns the ellipse with the least algebraic error to five or more points, or `None` where
/// they determine none.
pub fn ellipse(points: &[[f64; 2]]) -> Option<Ellipse> {
    if points.len() < 5 {
        return None;
    }
    Scatter::of(points)?.ellipse()
}

/// The sums over points that their ellipse follows from, in a frame of order one.
#[derive(Clone)]
pub(crate) struct Scatter {
    middle: [f64; 2],
    scale: f64,
    /// Of the squares x², xy, y² with each other, with x, y, 1, and of these with each other.
    squares: Matrix3<f64>,
    mixed: Matrix3<f64>,
    straight: Matrix3<f64>,
}

impl Scatter {
    /// Sums over points.
    pub(crate) fn of(points: &[[f64; 2]]) -> Option<Self> {
        let (middle, scale) = frame(points)?;
        let mut sums = Self {
            middle,
            scale,
            squares: Matrix3::zeros(),
            mixed: Matrix3::zeros(),
            straight: Matrix3::zeros(),
        };
        for p in points {
            sums.add(*p, 1.0);
        }
        Some(sums)
    }

    /// Root mean square distance of the points from their middle.
    pub(crate) fn scale(&self) -> f64 {
        self.scale
    }

    /// Returns the sums with one point moved.
    pub(crate) fn moved(&self, from: [f64; 2], to: [f64; 2]) -> Self {
        let mut moved = self.clone();
        moved.add(from, -1.0);
        moved.add(to, 1.0);
        moved
    }

    fn add(&mut self, p: [f64; 2], times: f64) {
        let x = (p[0] - self.middle[0]) / self.scale;
        let y = (p[1] - self.middle[1]) / self.scale;
        let (square, straight) = (Vector3::new(x * x, x * y, y * y), Vector3::new(x, y, 1.0));
        self.squares += square * square.transpose() * times;
        self.mixed += square * straight.transpose() * times;
        self.straight += straight * straight.transpose() * times;
    }

    /// Returns the ellipse with the least algebraic error.
    pub(crate) fn ellipse(&self) -> Option<Ellipse> {
        let (middle, scale) = (self.middle, self.scale);
        let (s1, s2, s3) = (self.squares, self.mixed, self.straight);
        let back = -(s3.try_inverse()? * s2.transpose());
        let m = s1 + s2 * back;
        // The inverse of the constraint 4ac − b² = 1 applied from the left.
        let reduced = Matrix3::from_rows(&[m.row(2) / 2.0, -m.row(1), m.row(0) / 2.0]);
        let conic = eigenvector_of_an_ellipse(&reduced)?;
        let rest = back * conic;
        let (a, b, c) = (conic.x, conic.y, conic.z);
        let (d, e, f) = (rest.x, rest.y, rest.z);
        let denominator = 4.0 * a * c - b * b;
        let x0 = (b * e - 2.0 * c * d) / denominator;
        let y0 = (b * d - 2.0 * a * e) / denominator;
        let level = f + (d * x0 + e * y0) / 2.0;
        let (half, root) = ((a + c) / 2.0, ((a - c) / 2.0).hypot(b / 2.0));
        // Along the greater axis the quadratic form is smaller in size.
        let (low, high) = if half > 0.0 {
            (half - root, half + root)
        } else {
            (half + root, half - root)
        };
        let (major, minor) = ((-level / low).sqrt(), (-level / high).sqrt());
        let mut direction_rad = 0.5 * (b.atan2(a - c));
        if half > 0.0 {
            direction_rad += std::f64::consts::FRAC_PI_2;
        }
        if direction_rad > std::f64::consts::FRAC_PI_2 {
            direction_rad -= std::f64::consts::PI;
        }
        let found = Ellipse {
            middle: [middle[0] + x0 * scale, middle[1] + y0 * scale],
            half_axes: [major * scale, minor * scale],
            direction_rad,
        };
        let numbers = [found.middle[0], found.middle[1], major, minor];
        (numbers.iter().all(|v| v.is_finite()) && minor > 0.0).then_some(found)
    }
}

impl Ellipse {
    /// Returns the point at an angle of the parameter form.
    pub fn point(&self, angle_rad: f64) -> [f64; 2] {
        let (s, c) = self.direction_rad.sin_cos();
        let (u, v) = (
            self.half_axes[0] * angle_rad.cos(),
            self.half_axes[1] * angle_rad.sin(),
        );
        [
            self.middle[0] + c * u - s * v,
            self.middle[1] + s * u + c * v,
        ]
    }

    /// Returns the direction square to the rim at an angle of the parameter form, outwards.
    pub fn outwards(&self, angle_rad: f64) -> [f64; 2] {
        let (s, c) = self.direction_rad.sin_cos();
        let (u, v) = (
            angle_rad.cos() / self.half_axes[0],
            angle_rad.sin() / self.half_axes[1],
        );
        let (x, y) = (c * u - s * v, s * u + c * v);
        let length = x.hypot(y);
        [x / length, y / length]
    }

    /// Returns the signed distance of a point to the rim, to first order (Sampson).
    pub fn distance(&self, p: [f64; 2]) -> f64 {
        self.distances()(p)
    }

    /// Returns what gives [`Ellipse::distance`] of many points.
    pub(crate) fn distances(&self) -> impl Fn([f64; 2]) -> f64 + use<> {
        let (s, c) = self.direction_rad.sin_cos();
        let middle = self.middle;
        let [a, b] = self.half_axes;
        let (aa, bb) = (1.0 / (a * a), 1.0 / (b * b));
        move |p| {
            let (dx, dy) = (p[0] - middle[0], p[1] - middle[1]);
            let (u, v) = (c * dx + s * dy, -s * dx + c * dy);
            let (x, y) = (u * aa, v * bb);
            let slope = 2.0 * (x * x + y * y).sqrt();
            if slope > 0.0 {
                (u * x + v * y - 1.0) / slope
            } else {
                -b
            }
        }
    }

    /// Returns the ellipse with both half axes longer by `by`.
    pub(crate) fn widened(&self, by: f64) -> Self {
        Self {
            half_axes: self.half_axes.map(|h| h + by),
            ..*self
        }
    }

    /// Returns where a level line enters and leaves the ellipse, or `None` where it passes by.
    pub(crate) fn crossed(&self, y: f64) -> Option<[f64; 2]> {
        let (s, c) = self.direction_rad.sin_cos();
        let [a, b] = self.half_axes.map(|h| 1.0 / (h * h));
        let dy = y - self.middle[1];
        let (xx, xy, yy) = (
            c * c * a + s * s * b,
            c * s * (a - b),
            s * s * a + c * c * b,
        );
        let root = (xy * xy * dy * dy - xx * (yy * dy * dy - 1.0)).sqrt();
        let middle = self.middle[0] - xy * dy / xx;
        (root >= 0.0).then(|| [middle - root / xx, middle + root / xx])
    }
}

/// Middle of the points and their root mean square distance from it.
fn frame(points: &[[f64; 2]]) -> Option<([f64; 2], f64)> {
    let n = points.len() as f64;
    let middle: [f64; 2] = std::array::from_fn(|c| points.iter().map(|p| p[c]).sum::<f64>() / n);
    let square: f64 = points
        .iter()
        .map(|p| (p[0] - middle[0]).powi(2) + (p[1] - middle[1]).powi(2))
        .sum();
    let scale = (square / n).sqrt();
    (scale > 0.0 && scale.is_finite()).then_some((middle, scale))
}

/// Returns the eigenvector with 4ac − b² > 0; the theory says there is exactly one.
fn eigenvector_of_an_ellipse(m: &Matrix3<f64>) -> Option<Vector3<f64>> {
    if m.iter().any(|v| !v.is_finite()) {
        return None;
    }
    m.complex_eigenvalues()
        .iter()
        .filter(|v| v.im.abs() <= 1e-6 * (1.0 + v.re.abs()))
        .filter_map(|v| {
            // The null vector of M − λ: the greatest of the rows' cross products.
            let shifted = m - Matrix3::identity() * v.re;
            let rows = [0, 1, 2].map(|i| shifted.row(i).transpose());
            let crosses = [(0, 1), (0, 2), (1, 2)].map(|(i, j)| rows[i].cross(&rows[j]));
            let vector = crosses
                .into_iter()
                .max_by(|a, b| a.norm().total_cmp(&b.norm()))?;
            let length = vector.norm();
            (length > 0.0).then(|| vector / length)
        })
        .filter(|v| 4.0 * v.x * v.z - v.y * v.y > 0.0)
        .max_by(|a, b| {
            let size = |v: &Vector3<f64>| 4.0 * v.x * v.z - v.y * v.y;
            size(a).total_cmp(&size(b))
        })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_exact_ellipse_comes_back() {
        for direction_rad in [-1.2, -0.3, 0.0, 0.7, 1.4] {
            let made = Ellipse {
                middle: [310.0, 205.0],
                half_axes: [90.0, 40.0],
                direction_rad,
            };
            let points: Vec<[f64; 2]> = (0..9).map(|i| made.point(f64::from(i) * 0.6)).collect();
            let found = ellipse(&points).unwrap();
            assert!((found.middle[0] - 310.0).abs() + (found.middle[1] - 205.0).abs() < 1e-7);
            assert!((found.half_axes[0] - 90.0).abs() + (found.half_axes[1] - 40.0).abs() < 1e-7);
            assert!(
                (found.direction_rad - direction_rad).abs() < 1e-8,
                "{found:?}"
            );
            assert!(points.iter().all(|p| found.distance(*p).abs() < 1e-7));
        }
    }

    #[test]
    fn points_on_a_line_make_neither() {
        let line: Vec<[f64; 2]> = (0..8).map(|i| [f64::from(i), 2.0 * f64::from(i)]).collect();
        assert_eq!(circle(&line), None);
        assert_eq!(ellipse(&line), None);
        assert_eq!(circle(&[[1.0, 1.0]; 4]), None);
        assert_eq!(ellipse(&[[f64::NAN; 2]; 6]), None);
    }
}
