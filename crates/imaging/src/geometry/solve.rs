//! The fit of a plane to its references.
//!
//! In: prepared references, assumptions. Out: parameters, and how each follows every click, size
//! and assumption. Not here: checks of single references (`references.rs`), notes (`plane.rs`).
//!
//! Unknown are the parameters of the view (`mapping.rs`), the position and turn of every
//! reference but the first, and the true size of each reference that is known only within an
//! uncertainty. Observed are the clicks, the stated sizes, and the assumptions on lens, tilt and
//! focal length, each with its standard uncertainty. Where a rectangle was marked at its round
//! corners, how far inwards the points lie is unknown too; then that the picture has one scale
//! both ways is observed as well, because the shape of what was marked tells it (an inset of 0.9 mm
//! changes the ratio of a card's sides by 1.2 %). The sum of squared residuals is least at the
//! most likely answer, and (JᵀJ)⁻¹Jᵀ says how the answer follows each observation; its rows give
//! the covariance. Source: R. Hartley, A. Zisserman, *Multiple Projection Geometry*, 2nd edition,
//! 4.5, 5.2 and A6; two constraints of a homography on the camera: 8.4 (8.1 and 8.2 in Z. Zhang,
//! IEEE PAMI 22 (2000) 1330).

use super::dlt;
use super::least_squares::{Fit, fit};
use super::mapping::{FOCAL, Mapping, Model, TILT};
use super::projection::Projection;
use super::references::Prepared;
use super::side_points::{ON_A_SIDE, WEIGHTS};
use super::{Click, Options, PlaneError, assumed};
use nalgebra::{DMatrix, Matrix3, Vector3};

/// One thing the fit rests on.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Observation {
    /// A coordinate of a click of a reference; axis 0 is across, or square to the side for a click
    /// on a side, which has no other.
    Click {
        reference: usize,
        number: usize,
        axis: usize,
    },
    /// A size of a reference; axis 0 is along.
    Size { reference: usize, axis: usize },
    /// How far points lie inwards of round corners.
    Inset { reference: usize },
    /// Of a homography: that the picture's axes are at right angles (0) and have one scale (1).
    Square(usize),
    /// The tilt about an axis.
    Tilt(usize),
    /// The focal length.
    Focal,
    /// A lens term.
    Lens(usize),
}

/// What the fit gives.
pub(crate) struct Solution {
    pub(crate) mapping: Mapping,
    /// Parameters of view and lens.
    pub(crate) theta: Vec<f64>,
    /// What each residual belongs to.
    pub(crate) observations: Vec<Observation>,
    /// Rows: `theta`; columns: `observations`, per standard uncertainty.
    pub(crate) influence: DMatrix<f64>,
    pub(crate) chi_square: f64,
    pub(crate) degrees_of_freedom: usize,
    /// Per click in order: model minus click, pixels; on a side, square to it.
    pub(crate) misfits: Vec<[f64; 2]>,
    /// Change of `theta` where every click moves by what it shares with the photograph.
    pub(crate) shared: Vec<f64>,
}

/// No parameters reproduce the marks.
const NO_VIEW: PlaneError = PlaneError::NoFit {
    why: "no view puts the marked points where they are; check their order and sizes",
};

/// Fits a view to references, the first of which fixes the frame.
pub(crate) fn solve(references: &[Prepared], options: &Options) -> Result<Solution, PlaneError> {
    let base = references.first().ok_or(PlaneError::NoReference)?;
    let [width, height] = options.picture.map(f64::from);
    let spread = base
        .places
        .iter()
        .map(|p| p[0].hypot(p[1]))
        .fold(0.0, f64::max);
    let mapping = Mapping {
        model: if base.spans {
            Model::Projective
        } else {
            Model::Pose
        },
        middle: [width / 2.0, height / 2.0],
        radius: (width.hypot(height) / 2.0).max(1.0),
        unit_mm: if spread > 0.0 { spread } else { 1.0 },
    };
    let lens = options.lens_terms();
    let tied = mapping.model == Model::Projective && references.iter().any(|r| r.inset.is_some());
    let problem = Problem {
        tied,
        offsets: offsets(mapping.model.count() + lens.len(), references),
        mapping,
        references,
        lens,
        tilt: options.tilt_rad(),
        ln_focal: options.ln_focal(),
    };
    let start = problem.start()?;
    let found = fit(start, |x| problem.residuals(x)).ok_or(NO_VIEW)?;
    problem.solution(found)
}

