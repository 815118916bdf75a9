//! Three coordinates.
//!
//! In and out: vectors. Not here: what they stand for. Source: elementary.

/// Across, along, up: mm, or a direction.
pub(crate) type Vector = [f64; 3];

pub(crate) fn add(a: Vector, b: Vector, times: f64) -> Vector {
    [
        a[0] + times * b[0],
        a[1] + times * b[1],
        a[2] + times * b[2],
    ]
}

pub(crate) fn dot(a: Vector, b: Vector) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

pub(crate) fn cross(a: Vector, b: Vector) -> Vector {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}

pub(crate) fn unit(a: Vector) -> Vector {
    let length = dot(a, a).sqrt();
    a.map(|v| v / length)
}
