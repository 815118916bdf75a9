//! Random views with known truth.

use crate::chance::Chance;
use imaging::geometry::{Click, Measured, Options, Reference, ReferenceKind};
use scene::camera::Camera;

/// Uncertainty of a click, pixels.
pub(crate) const CLICK: f64 = 0.7;
pub(crate) const PICTURE: [u32; 2] = [4000, 3000];

/// A camera somewhere above the table, tilted by up to `tilt_deg`.
pub(crate) fn camera(chance: &mut Chance, tilt_deg: f64) -> Camera {
    let focal_px = 4000.0 * chance.between(0.8, 2.4);
    // The longer side of the picture sees 60 to 130 mm.
    let seen = chance.between(60.0, 130.0);
    Camera {
        picture: PICTURE,
        focal_px,
        distortion: [0.01 * chance.normal(), 0.0],
        aim_mm: [chance.between(-4.0, 4.0), chance.between(-3.0, 3.0)],
        distance_mm: focal_px * seen / 4000.0,
        tilt_rad: chance.between(0.0, tilt_deg).to_radians(),
        tilt_about_rad: chance.between(0.0, 6.3),
        turn_rad: chance.between(-3.1, 3.1),
    }
}

/// Share of the seen half width within which things lie.
pub(crate) fn reach(camera: &Camera) -> f64 {
    0.30 * camera.distance_mm / camera.focal_px * 4000.0
}

/// A click on a place (x, y, height), with its error, or `None` outside the picture.
pub(crate) fn click(
    camera: &Camera,
    chance: &mut Chance,
    place: [f64; 3],
    u: f64,
) -> Option<Click> {
    let [x, y] = camera.project(place)?;
    let inside = x > 5.0 && y > 5.0 && x < 3995.0 && y < 2995.0;
    inside.then(|| Click::new(x + u * chance.normal(), y + u * chance.normal(), u))
}

/// Corners of a rectangle in order.
pub(crate) fn corners(middle: [f64; 2], length: f64, width: f64, turn: f64) -> Vec<[f64; 2]> {
    let (s, c) = turn.sin_cos();
    [[-0.5, -0.5], [0.5, -0.5], [0.5, 0.5], [-0.5, 0.5]]
        .map(|[a, b]| {
            let (x, y) = (a * length, b * width);
            [middle[0] + c * x - s * y, middle[1] + s * x + c * y]
        })
        .to_vec()
}

/// A rectangle of stated size whose true size differs within its uncertainty.
pub(crate) fn rectangle(camera: &Camera, chance: &mut Chance) -> Option<Reference> {
    let r = reach(camera);
    let (length, width) = (1.3 * r, 0.9 * r);
    let u = 0.0005;
    let truth = (
        length * (1.0 + u * chance.normal()),
        width * (1.0 + u * chance.normal()),
    );
    let middle = [chance.between(-0.1, 0.1) * r, chance.between(-0.1, 0.1) * r];
    let turn = chance.between(-3.0, 3.0);
    let clicks: Vec<Click> = corners(middle, truth.0, truth.1, turn)
        .into_iter()
        .map(|[x, y]| click(camera, chance, [x, y, 0.0], CLICK))
        .collect::<Option<_>>()?;
    Some(Reference {
        name: "card".into(),
        kind: ReferenceKind::Rectangle {
            corners: clicks.try_into().ok()?,
            length: Measured::new(length, u * length),
            width: Measured::new(width, u * width),
        },
    })
}

pub(crate) fn options(oblique: bool) -> Options {
    Options {
        oblique,
        ..Options::new(PICTURE[0], PICTURE[1])
    }
}