struct Problem<'a> {
    mapping: Mapping,
    references: &'a [Prepared],
    /// Standard uncertainties of the lens terms.
    lens: Vec<f64>,
    /// Standard uncertainty of each tilt, rad.
    tilt: f64,
    /// Expectation and standard uncertainty of ln focal length in pixels.
    ln_focal: (f64, f64),
    /// Whether the homography is held to that of a camera of one scale both ways; its focal length is then the
    /// last unknown.
    tied: bool,
    /// Number of each reference's first own unknown.
    offsets: Vec<usize>,
}

impl Problem<'_> {
    fn view_count(&self) -> usize {
        self.mapping.model.count() + self.lens.len()
    }

    /// Sizes of a reference that are unknown: axis and relative standard uncertainty.
    fn sizes(reference: &Prepared) -> impl Iterator<Item = (usize, f64)> + use<> {
        [Some(reference.along), reference.across]
            .into_iter()
            .enumerate()
            .filter_map(|(axis, u)| u.filter(|u| *u > 0.0).map(|u| (axis, u)))
    }

    /// Number of unknowns of what a reference is: its sizes, and how far inwards of round corners its points lie.
    fn own(reference: &Prepared) -> usize {
        Self::sizes(reference).count() + usize::from(reference.inset.is_some())
    }

    /// Returns how a reference lies on the plane.
    fn lie(&self, r: usize, own: &[f64]) -> Lie {
        let reference = &self.references[r];
        let (pose, sizes) = if r == 0 {
            ([0.0; 3], own)
        } else {
            ([own[0], own[1], own[2]], &own[3..])
        };
        let mut factor = [1.0, 1.0];
        for ((axis, u), z) in Self::sizes(reference).zip(sizes) {
            factor[axis] = 1.0 + u * z;
        }
        if reference.across.is_none() {
            factor[1] = factor[0];
        }
        let inset = reference.inset.map_or(0.0, |most| {
            let z = sizes.get(Self::sizes(reference).count()).copied();
            most / 2.0 * (1.0 + z.unwrap_or(0.0))
        });
        let unit = self.mapping.unit_mm;
        Lie {
            inset,
            turn: pose[0].sin_cos(),
            at: [pose[1] * unit, pose[2] * unit],
            factor,
        }
    }

    /// Returns how far the model is from each click, in order.
    fn misfits(&self, x: &[f64]) -> Option<Vec<Misfit>> {
        let view = Projection::new(&self.mapping, &x[..self.view_count()])?;
        let mut all = Vec::with_capacity(self.references.iter().map(|r| r.clicks.len()).sum());
        for (r, (reference, &from)) in self.references.iter().zip(&self.offsets).enumerate() {
            let lie = self.lie(r, &x[from..]);
            let marks = reference.places.iter().zip(&reference.clicks);
            match &reference.sides {
                None => {
                    for (place, click) in marks {
                        let seen = view.project(lie.place(*place))?;
                        all.push(Misfit::of_point(seen, click));
                    }
                }
                Some(sides) => {
                    for (mark, side) in marks.zip(sides) {
                        all.push(self.off_side(&view, &lie, mark, *side)?);
                    }
                }
            }
        }
        Some(all)
    }

    /// How far a side lies from a click on it.
    fn off_side(
        &self,
        view: &Projection<'_>,
        lie: &Lie,
        (place, click): (&[f64; 2], &Click),
        side: [f64; 2],
    ) -> Option<Misfit> {
        let found = view.unproject(click.at)?;
        let (on, along) = (lie.place(*place), lie.turned(side));
        let by = (found[0] - on[0]) * along[0] + (found[1] - on[1]) * along[1];
        let foot = |by: f64| [0, 1].map(|k: usize| on[k] + by * along[k]);
        let seen = view.project(foot(by))?;
        let ahead = view.project(foot(by + AHEAD * self.mapping.unit_mm))?;
        Some(Misfit::of_side(seen, ahead, click))
    }

    /// Makes the rows of clicks on sides independent where the points of a side have a shift together.
    fn join_sides(&self, rows: &mut [f64]) {
        let mut rest = rows;
        for reference in self.references {
            let each = if reference.sides.is_some() { 1 } else { 2 };
            let count = each * reference.clicks.len();
            let Some((own, after)) = std::mem::take(&mut rest).split_at_mut_checked(count) else {
                return;
            };
            rest = after;
            if reference.sides.is_none() {
                continue;
            }
            let sides = own.chunks_exact_mut(ON_A_SIDE);
            for (rows, clicks) in sides.zip(reference.clicks.chunks_exact(ON_A_SIDE)) {
                if let Some(joint) = joint(clicks) {
                    let joined = joint * Vector3::from_column_slice(rows);
                    rows.copy_from_slice(joined.as_slice());
                }
            }
        }
    }

    fn residuals(&self, x: &[f64]) -> Option<Vec<f64>> {
        let theta = &x[..self.view_count()];
        let misfits = self.misfits(x)?;
        let mut rows: Vec<f64> = misfits.iter().flat_map(|m| m.rows()).collect();
        self.join_sides(&mut rows);
        for (r, &from) in self.offsets.iter().enumerate() {
            let from = from + if r == 0 { 0 } else { 3 };
            rows.extend(x[from..].iter().take(Self::own(&self.references[r])));
        }
        if self.tied {
            rows.extend(self.ties(theta, *x.last()?));
        }
        if self.mapping.model == Model::Pose {
            rows.extend(TILT.map(|i| theta[i] / self.tilt));
            let (mean, spread) = self.ln_focal;
            rows.push((theta[FOCAL] + self.mapping.radius.ln() - mean) / spread);
        }
        let first = self.mapping.model.count();
        rows.extend(
            self.lens
                .iter()
                .enumerate()
                .map(|(i, u)| theta[first + i] / u),
        );
        rows.iter().all(|v| v.is_finite()).then_some(rows)
    }

    /// How far a homography is from that of a camera with this focal length, in standard uncertainties: right
    /// angles, one scale, focal length.
    fn ties(&self, theta: &[f64], ln_focal: f64) -> [f64; 3] {
        let h = self.mapping.matrix(theta);
        let square = (2.0 * ln_focal).exp();
        let dot = |a: usize, b: usize| {
            h[(0, a)] * h[(0, b)] + h[(1, a)] * h[(1, b)] + square * h[(2, a)] * h[(2, b)]
        };
        let (first, second) = (dot(0, 0), dot(1, 1));
        let scale = assumed::SQUARE.value * f64::midpoint(first, second);
        let (mean, spread) = self.ln_focal;
        [
            dot(0, 1) / scale,
            (first - second) / 2.0 / scale,
            (ln_focal + self.mapping.radius.ln() - mean) / spread,
        ]
    }

    fn observations(&self) -> Vec<Observation> {
        let mut list = Vec::new();
        for (reference, prepared) in self.references.iter().enumerate() {
            let axes = if prepared.sides.is_some() { 1 } else { 2 };
            for number in 0..prepared.clicks.len() {
                list.extend((0..axes).map(|axis| Observation::Click {
                    reference,
                    number,
                    axis,
                }));
            }
        }
        for (reference, prepared) in self.references.iter().enumerate() {
            list.extend(
                Self::sizes(prepared).map(|(axis, _)| Observation::Size { reference, axis }),
            );
            list.extend(prepared.inset.map(|_| Observation::Inset { reference }));
        }
        if self.tied {
            list.extend([
                Observation::Square(0),
                Observation::Square(1),
                Observation::Focal,
            ]);
        }
        if self.mapping.model == Model::Pose {
            list.extend([
                Observation::Tilt(0),
                Observation::Tilt(1),
                Observation::Focal,
            ]);
        }
        list.extend((0..self.lens.len()).map(Observation::Lens));
        list
    }

    fn start(&self) -> Result<Vec<f64>, PlaneError> {
        let base = &self.references[0];
        let unit = self.mapping.unit_mm;
        let from: Vec<[f64; 2]> = base.places.iter().map(|p| p.map(|v| v / unit)).collect();
        let to: Vec<[f64; 2]> = base
            .clicks
            .iter()
            .map(|c| self.mapping.normal(c.at))
            .collect();
        let mut x = match self.mapping.model {
            Model::Projective => {
                let h = dlt::homography(&from, &to).ok_or(PlaneError::Collinear {
                    reference: base.name.clone(),
                })?;
                let rows = [
                    (0, 0),
                    (0, 1),
                    (0, 2),
                    (1, 0),
                    (1, 1),
                    (1, 2),
                    (2, 0),
                    (2, 1),
                ];
                rows.map(|at| h[at]).to_vec()
            }
            Model::Pose => {
                let (scale, turn, at) = similarity(&from, &to).ok_or(PlaneError::NoFit {
                    why: "the points of a reference have no extent",
                })?;
                let focal = self.ln_focal.0 - self.mapping.radius.ln();
                vec![scale.ln(), turn, at[0], at[1], 0.0, 0.0, focal]
            }
        };
        x.extend(self.lens.iter().map(|_| 0.0));
        let theta = x.clone();
        let view = Projection::new(&self.mapping, &theta).ok_or(NO_VIEW)?;
        for (r, reference) in self.references.iter().enumerate() {
            if r > 0 {
                let seen: Vec<[f64; 2]> = reference.clicks.iter().map(|c| c.at).collect();
                let found =
                    view.unproject_all(&seen)
                        .map_err(|number| PlaneError::BeyondHorizon {
                            measure: reference.name.clone(),
                            number: number + 1,
                        })?;
                let (_, turn, at) =
                    similarity(&reference.places, &found).ok_or(PlaneError::NoFit {
                        why: "the points of a reference have no extent",
                    })?;
                x.extend([turn, at[0] / unit, at[1] / unit]);
            }
            x.extend(std::iter::repeat_n(0.0, Self::own(reference)));
        }
        if self.tied {
            x.push(self.ln_focal.0 - self.mapping.radius.ln());
        }
        Ok(x)
    }

    fn solution(self, found: Fit) -> Result<Solution, PlaneError> {
        let influence = found.influence().ok_or(PlaneError::NoFit {
            why: "they leave part of the view open",
        })?;
        let count = self.view_count();
        let theta = found.parameters[..count].to_vec();
        let misfits = self.misfits(&found.parameters).unwrap_or_default();
        let influence = influence.rows(0, count).into_owned();
        let clicks = self.references.iter().flat_map(|r| &r.clicks);
        let moved = clicks.zip(&misfits).flat_map(|(c, m)| m.moved(c.shared));
        let mut moved: Vec<f64> = moved.collect();
        self.join_sides(&mut moved);
        let mut shared = vec![0.0; count];
        for (column, by) in influence.column_iter().zip(moved) {
            for (sum, follows) in shared.iter_mut().zip(column.iter()) {
                *sum += by * follows;
            }
        }
        Ok(Solution {
            observations: self.observations(),
            influence,
            shared,
            chi_square: found.chi_square(),
            degrees_of_freedom: found.residuals.len() - found.parameters.len(),
            misfits: misfits.into_iter().map(|m| m.px).collect(),
            mapping: self.mapping,
            theta,
        })
    }
}

