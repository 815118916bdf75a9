//! Snapped sides, areas and diameters in 1,000 random views each.
//!
//! Rules, written down before any judged result was looked at:
//! - Judged are the seeds 3001 to 4000, all of them, for each kind; nothing is left out. What is not
//!   found counts as outside its interval and as an error beyond every bound. (2001 to 3000 were
//!   judged with another writer of JPEG files; see `docs/methods/geometry.md`.)
//! - What the model leaves out, for this camera and files of this quality, comes from the seeds
//!   10001 to 10400 and from nothing else: the standard uncertainty with which points on edges err by
//!   their stated uncertainty in the mean square, and another for mean radii of rims; rounded up to
//!   0.0001 pixels; [`left_out_by_calibration`].
//! - A view: 4000 × 3000 pixels of about 0.02 mm; focal length, distance, aim, tilt up to 8°, turn,
//!   light, blur, noise and contrast at random; distortion drawn from what is assumed of an
//!   unknown lens (standard deviation 0.01), or none where the lens is known. The reference is a
//!   card of 30 × 20 mm near the middle; card and things are photographed from one stand. JPEG
//!   files of quality 90. Things of 1.5 to 40 mm, at any turn, marked up to 3 pixels off.

use crate::chance::Chance;
use crate::stand::{Outline, Profile, Stand};
use imaging::geometry::{
    Estimate, Measure, Measured, Options, OutlinePoints, Plane, Reference, ReferenceKind,
    SnapOptions, ellipse, snap_circle, snap_rim, snap_sides,
};
use imaging::{Light, Picture, ToneCurve};
use scene::camera::{Camera, SensorModel};
use std::ops::RangeInclusive;

const PX_PER_MM: f64 = 50.0;
const CARD: [f64; 2] = [30.0, 20.0];
const OFF: f64 = 3.0;
const QUALITY: u8 = 90;
/// What the model leaves out of an edge and of a rim, pixels, by the rule above.
pub(crate) const LEFT_OUT: [f64; 2] = [0.0, 0.0];

fn strict(unmodelled_px: f64) -> SnapOptions {
    SnapOptions {
        unmodelled_px,
        // The levels of these pictures are light.
        tone: 0.0,
        unseen: 0.0,
        hidden_wall: 0.0,
        click_px: OFF / 3f64.sqrt(),
        ..SnapOptions::default()
    }
}

fn stand(chance: &mut Chance, seed: u64, lens: f64) -> Stand {
    let focal_px = 4000.0 * chance.between(0.8, 2.4);
    let camera = Camera {
        picture: [4000, 3000],
        focal_px,
        distortion: [lens * chance.normal(), 0.0],
        aim_mm: [chance.between(-2.0, 2.0), chance.between(-2.0, 2.0)],
        distance_mm: focal_px / PX_PER_MM,
        tilt_rad: chance.between(0.0, 8f64.to_radians()),
        tilt_about_rad: chance.between(0.0, 6.3),
        turn_rad: chance.between(-3.1, 3.1),
    };
    let sensor = SensorModel {
        defocus_px: chance.between(0.4, 1.8),
        noise: chance.between(0.8, 2.5),
        slope: [chance.between(-0.2, 0.2), chance.between(-0.2, 0.2)],
        falloff: chance.between(0.0, 0.2),
        seed,
    };
    Stand {
        profile: Profile::new(sensor.defocus_px),
        camera,
        sensor,
        quality: Some(QUALITY),
    }
}

/// A view: stand, card, a rectangle, a disc, and their levels.
struct View {
    stand: Stand,
    card: Outline,
    body: Outline,
    size: [f64; 2],
    disc: Outline,
    diameter: f64,
    middle: [f64; 2],
    light: f64,
    dark: f64,
}

fn view(seed: u64, lens: f64) -> (View, Chance) {
    let mut chance = Chance::new(seed);
    let stand = stand(&mut chance, seed, lens);
    let mut middle = |most: f64| [chance.between(-most, most), chance.between(-most, most)];
    let (at_card, at_body, at_disc) = (middle(1.0), middle(5.0), middle(4.0));
    let turn = chance.between(-0.1, 0.1);
    let length = chance.between(1.5, 40.0);
    let width = chance.between((0.3 * length).max(1.5), length.min(30.0));
    let size = [length, width];
    let diameter = chance.between(1.5, 40.0);
    let turned = chance.between(-3.1, 3.1);
    let found = View {
        stand,
        card: Outline::Rectangle(at_card, CARD, turn),
        body: Outline::Rectangle(at_body, size, turned),
        size,
        disc: Outline::Disc(at_disc, diameter),
        diameter,
        middle: at_disc,
        light: chance.between(130.0, 200.0),
        dark: chance.between(25.0, 80.0),
    };
    (found, chance)
}

