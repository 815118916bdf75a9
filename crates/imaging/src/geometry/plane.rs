//! A reference plane seen in a photograph.
//!
//! In: references and assumptions. Out: a [`Plane`] that turns pixels into millimetres, with all
//! that its uncertainty rests on, residuals, a chi-square check, notes for the reader.
//! Not here: the fit itself (`solve.rs`), measures (`measure`).

use super::mapping::{Mapping, Model};
use super::projection::Projection;
use super::references::{Prepared, bounds, hull};
use super::solve::{Observation, Solution, solve};
use super::{Options, PlaneError, Reference, ReferenceKind, assumed, contradiction};
use nalgebra::DMatrix;
use statrs::distribution::{ChiSquared, ContinuousCDF};

/// One independent cause of doubt about a plane: a click, a size, an assumption. The parameters
/// of the view are linear in these, so that results which share a plane share its doubt.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct UncertaintySource {
    pub(crate) name: String,
    /// Expectation and standard deviation, in `unit`.
    pub(crate) mean: f64,
    pub(crate) sd: f64,
    pub(crate) unit: SourceUnit,
    /// Change of the parameters per standard deviation.
    pub(crate) column: Vec<f64>,
}

/// What a cause is counted in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum SourceUnit {
    Pixels,
    Millimetres,
    /// How far inwards of a round corner a point lies, mm.
    Inset,
    Degrees,
    LogPixels,
    Number,
}

/// How far model and click are apart.
#[derive(Debug, Clone, PartialEq)]
pub struct Residual {
    /// The reference.
    pub reference: String,
    /// Number of the click, from 1.
    pub number: usize,
    /// Model minus click, pixels, across and down.
    pub px: [f64; 2],
}

/// Whether the clicks agree with each other within their stated uncertainty.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ChiSquare {
    /// Sum of the squared residuals in standard uncertainties.
    pub value: f64,
    /// Observations beyond those needed.
    pub degrees_of_freedom: usize,
    /// Probability of a value this large or larger if the stated uncertainties are right.
    pub probability: f64,
}

/// A reference plane seen in a photograph.
#[derive(Debug, Clone, PartialEq)]
pub struct Plane {
    pub(crate) mapping: Mapping,
    pub(crate) theta: Vec<f64>,
    pub(crate) causes: Vec<UncertaintySource>,
    /// Change of the parameters for one standard uncertainty of what all marks taken from the photograph's
    /// pixels share.
    pub(crate) shared: Vec<f64>,
    pub(crate) options: Options,
    check: Option<ChiSquare>,
    residuals: Vec<Residual>,
    widened: Option<f64>,
    notes: Vec<String>,
}

impl Plane {
    /// Fits the plane in which the references lie.
    ///
    /// # Errors
    /// [`PlaneError`] with the reason and what to do: too few or coinciding or collinear points,
    /// corners or marks out of order, sides swapped, sizes that are none, points outside the picture, a
    /// reference too small to measure with, references that contradict each other.
    pub fn fit(references: &[Reference], options: &Options) -> Result<Self, PlaneError> {
        let mut ready = references
            .iter()
            .map(|r| {
                let prepared = r.prepared(options.picture)?;
                check_size(&prepared)?;
                Ok((prepared, r))
            })
            .collect::<Result<Vec<_>, PlaneError>>()?;
        // The reference that tells most about the view comes first and fixes the frame.
        ready.sort_by(|(a, _), (b, _)| {
            let size = |p: &Prepared| if p.spans { extent(p).1 } else { extent(p).0 };
            b.spans.cmp(&a.spans).then(size(b).total_cmp(&size(a)))
        });
        let prepared: Vec<Prepared> = ready.iter().map(|(p, _)| p.clone()).collect();
        let solution = solve(&prepared, options)?;
        if !options.oblique {
            check_sides(&solution, ready[0].1)?;
        }
        let plane = Self::of(solution, &prepared, options);
        if plane.widened.is_some() {
            contradiction::check(&prepared, options)?;
        }
        Ok(plane)
    }