/// Returns the number of each reference's first own unknown after those of the view.
fn offsets(view_count: usize, references: &[Prepared]) -> Vec<usize> {
    let mut at = view_count;
    let mut offsets = Vec::with_capacity(references.len());
    for (r, reference) in references.iter().enumerate() {
        offsets.push(at);
        at += if r == 0 { 0 } else { 3 } + Problem::own(reference);
    }
    offsets
}

/// How far along a side its direction in the picture is taken, in the plane's inner units.
const AHEAD: f64 = 1e-4;

/// Turn, place and true size of a reference on the plane.
struct Lie {
    /// Sine and cosine.
    turn: (f64, f64),
    /// Where its middle is, mm.
    at: [f64; 2],
    /// True size over stated size.
    factor: [f64; 2],
    /// How far inwards of round corners points lie, mm.
    inset: f64,
}

impl Lie {
    /// Returns a direction of the reference on the plane.
    fn turned(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        let (s, c) = self.turn;
        [c * x - s * y, s * x + c * y]
    }

    /// Returns a place of the reference on the plane, mm.
    fn place(&self, p: [f64; 2]) -> [f64; 2] {
        let own = [0, 1].map(|i: usize| p[i] * self.factor[i] - self.inset * p[i].signum());
        let [x, y] = self.turned(own);
        [x + self.at[0], y + self.at[1]]
    }
}

