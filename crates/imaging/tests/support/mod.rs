//! Where a place on a fitted plane is seen.

use imaging::geometry::Plane;

/// Returns the pixel of a place on the plane, mm: the one that `Plane::to_plane` takes there, by Newton's method
/// with derivatives from differences of a tenth of a pixel.
pub(crate) fn seen(plane: &Plane, mm: [f64; 2], near_px: [f64; 2]) -> Option<[f64; 2]> {
    const STEP: f64 = 0.1;
    let mut px = near_px;
    for _ in 0..50 {
        let at = |dx: f64, dy: f64| plane.to_plane([px[0] + dx, px[1] + dy]);
        let here = at(0.0, 0.0)?;
        let slope = |plus: [f64; 2], minus: [f64; 2]| {
            [0, 1].map(|k: usize| (plus[k] - minus[k]) / (2.0 * STEP))
        };
        let across = slope(at(STEP, 0.0)?, at(-STEP, 0.0)?);
        let down = slope(at(0.0, STEP)?, at(0.0, -STEP)?);
        let off = [0, 1].map(|k: usize| mm[k] - here[k]);
        let size = across[0] * down[1] - across[1] * down[0];
        let by = [
            (off[0] * down[1] - off[1] * down[0]) / size,
            (across[0] * off[1] - across[1] * off[0]) / size,
        ];
        px = [px[0] + by[0], px[1] + by[1]];
        if by[0].hypot(by[1]) < 1e-9 {
            return Some(px);
        }
    }
    None
}
