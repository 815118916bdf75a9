//! Homographies, lens distortion and ellipses against OpenCV, on stored cases.
//!
//! Source: `tests/published/opencv_geometry.toml`, made by `benches/peers/geometry_cases.py` with
//! the version of OpenCV that the file names.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use imaging::geometry::{Click, Options, Plane, Reference, ReferenceKind, ellipse};
use serde::Deserialize;

#[derive(Deserialize)]
struct Cases {
    picture: [u32; 2],
    homography: Vec<HomographyCase>,
    distortion: Vec<DistortionCase>,
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

#[derive(Deserialize)]
struct EllipseCase {
    name: String,
    points: Vec<[f64; 2]>,
    middle: [f64; 2],
    half_axes: [f64; 2],
    direction_rad: f64,
}

fn cases() -> Cases {
    let text = include_str!("published/opencv_geometry.toml");
    toml_edit::de::from_str(text).unwrap()
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
    let cases = cases();
    for case in &cases.homography {
        let options = Options {
            distortion: 0.0,
            ..Options::new(cases.picture[0], cases.picture[1])
        };
        let plane = Plane::fit(&[grid(&case.places_mm, &case.seen_px, 1.0)], &options).unwrap();
        let n = case.places_mm.len() as f64;
        let middle: [f64; 2] =
            std::array::from_fn(|c| case.places_mm.iter().map(|p| p[c]).sum::<f64>() / n);
        let mut worst = 0f64;
        for x in [-20.0, 0.0, 20.0] {
            for y in [-20.0, 0.0, 20.0] {
                let [u, v, w] = case.matrix.map(|r| r[0] * x + r[1] * y + r[2]);
                let ours = plane.to_picture([x - middle[0], y - middle[1]]).unwrap();
                worst = worst.max((ours[0] - u / w).hypot(ours[1] - v / w));
            }
        }
        println!("{}: {worst:.1e} px", case.name);
        assert!(worst < 1e-3, "{}: {worst} px", case.name);
    }
}

/// The peer fits one lens to three views, here each view is fitted alone: exact cases agree to
/// the peer's tolerance, noisy ones within three standard uncertainties of the single view.
#[test]
fn distortion_agrees() {
    let cases = cases();
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
    for case in cases().ellipse {
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