    pub(super) fn of(solution: Solution, references: &[Prepared], options: &Options) -> Self {
        let check = (solution.degrees_of_freedom > 0).then(|| {
            let degrees_of_freedom = solution.degrees_of_freedom;
            let value = solution.chi_square;
            let probability = ChiSquared::new(degrees_of_freedom as f64)
                .map_or(f64::NAN, |distribution| distribution.sf(value));
            ChiSquare {
                value,
                degrees_of_freedom,
                probability,
            }
        });
        let widened = check
            .filter(|c| c.probability < assumed::UNLIKELY.value)
            .map(|c| (c.value / c.degrees_of_freedom as f64).sqrt());
        let clicks = references
            .iter()
            .flat_map(|r| (0..r.clicks.len()).map(|i| (r.name.clone(), i + 1)));
        let residuals = clicks
            .zip(&solution.misfits)
            .map(|((reference, number), px)| Residual {
                reference,
                number,
                px: *px,
            })
            .collect();
        let mut causes = causes(&solution, references, options);
        for cause in &mut causes {
            cause.sd *= widened.unwrap_or(1.0);
            for c in &mut cause.column {
                *c *= widened.unwrap_or(1.0);
            }
        }
        let mut plane = Self {
            mapping: solution.mapping,
            theta: solution.theta,
            causes,
            shared: solution.shared,
            options: options.clone(),
            check,
            residuals,
            widened,
            notes: Vec::new(),
        };
        plane.notes = plane.made_notes();
        let round = references.iter().filter_map(|r| Some((&r.name, r.inset?)));
        plane.notes.extend(round.map(|(name, inset)| {
            format!(
                "The corners of {name} are round. Points marked there may lie where its sides would meet or up to {inset:.2} mm inwards of that along either side; the view tells which as far as it can, the rest is counted as doubt. Three points on each side are exact."
            )
        }));
        plane
    }

    fn made_notes(&self) -> Vec<String> {
        let mut notes = Vec::new();
        if self.model() == Model::Pose {
            let focal = if self.options.focal_px.is_some() {
                "its stated focal length"
            } else {
                "a usual focal length (0.5 to 2.4 times the longer side of the picture)"
            };
            notes.push(format!(
                "The references do not enclose an area, so the camera is taken to look straight down within {:.1}° (standard uncertainty about each axis), with {focal}.",
                self.tilt_deg()
            ));
        }
        let covariance = self.covariance();
        for (i, before) in self.options.lens_terms().iter().enumerate() {
            let at = self.model().count() + i;
            let after = covariance[(at, at)].sqrt();
            notes.push(if after < assumed::WELL_DETERMINED.value * before {
                format!(
                    "Lens distortion k{} = {:.5} ± {:.5} (share of the half diagonal at the corner), found from the points.",
                    i + 1,
                    self.theta[at],
                    after
                )
            } else {
                format!(
                    "The points do not tell the lens distortion; k{} is taken as 0 ± {} (share of the half diagonal at the corner).",
                    i + 1,
                    two_digits(*before)
                )
            });
        }
        if let (Some(check), Some(factor)) = (self.check, self.widened) {
            notes.push(format!(
                "The clicks disagree more than their uncertainty allows (χ² = {:.1} with {} degrees of freedom), so all uncertainties of the plane are {factor:.1} times as wide. A point may be marked wrongly, or a reference may not lie in the plane.",
                check.value, check.degrees_of_freedom
            ));
        }
        notes
    }

    /// Returns the standard uncertainty of the tilt about either axis that was taken beforehand, degrees.
    pub fn tilt_deg(&self) -> f64 {
        self.options.usable_tilt_deg()
    }

    /// Returns which parameters describe the view.
    pub fn model(&self) -> Model {
        self.mapping.model
    }

    /// Returns the chi-square check; `None` where nothing was observed beyond what is needed.
    pub fn check(&self) -> Option<ChiSquare> {
        self.check
    }

