//! Homographies, lens distortion and ellipses against OpenCV, on stored cases.
//!
//! Source: `tests/published/opencv_geometry.toml` (points that are computed) and
//! `opencv_photographs.toml` (corners of a chessboard and rims of round things in photographs of the
//! OpenCV samples), made by `benches/peers/geometry_cases.py` with the version of OpenCV that the
//! files name.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

mod support;

use imaging::geometry::{Click, Options, Plane, Reference, ReferenceKind, ellipse};
use serde::Deserialize;
use support::seen;

#[derive(Deserialize)]
struct Cases {
    picture: [u32; 2],
    homography: Vec<HomographyCase>,
    #[serde(default)]
    distortion: Vec<DistortionCase>,
    #[serde(default)]
    lens: Vec<LensCase>,
    ellipse: Vec<EllipseCase>,
}

#[derive(Deserialize)]
struct HomographyCase {
    name: String,
    places_mm: Vec<[f64; 2]>,
    seen_px: Vec<[f64; 2]>,
    matrix: [[f64; 3]; 3],
}

#[derive(Deserialize)]
struct DistortionCase {
    name: String,
    noise_px: f64,
    terms: usize,
    focal_px: f64,
    k: [f64; 2],
    places_mm: Vec<[f64; 2]>,
    views_px: Vec<Vec<[f64; 2]>>,
}

/// A view of a chessboard, in the order of the homographies.
#[derive(Deserialize)]
struct LensCase {
    name: String,
    /// Where SciPy's least squares put the corners with the same model.
    one_view_px: Vec<[f64; 2]>,
    /// Where OpenCV puts them, one camera fitted to all views that it took.
    all_views_px: Vec<[f64; 2]>,
}

#[derive(Deserialize)]
struct EllipseCase {
    name: String,
    points: Vec<[f64; 2]>,
    middle: [f64; 2],
    half_axes: [f64; 2],
    direction_rad: f64,
}

fn computed() -> Cases {
    toml_edit::de::from_str(include_str!("published/opencv_geometry.toml")).unwrap()
}

fn photographed() -> Cases {
    toml_edit::de::from_str(include_str!("published/opencv_photographs.toml")).unwrap()
}

/// The fit has its origin in the mean of the grid's places.
fn from_mean(places: &[[f64; 2]]) -> impl Iterator<Item = [f64; 2]> {
    let n = places.len() as f64;
    let mean: [f64; 2] = std::array::from_fn(|c| places.iter().map(|p| p[c]).sum::<f64>() / n);
    places.iter().map(move |p| [p[0] - mean[0], p[1] - mean[1]])
}

/// Largest distance and root mean square of distances.
fn apart(a: &[[f64; 2]], b: &[[f64; 2]]) -> (f64, f64) {
    let squares = a
        .iter()
        .zip(b)
        .map(|(p, q)| (p[0] - q[0]).powi(2) + (p[1] - q[1]).powi(2));
    let most = squares.clone().fold(0f64, f64::max).sqrt();
    (most, (squares.sum::<f64>() / a.len() as f64).sqrt())
}

fn grid(places: &[[f64; 2]], seen: &[[f64; 2]], u: f64) -> Reference {
    let clicks = seen.iter().map(|[x, y]| Click::new(*x, *y, u));
    Reference {
        name: "grid".into(),
        kind: ReferenceKind::Grid {
            points: clicks.zip(places.iter().copied()).collect(),
            scale_uncertainty: 0.0,
        },
    }
}

/// Both minimise the same sum of squared distances in the picture, so they agree to where the
/// peer stops iterating.
#[test]
fn homographies_agree() {
    for cases in [computed(), photographed()] {
        for case in &cases.homography {
            let options = Options {
                distortion: 0.0,
                ..Options::new(cases.picture[0], cases.picture[1])
            };
            let plane = Plane::fit(&[grid(&case.places_mm, &case.seen_px, 1.0)], &options).unwrap();
            let mut worst = 0f64;
            for (place, [x, y]) in from_mean(&case.places_mm).zip(&case.places_mm) {
                let [u, v, w] = case.matrix.map(|r| r[0] * x + r[1] * y + r[2]);
                let ours = seen(&plane, place, [u / w, v / w]).unwrap();
                worst = worst.max((ours[0] - u / w).hypot(ours[1] - v / w));
            }
            println!("{}: {worst:.1e} px", case.name);
            assert!(worst < 1e-3, "{}: {worst} px", case.name);
        }
    }
}