/// What turns the three rows of a side, each in its own standard uncertainty, into independent ones, where its
/// points have a shift together.
fn joint(clicks: &[Click]) -> Option<Matrix3<f64>> {
    let &[a, b, c] = clicks else { return None };
    let together = a.side_px * a.side_px;
    if together <= 0.0 {
        return None;
    }
    let whole = [a, b, c].map(|c| f64::midpoint(c.covariance[0], c.covariance[2]));
    let mut covariance = Matrix3::from_element(together);
    for i in 0..ON_A_SIDE {
        covariance[(i, i)] += (whole[i] - together / WEIGHTS[i]).max(0.01 * whole[i]);
    }
    let root = covariance.cholesky()?.l();
    let own = Matrix3::from_diagonal(&Vector3::from(whole.map(f64::sqrt)));
    root.solve_lower_triangular(&own)
}

/// How far the model is from a click.
struct Misfit {
    /// Model minus click, pixels; for a click on a side, square to it.
    px: [f64; 2],
    /// The same in standard uncertainties, in independent parts.
    first: f64,
    second: Option<f64>,
    /// What of a move of the click, across and down, each part is, in standard uncertainties.
    parts: [[f64; 2]; 2],
}

impl Misfit {
    fn of_point(seen: [f64; 2], click: &Click) -> Self {
        let px = [seen[0] - click.at[0], seen[1] - click.at[1]];
        let [l11, l21, l22] = click.root();
        let first = px[0] / l11;
        Self {
            px,
            first,
            second: Some((px[1] - l21 * first) / l22),
            parts: [[1.0 / l11, 0.0], [-l21 / (l11 * l22), 1.0 / l22]],
        }
    }