fn roughly(camera: &Camera, chance: &mut Chance, [x, y]: [f64; 2]) -> [f64; 2] {
    let [u, v] = camera.project([x, y, 0.0]).unwrap();
    [u + chance.between(-OFF, OFF), v + chance.between(-OFF, OFF)]
}

impl View {
    fn of_body(&self) -> Picture {
        self.stand.photograph(&self.body, [self.dark, self.light])
    }

    fn of_disc(&self) -> Picture {
        self.stand.photograph(&self.disc, [self.dark, self.light])
    }

    /// Eight marks on the rim.
    fn rough_rim(&self, chance: &mut Chance) -> Vec<[f64; 2]> {
        let rim = self.disc.points();
        let marks = rim.iter().step_by(rim.len() / 8);
        marks
            .map(|p| roughly(&self.stand.camera, chance, *p))
            .collect()
    }

    fn plane(&self, chance: &mut Chance, distortion: f64) -> Option<Plane> {
        let seen = self.stand.photograph(&self.card, [self.light, self.dark]);
        let curve = ToneCurve::linear();
        let corners = self.card.points();
        let rough = [0, 1, 2, 3].map(|i: usize| roughly(&self.stand.camera, chance, corners[i]));
        let reference = Reference {
            name: "card".into(),
            kind: ReferenceKind::Sides {
                points: snap_sides(&Light::new(&seen, &curve), &rough, &strict(LEFT_OUT[0]))
                    .ok()?
                    .clicks
                    .try_into()
                    .ok()?,
                length: Measured::exact(CARD[0]),
                width: Measured::exact(CARD[1]),
            },
        };
        let options = Options {
            distortion,
            ..Options::new(4000, 3000)
        };
        Plane::fit(&[reference], &options).ok()
    }

    /// Length or width, area, and diameter.
    fn measured(&self, chance: &mut Chance, distortion: f64, side: usize) -> [Option<Estimate>; 3] {
        let [edges, rims] = LEFT_OUT.map(strict);
        let curve = ToneCurve::linear();
        let Some(plane) = self.plane(chance, distortion) else {
            return [None; 3];
        };
        let corners = self.body.points();
        let rough = [0, 1, 2, 3].map(|i: usize| roughly(&self.stand.camera, chance, corners[i]));
        let seen = self.of_body();
        let body = snap_sides(&Light::new(&seen, &curve), &rough, &edges).ok();
        let body = body.map(|b| b.clicks);
        let side = [Measure::Length, Measure::Width][side](OutlinePoints::Sides);
        let [side, area] = [side, Measure::Area(OutlinePoints::Sides)]
            .map(|measure| plane.estimate(&measure, body.as_ref()?, None).ok());
        let rough = self.rough_rim(chance);
        let seen = self.of_disc();
        let disc = snap_rim(&Light::new(&seen, &curve), &rough, &rims).ok();
        let disc = disc.map(|d| d.clicks);
        let disc = disc.and_then(|d| plane.estimate(&Measure::Diameter, &d, None).ok());
        [side, area, disc]
    }
}

/// What came out for one kind of measure; mm or mm².
#[derive(Debug)]
pub(crate) struct Judged {
    pub(crate) kind: &'static str,
    pub(crate) taken: usize,
    pub(crate) not_found: usize,
    /// Share of the truths inside ± 1.96 standard uncertainties.
    pub(crate) coverage: f64,
    pub(crate) median: f64,
    /// 95 % of the errors are within it.
    pub(crate) within: f64,
    pub(crate) median_uncertainty: f64,
    /// Root mean square of error over standard uncertainty.
    pub(crate) rms_z: f64,
}

/// Takes and judges side, area and diameter in the views of some seeds, with a lens drawn with that spread.
pub(crate) fn judge(seeds: RangeInclusive<u64>, spread: f64) -> [Judged; 3] {
    let seeds: Vec<u64> = seeds.collect();
    let hands = std::thread::available_parallelism().map_or(1, usize::from);
    let parts = seeds.chunks(seeds.len().div_ceil(hands).max(1));
    let rows: Vec<[(f64, f64); 3]> = std::thread::scope(|scope| {
        let work: Vec<_> = parts
            .map(|part| scope.spawn(|| part.iter().map(|s| errors(*s, spread)).collect::<Vec<_>>()))
            .collect();
        work.into_iter().flat_map(|w| w.join().unwrap()).collect()
    });
    [("side", 0), ("area", 1), ("diameter", 2)].map(|(kind, i)| {
        let rows: Vec<(f64, f64)> = rows.iter().map(|r| r[i]).collect();
        judged(kind, &rows)
    })
}