    /// Returns how far model and clicks are apart.
    pub fn residuals(&self) -> &[Residual] {
        &self.residuals
    }

    /// Returns the factor by which uncertainties were widened because the check failed at 1 %.
    pub fn widened(&self) -> Option<f64> {
        self.widened
    }

    /// Returns what a reader should know: assumptions, the lens, a failed check.
    pub fn notes(&self) -> &[String] {
        &self.notes
    }

    /// Returns the parameters: the view's (see [`Model`]), then the lens terms. Places on the
    /// plane count in [`Plane::unit_mm`], places in the picture in half diagonals from its middle.
    pub fn parameters(&self) -> &[f64] {
        &self.theta
    }

    /// Returns the length that is 1 in the plane's own coordinates, mm.
    pub fn unit_mm(&self) -> f64 {
        self.mapping.unit_mm
    }

    /// Returns the covariance of the parameters.
    pub fn covariance(&self) -> DMatrix<f64> {
        let n = self.theta.len();
        let mut covariance = DMatrix::zeros(n, n);
        for cause in &self.causes {
            for r in 0..n {
                for c in 0..n {
                    covariance[(r, c)] += cause.column[r] * cause.column[c];
                }
            }
        }
        covariance
    }

    /// Returns the homography from millimetres to pixels without distortion, row by row, last
    /// entry 1 (before the lens).
    pub fn homography(&self) -> [[f64; 3]; 3] {
        let m = &self.mapping;
        let (r, u) = (m.radius, m.unit_mm);
        let to_px = nalgebra::Matrix3::new(r, 0.0, m.middle[0], 0.0, r, m.middle[1], 0.0, 0.0, 1.0);
        let to_unit = nalgebra::Matrix3::new(1.0 / u, 0.0, 0.0, 0.0, 1.0 / u, 0.0, 0.0, 0.0, 1.0);
        let h = to_px * m.matrix(&self.theta) * to_unit;
        std::array::from_fn(|i| std::array::from_fn(|j| h[(i, j)]))
    }

    /// Returns the lens terms k₁ and k₂ (see `lens.rs` for their unit).
    pub fn distortion(&self) -> [f64; 2] {
        let n = self.model().count();
        [0, 1].map(|i| self.theta.get(n + i).copied().unwrap_or(0.0))
    }

    /// Returns the place on the plane of a pixel, mm from the middle of the first reference, or
    /// `None` beyond the horizon.
    pub fn to_plane(&self, px: [f64; 2]) -> Option<[f64; 2]> {
        self.view()?.unproject(px)
    }

    /// Returns the view at the fitted parameters.
    pub(crate) fn view(&self) -> Option<Projection<'_>> {
        Projection::new(&self.mapping, &self.theta)
    }

    /// Returns millimetres per pixel at a pixel: the geometric mean over directions.
    pub fn mm_per_px(&self, px: [f64; 2]) -> Option<f64> {
        let at = |dx: f64, dy: f64| self.to_plane([px[0] + dx, px[1] + dy]);
        let (e, w, s, n) = (at(0.5, 0.0)?, at(-0.5, 0.0)?, at(0.0, 0.5)?, at(0.0, -0.5)?);
        let (a, b) = ([e[0] - w[0], e[1] - w[1]], [s[0] - n[0], s[1] - n[1]]);
        let area = (a[0] * b[1] - a[1] * b[0]).abs();
        (area > 0.0).then(|| area.sqrt())
    }
}

impl Plane {
    /// Returns the least and the greatest number of millimetres per pixel at a pixel, over all directions.
    pub fn stretch(&self, px: [f64; 2]) -> Option<[f64; 2]> {
        let at = |dx: f64, dy: f64| self.to_plane([px[0] + dx, px[1] + dy]);
        let (e, w, s, n) = (at(0.5, 0.0)?, at(-0.5, 0.0)?, at(0.0, 0.5)?, at(0.0, -0.5)?);
        let (a, b) = ([e[0] - w[0], e[1] - w[1]], [s[0] - n[0], s[1] - n[1]]);
        // Singular values of a 2 × 2 matrix.
        let sum = (a[0] + b[1]).hypot(a[1] - b[0]);
        let difference = (a[0] - b[1]).hypot(a[1] + b[0]);
        Some([
            (sum - difference).abs() / 2.0,
            f64::midpoint(sum, difference),
        ])
    }
}