/// Real lenses: one view is fitted alone. The same model fitted by SciPy gives the same places; the
/// camera that OpenCV fits to all views differs by less than it misses the corners itself.
#[test]
fn lenses_of_photographs_agree() {
    let cases = photographed();
    assert_eq!(cases.lens.len(), cases.homography.len());
    let options = Options {
        distortion: 1.0,
        distortion_fifth: 1.0,
        ..Options::new(cases.picture[0], cases.picture[1])
    };
    for (lens, case) in cases.lens.iter().zip(&cases.homography) {
        assert_eq!(lens.name, case.name);
        let plane = Plane::fit(&[grid(&case.places_mm, &case.seen_px, 0.2)], &options).unwrap();
        let ours: Vec<[f64; 2]> = from_mean(&case.places_mm)
            .zip(&case.seen_px)
            .map(|(place, near)| seen(&plane, place, *near).unwrap())
            .collect();
        let (same, _) = apart(&ours, &lens.one_view_px);
        let (_, between) = apart(&ours, &lens.all_views_px);
        let (_, ours_off) = apart(&ours, &case.seen_px);
        let (_, theirs_off) = apart(&lens.all_views_px, &case.seen_px);
        println!(
            "{}: same model {same:.4} px; off the corners {ours_off:.3} px, OpenCV {theirs_off:.3} px, between {between:.3} px",
            case.name
        );
        assert!(same < 0.01, "{}: {same} px", case.name);
        assert!(between < theirs_off, "{}: {between} px", case.name);
        assert!(ours_off < theirs_off, "{}: {ours_off} px", case.name);
    }
}

/// The peer fits one lens to three views, here each view is fitted alone: exact cases agree to
/// the peer's tolerance, noisy ones within three standard uncertainties of the single view.
#[test]
fn distortion_agrees() {
    let cases = computed();
    let radius = f64::from(cases.picture[0]).hypot(f64::from(cases.picture[1])) / 2.0;
    for case in &cases.distortion {
        let options = Options {
            distortion: 0.3,
            distortion_fifth: if case.terms == 2 { 0.3 } else { 0.0 },
            ..Options::new(cases.picture[0], cases.picture[1])
        };
        for seen in &case.views_px {
            let u = case.noise_px.max(0.001);
            let plane = Plane::fit(&[grid(&case.places_mm, seen, u)], &options).unwrap();
            let [k1, k2] = plane.distortion();
            let scale = (case.focal_px / radius).powi(2);
            let covariance = plane.covariance();
            let spread = covariance[(8, 8)].sqrt() * scale;
            let off = (k1 * scale - case.k[0]).abs();
            println!(
                "{}: k1 {:.6} against {:.6}, u {spread:.1e}",
                case.name,
                k1 * scale,
                case.k[0]
            );
            let limit = if case.noise_px > 0.0 {
                3.0 * spread
            } else {
                1e-5
            };
            assert!(off < limit, "{}: k1 off by {off}", case.name);
            if case.terms == 2 {
                let off = (k2 * scale * scale - case.k[1]).abs();
                assert!(off < 1e-4, "{}: k2 off by {off}", case.name);
            }
            if case.noise_px > 0.0 {
                let check = plane.check().unwrap();
                assert!(check.probability > 0.001, "{}: {check:?}", case.name);
            }
        }
    }
}

/// The peer works in single precision.
#[test]
fn ellipses_agree() {
    let photographed = photographed().ellipse;
    assert_eq!(photographed.len(), 26);
    for case in computed().ellipse.into_iter().chain(photographed) {
        let found = ellipse(&case.points).unwrap();
        let off = (found.middle[0] - case.middle[0]).abs()
            + (found.middle[1] - case.middle[1]).abs()
            + (found.half_axes[0] - case.half_axes[0]).abs()
            + (found.half_axes[1] - case.half_axes[1]).abs();
        let turn = (found.direction_rad - case.direction_rad).sin().abs();
        println!("{}: {off:.1e} px, {turn:.1e} rad", case.name);
        assert!(off < 0.01 && turn < 2e-4, "{}: {found:?}", case.name);
    }
}