/// Error and standard uncertainty of side (mm), area (mm²) and diameter (mm) in one view.
fn errors(seed: u64, spread: f64) -> [(f64, f64); 3] {
    let (view, mut chance) = view(seed, spread);
    // Length and width in turn.
    let side = (seed % 2) as usize;
    let truths = [view.size[side], view.size[0] * view.size[1], view.diameter];
    let found = view.measured(&mut chance, spread, side);
    [0, 1, 2].map(|i| {
        found[i].map_or((f64::INFINITY, 1e-9), |e| {
            (e.value - truths[i], e.uncertainty)
        })
    })
}

fn judged(kind: &'static str, rows: &[(f64, f64)]) -> Judged {
    let n = rows.len();
    let sorted = |f: &dyn Fn(&(f64, f64)) -> f64| {
        let mut v: Vec<f64> = rows.iter().map(f).collect();
        v.sort_by(f64::total_cmp);
        v
    };
    let (off, u) = (sorted(&|e| e.0.abs()), sorted(&|e| e.1));
    let not_found = off.iter().filter(|e| e.is_infinite()).count();
    let z = rows
        .iter()
        .filter(|e| e.0.is_finite())
        .map(|e| (e.0 / e.1).powi(2));
    let inside = rows.iter().filter(|e| e.0.abs() <= 1.96 * e.1).count();
    Judged {
        kind,
        taken: n,
        not_found,
        coverage: inside as f64 / n as f64,
        median: off[n / 2],
        within: off[n * 95 / 100],
        median_uncertainty: u[n / 2],
        rms_z: (z.sum::<f64>() / (n - not_found) as f64).sqrt(),
    }
}

/// Points on edges and radii of rims against the truth, in the picture, lens known.
/// Returns what the model leaves out of an edge and of a rim, pixels, rounded up to 0.0001.
pub(crate) fn left_out_by_calibration() -> [f64; 2] {
    let options = strict(0.0);
    // Error, variance stated by the fit, and the factor with which what is left out enters it.
    let (mut edges, mut rims) = (Vec::new(), Vec::new());
    for seed in 10_001..=10_400 {
        let (view, mut chance) = view(seed, 0.0);
        let camera = &view.stand.camera;
        let corners = view.body.points();
        let rough = [0, 1, 2, 3].map(|i: usize| roughly(camera, &mut chance, corners[i]));
        let (seen, curve) = (view.of_body(), ToneCurve::linear());
        let points = snap_sides(&Light::new(&seen, &curve), &rough, &options)
            .unwrap()
            .clicks;
        for (i, point) in points.iter().enumerate() {
            let (p, q) = (corners[i / 3], corners[(i / 3 + 1) % 4]);
            let d = [q[0] - p[0], q[1] - p[1]];
            let mm = camera.on_table(point.at).unwrap();
            let v = [mm[0] - p[0], mm[1] - p[1]];
            let off = (d[0] * v[1] - d[1] * v[0]) / d[0].hypot(d[1]) * PX_PER_MM;
            let weight = [18.0 / 5.0, 18.0 / 8.0, 18.0 / 5.0][i % 3];
            edges.push((off, point.covariance[0], weight));
        }
        let rough = ellipse(&view.rough_rim(&mut chance)).unwrap();
        let seen = view.of_disc();
        let rim = snap_circle(&Light::new(&seen, &curve), &rough, &options).unwrap();
        let around: Vec<[f64; 2]> = (0..64)
            .map(|k| rim.rim.point(std::f64::consts::TAU * f64::from(k) / 64.0))
            .collect();
        let off = around.iter().map(|p| {
            let mm = camera.on_table(*p).unwrap();
            let m = view.middle;
            ((mm[0] - m[0]).hypot(mm[1] - m[1]) - view.diameter / 2.0) * PX_PER_MM
        });
        let off = off.sum::<f64>() / 64.0;
        rims.push((off, rim.radius_uncertainty_px.powi(2), 1.0));
    }
    [extra(&edges), extra(&rims)]
}

/// The standard uncertainty with which the mean square of error over uncertainty is 1.
fn extra(rows: &[(f64, f64, f64)]) -> f64 {
    let mean = |left_out: f64| {
        let squares = rows
            .iter()
            .map(|(off, v, weight)| off * off / (v + weight * left_out * left_out));
        squares.sum::<f64>() / rows.len() as f64
    };
    (0..10_000)
        .map(|i| f64::from(i) * 1e-4)
        .find(|u| mean(*u) <= 1.0)
        .unwrap_or(1.0)
}