/// An uncertainty to two significant digits, without an exponent.
fn two_digits(value: f64) -> String {
    // The power of ten is read off the rounded number, since 0.0999 rounds to 0.10.
    let rounded = format!("{value:.1e}");
    let power: i32 = rounded
        .split_once('e')
        .and_then(|(_, p)| p.parse().ok())
        .unwrap_or(0);
    let places = usize::try_from(1 - power).unwrap_or(0);
    format!("{value:.places$}")
}

/// Greatest extent of a reference in the picture and the one square to it, pixels.
fn extent(reference: &Prepared) -> (f64, f64) {
    let points: Vec<[f64; 2]> = reference.clicks.iter().map(|c| c.at).collect();
    let (mut longest, mut along) = (0.0, [1.0, 0.0]);
    let corners = hull(&points);
    for (i, a) in corners.iter().enumerate() {
        for b in &corners[i + 1..] {
            let d = [b[0] - a[0], b[1] - a[1]];
            let length = d[0].hypot(d[1]);
            if length > longest {
                (longest, along) = (length, [d[0] / length, d[1] / length]);
            }
        }
    }
    let across = points.iter().map(|p| p[1] * along[0] - p[0] * along[1]);
    let (low, high) = bounds(across);
    (longest, (high - low).max(0.0))
}

fn check_size(reference: &Prepared) -> Result<(), PlaneError> {
    let (long, short) = extent(reference);
    let u = reference
        .clicks
        .iter()
        .map(|c| c.covariance[0].max(c.covariance[2]))
        .fold(0.0, f64::max)
        .sqrt();
    let size = if reference.spans { short } else { long };
    let relative = (u * std::f64::consts::SQRT_2 / size)
        .max(reference.along)
        .max(reference.across.unwrap_or(0.0));
    if relative > assumed::COARSE.value {
        return Err(PlaneError::TooSmall {
            reference: reference.name.clone(),
            percent: relative * 100.0,
        });
    }
    Ok(())
}

/// Refuses a rectangle that would lie level if its sides were swapped and steep as stated.
fn check_sides(solution: &Solution, reference: &Reference) -> Result<(), PlaneError> {
    let (ReferenceKind::Rectangle { length, width, .. }
    | ReferenceKind::RoundRectangle { length, width, .. }
    | ReferenceKind::Sides { length, width, .. }) = &reference.kind
    else {
        return Ok(());
    };
    let h = solution.mapping.matrix(&solution.theta);
    let column = |c: usize, by: f64| [0, 1].map(|r| by * (h[(r, c)] - h[(r, 2)] * h[(2, c)]));
    let tilt_deg = |stretch: f64| {
        let (a, b) = (column(0, stretch), column(1, 1.0 / stretch));
        let (aa, bb) = (a[0] * a[0] + a[1] * a[1], b[0] * b[0] + b[1] * b[1]);
        let ab = a[0] * b[0] + a[1] * b[1];
        let (half, root) = ((aa + bb) / 2.0, ((aa - bb) / 2.0).hypot(ab));
        ((half - root).max(0.0) / (half + root))
            .sqrt()
            .min(1.0)
            .acos()
            .to_degrees()
    };
    if tilt_deg(1.0) > assumed::STEEP.value
        && tilt_deg(length.value / width.value) < assumed::LEVEL.value
    {
        return Err(PlaneError::SidesSwapped {
            reference: reference.name.clone(),
            length: length.value,
        });
    }
    Ok(())
}

