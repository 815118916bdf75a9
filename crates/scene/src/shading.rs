//! Signed distances of outlines, soft edges, light and grain.
//!
//! In: a place in pixels. Out: a distance, a cover from 0 to 1, a colour, a repeatable number.
//! Not here: putting pixels down (`imaging::canvas`).

use imaging::canvas::Area;

/// Returns the cover of an edge blurred over `width` pixels.
pub(crate) fn soft_cover(distance: f32, width: f32) -> f32 {
    let t = (0.5 - distance / width.max(1.0)).clamp(0.0, 1.0);
    t * t * (3.0 - 2.0 * t)
}

/// Returns the signed distance to a rectangle with rounded corners.
pub(crate) fn to_rectangle(x: f32, y: f32, area: Area, corner: f32) -> f32 {
    let (w, h) = (
        (area.right - area.left) / 2.0,
        (area.bottom - area.top) / 2.0,
    );
    let r = corner.min(w).min(h).max(0.0);
    let dx = (x - area.left - w).abs() - (w - r);
    let dy = (y - area.top - h).abs() - (h - r);
    let outside = (dx.max(0.0) * dx.max(0.0) + dy.max(0.0) * dy.max(0.0)).sqrt();
    outside + dx.max(dy).min(0.0) - r
}

/// Returns the distance of a point to a line segment.
pub(crate) fn to_segment(p: [f32; 2], a: [f32; 2], b: [f32; 2]) -> f32 {
    let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
    let (px, py) = (p[0] - a[0], p[1] - a[1]);
    let length2 = dx * dx + dy * dy;
    let t = if length2 > 0.0 {
        ((px * dx + py * dy) / length2).clamp(0.0, 1.0)
    } else {
        0.0
    };
    let (ex, ey) = (px - t * dx, py - t * dy);
    (ex * ex + ey * ey).sqrt()
}

/// Returns `colour` made lighter (positive) or darker (negative) by a share of 255.
pub(crate) fn lit(colour: [f32; 3], by: f32) -> [f32; 3] {
    colour.map(|c| c + by * 255.0)
}

/// Returns a repeatable number from −1 to 1 for a place.
pub(crate) fn speckle(seed: u64, a: u64, b: u64) -> f32 {
    let mut z = seed
        .wrapping_mul(0x9e37_79b9_7f4a_7c15)
        .wrapping_add(a.wrapping_mul(0xbf58_476d_1ce4_e5b9))
        .wrapping_add(b.wrapping_mul(0x94d0_49bb_1331_11eb));
    z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^= z >> 31;
    (z >> 40) as f32 / (1u64 << 23) as f32 - 1.0
}