    /// The nearest place of the side is `seen`; `ahead` lies further on it.
    fn of_side(seen: [f64; 2], ahead: [f64; 2], click: &Click) -> Self {
        let [x, y] = [ahead[0] - seen[0], ahead[1] - seen[1]];
        let length = x.hypot(y);
        let across = [-y / length, x / length];
        let off = (seen[0] - click.at[0]) * across[0] + (seen[1] - click.at[1]) * across[1];
        let [xx, xy, yy] = click.covariance;
        let variance = xx * across[0] * across[0]
            + 2.0 * xy * across[0] * across[1]
            + yy * across[1] * across[1];
        Self {
            px: across.map(|n| n * off),
            first: off / variance.sqrt(),
            second: None,
            parts: [across.map(|n| n / variance.sqrt()), [0.0; 2]],
        }
    }

    /// A move of the click as parts in standard uncertainties.
    fn moved(&self, [x, y]: [f64; 2]) -> impl Iterator<Item = f64> + use<> {
        let [first, second] = self.parts.map(|p| p[0] * x + p[1] * y);
        std::iter::once(first).chain(self.second.map(|_| second))
    }

    fn rows(&self) -> impl Iterator<Item = f64> + use<> {
        std::iter::once(self.first).chain(self.second)
    }
}

/// Returns scale, turn and shift of the similarity that takes `from` nearest to `to`.
fn similarity(from: &[[f64; 2]], to: &[[f64; 2]]) -> Option<(f64, f64, [f64; 2])> {
    let n = from.len() as f64;
    let middle = |points: &[[f64; 2]]| -> [f64; 2] {
        std::array::from_fn(|c| points.iter().map(|p| p[c]).sum::<f64>() / n)
    };
    let (a, b) = (middle(from), middle(to));
    let (mut dot, mut cross, mut size) = (0.0, 0.0, 0.0);
    for (p, q) in from.iter().zip(to) {
        let (p, q) = ([p[0] - a[0], p[1] - a[1]], [q[0] - b[0], q[1] - b[1]]);
        dot += p[0] * q[0] + p[1] * q[1];
        cross += p[0] * q[1] - p[1] * q[0];
        size += p[0] * p[0] + p[1] * p[1];
    }
    let scale = dot.hypot(cross) / size;
    if !(scale > 0.0 && scale.is_finite()) {
        return None;
    }
    let turn = cross.atan2(dot);
    let (s, c) = turn.sin_cos();
    let shift = [
        b[0] - scale * (c * a[0] - s * a[1]),
        b[1] - scale * (s * a[0] + c * a[1]),
    ];
    Some((scale, turn, shift))
}