/// Lists what the parameters rest on. Many clicks of one reference are joined into as many
/// independent parts as there are parameters; their joint covariance is the same.
fn causes(
    solution: &Solution,
    references: &[Prepared],
    options: &Options,
) -> Vec<UncertaintySource> {
    let count = solution.theta.len();
    let mut list = Vec::new();
    for (r, reference) in references.iter().enumerate() {
        let columns: Vec<usize> = (0..solution.observations.len())
            .filter(|&k| matches!(solution.observations[k], Observation::Click { reference, .. } if reference == r))
            .collect();
        let plain =
            reference.sides.is_none() && reference.clicks.iter().all(|c| c.covariance[1] == 0.0);
        if columns.len() <= count && plain {
            for &k in &columns {
                list.push(cause(solution, k, references, options));
            }
        } else {
            let part = solution.influence.select_columns(&columns);
            let joined = (&part * part.transpose()).symmetric_eigen();
            for (i, value) in joined
                .eigenvalues
                .iter()
                .enumerate()
                .filter(|(_, v)| **v > 0.0)
            {
                let column = joined.eigenvectors.column(i) * value.sqrt();
                list.push(UncertaintySource {
                    name: format!("{} clicks, part {}", reference.name, i + 1),
                    mean: 0.0,
                    sd: 1.0,
                    unit: SourceUnit::Number,
                    column: column.iter().copied().collect(),
                });
            }
        }
    }
    for (k, observation) in solution.observations.iter().enumerate() {
        if !matches!(observation, Observation::Click { .. }) {
            list.push(cause(solution, k, references, options));
        }
    }
    list
}

fn cause(
    solution: &Solution,
    k: usize,
    references: &[Prepared],
    options: &Options,
) -> UncertaintySource {
    let (name, mean, sd, unit) = match solution.observations[k] {
        Observation::Click {
            reference,
            number,
            axis,
        } => {
            let prepared = &references[reference];
            let click = prepared.clicks[number];
            let word = ["x", "y"][axis];
            let variance = click.covariance[2 * axis];
            let name = format!("{} {} {word}", prepared.name, number + 1);
            (name, click.at[axis], variance.sqrt(), SourceUnit::Pixels)
        }
        Observation::Size { reference, axis } => {
            let prepared = &references[reference];
            let (low, high) = bounds(prepared.places.iter().map(|p| p[axis]));
            let relative = [prepared.along, prepared.across.unwrap_or(0.0)][axis];
            let word = match (prepared.across, axis) {
                (None, _) => "length",
                (Some(_), 0) => "first side",
                (Some(_), _) => "second side",
            };
            let size = high - low;
            let name = format!("{} {word}", prepared.name);
            (name, size, relative * size, SourceUnit::Millimetres)
        }
        Observation::Inset { reference } => {
            let prepared = &references[reference];
            let half = prepared.inset.unwrap_or(0.0) / 2.0;
            let name = format!("{} points inwards of its corners", prepared.name);
            (name, half, half, SourceUnit::Inset)
        }
        Observation::Square(way) => {
            let name = [
                "axes of the picture at right angles",
                "axes of the picture alike",
            ][way];
            (
                name.to_string(),
                0.0,
                assumed::SQUARE.value,
                SourceUnit::Number,
            )
        }
        Observation::Tilt(axis) => {
            let name = format!("camera tilt {}", axis + 1);
            let sd = options.tilt_rad().to_degrees();
            (name, 0.0, sd, SourceUnit::Degrees)
        }
        Observation::Focal => {
            let (ln, spread) = options.ln_focal();
            let name = "focal length, ln of pixels".to_string();
            (name, ln, spread, SourceUnit::LogPixels)
        }
        Observation::Lens(i) => {
            let name = format!("lens k{}", i + 1);
            (name, 0.0, options.lens_terms()[i], SourceUnit::Number)
        }
    };
    UncertaintySource {
        name,
        mean,
        sd,
        unit,
        column: solution.influence.column(k).iter().copied().collect(),
    }
}
