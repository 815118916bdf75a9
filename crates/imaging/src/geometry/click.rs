//! A place in a photograph, and a size with its doubt.

/// A place in the picture with its uncertainty, pixels; the middle of the first pixel is at
/// (0.5, 0.5).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Click {
    /// Across and down.
    pub at: [f64; 2],
    /// Variances of both and their covariance, pixels²: xx, xy, yy.
    pub covariance: [f64; 3],
    /// How far the place moves, across and down, pixels, for one standard uncertainty of what all marks
    /// of a photograph share that were taken from its pixels: its tone curve and sharpening.
    pub shared: [f64; 2],
    /// Standard uncertainty, pixels, of a shift that all three points of a side have together, for a point of
    /// an outline marked on its sides; `covariance` holds it too, as if each point had its part alone.
    pub side_px: f64,
}

impl Click {
    /// Makes a click with the same standard uncertainty in every direction.
    pub fn new(x: f64, y: f64, uncertainty_px: f64) -> Self {
        let variance = uncertainty_px * uncertainty_px;
        Self {
            at: [x, y],
            covariance: [variance, 0.0, variance],
            shared: [0.0; 2],
            side_px: 0.0,
        }
    }

    /// Makes a click found in the pixels: with its standard uncertainty, how far it moves along `outwards` by what
    /// it shares with the photograph, and the shift that its side has together, pixels.
    pub fn snapped(
        at: [f64; 2],
        [alone_px, shared_px, side_px]: [f64; 3],
        outwards: [f64; 2],
    ) -> Self {
        Self {
            shared: outwards.map(|n| n * shared_px),
            side_px,
            ..Self::new(at[0], at[1], alone_px)
        }
    }

    /// Returns the numbers that [`Click::snapped`] takes: the greatest standard uncertainty in any direction, the
    /// shared move outwards, and the shift of its side.
    pub fn uncertainties(&self, outwards: [f64; 2]) -> [f64; 3] {
        let [xx, xy, yy] = self.covariance;
        let widest = (f64::midpoint(xx, yy) + ((xx - yy) / 2.0).hypot(xy)).sqrt();
        let shared = self.shared[0] * outwards[0] + self.shared[1] * outwards[1];
        [widest, shared, self.side_px]
    }

    /// Whether place and covariance are finite and the covariance is positive definite.
    pub fn is_usable(&self) -> bool {
        let [xx, xy, yy] = self.covariance;
        let [sx, sy] = self.shared;
        let numbers = [self.at[0], self.at[1], xx, xy, yy, sx, sy, self.side_px];
        numbers.iter().all(|v| v.is_finite() && v.abs() < 1e9)
            && xx > 0.0
            && yy > 0.0
            && xx * yy - xy * xy > 0.0
    }

    /// Returns the lower triangular root of the covariance: l11, l21, l22.
    pub(crate) fn root(&self) -> [f64; 3] {
        let [xx, xy, yy] = self.covariance;
        let l11 = xx.max(0.0).sqrt();
        let l21 = if l11 > 0.0 { xy / l11 } else { 0.0 };
        [l11, l21, (yy - l21 * l21).max(0.0).sqrt()]
    }
}

/// A value with its standard uncertainty, in one unit that the field's name gives.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measured {
    /// The value.
    pub value: f64,
    /// Standard uncertainty, 0 for exact.
    pub uncertainty: f64,
}

impl Measured {
    /// Makes a value that is taken as exact.
    pub fn exact(value: f64) -> Self {
        Self {
            value,
            uncertainty: 0.0,
        }
    }

    /// Makes a value with a standard uncertainty.
    pub fn new(value: f64, uncertainty: f64) -> Self {
        Self { value, uncertainty }
    }

    /// Makes a value that may lie anywhere within `half_width` of it.
    pub fn within(value: f64, half_width: f64) -> Self {
        Self::new(value, half_width.abs() / 3f64.sqrt())
    }

    /// Returns the uncertainty as a share of the value.
    pub(crate) fn relative(&self) -> f64 {
        (self.uncertainty / self.value).abs()
    }
}
