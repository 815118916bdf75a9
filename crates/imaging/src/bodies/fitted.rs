//! Weights of the two regressions, as they were fitted.
//!
//! In: nothing. Out: [`FIRST`] and [`SECOND`]. Fitted to the marks that `examples/outlines.rs` writes for drawn boards and
//! desks (`tests/bodies/boards.rs`, seeds from 100 on): greatest likelihood with a small penalty on squares; an outline
//! that shares at least 0.6 of its area with a part counts as one, below 0.4 as none. A mark whose meaning has a
//! direction (a clearer edge, a fuller region) may only count that way, and the colour of a body does not count:
//! without these limits the fit was better on boards and worse on desks.

use super::weights::{ALONE, Regression, TOGETHER};

/// The regression on an outline alone.
pub(super) const FIRST: Regression<ALONE> = Regression {
    level: -0.1160,
    mean: [
        3.3797, 3.8092, 3.9514, 0.7898, 0.8866, 0.7153, 0.8979, 0.1462, 0.3859, 0.1518, 2.4162,
        1.9250, 1.5298, 1.7349, 0.8905, 4.3056, 1.0547, 0.3862, 0.2086, -0.1915, 1.4871,
    ],
    spread: [
        1.0223, 0.8064, 0.6859, 0.2229, 0.1430, 0.2092, 0.1006, 0.1224, 0.3176, 0.3589, 0.7522,
        1.1086, 0.7504, 0.8510, 0.1834, 0.7556, 0.5289, 0.3426, 0.1994, 0.2084, 1.3609,
    ],
    linear: [
        0.0000, 0.0000, 0.0000, 0.1331, 0.0000, 2.3680, -1.2830, 0.0000, -0.2699, -0.3715, -0.3079,
        -0.6148, -0.1132, -0.0700, 0.0000, 0.7868, 0.0000, 0.0000, 0.8581, -0.2741, 0.0150,
    ],
    square: [
        0.0000, 0.0000, 0.0000, 0.0000, 0.0000, 0.0000, -0.4399, 0.0000, 0.0000, 0.0000, -0.2903,
        0.0000, 0.0000, 0.0000, 0.0000, 0.0000, 0.0000, 0.0000, 0.0000, -0.4379, 0.0000,
    ],
};

/// The regression that knows the outline's neighbours.
pub(super) const SECOND: Regression<TOGETHER> = Regression {
    level: -0.7646,
    mean: [
        3.3797, 3.8092, 3.9514, 0.7898, 0.8866, 0.7153, 0.8979, 0.1462, 0.3859, 0.1518, 2.4162,
        1.9250, 1.5298, 1.7349, 0.8905, 4.3056, 1.0547, 0.3862, 0.2086, -0.1915, 1.4871, -1.2610,
        0.4039, 0.3392, 0.5565, 0.3187,
    ],
    spread: [
        1.0223, 0.8064, 0.6859, 0.2229, 0.1430, 0.2092, 0.1006, 0.1224, 0.3176, 0.3589, 0.7522,
        1.1086, 0.7504, 0.8510, 0.1834, 0.7556, 0.5289, 0.3426, 0.1994, 0.2084, 1.3609, 3.0236,
        0.3195, 0.3773, 0.8297, 0.3631,
    ],
    linear: [
        0.0000, 0.0000, 0.0000, 0.2134, 0.0688, 1.2124, -0.6574, 0.0000, 0.0000, -0.4188, -0.1126,
        -0.4002, 0.0000, -0.0172, 0.0000, 0.1219, 0.0000, 0.0000, 0.5270, -0.1166, 0.1473, 0.9167,
        -0.2404, 1.3768, -1.3888, 0.9506,
    ],
    square: [
        0.0000, 0.0000, 0.0000, 0.0000, 0.0000, 0.0000, -0.1504, 0.0000, 0.0000, 0.0000, -0.0076,
        0.0000, 0.0000, 0.0000, 0.0000, 0.0000, 0.0000, 0.0000, 0.0000, -0.3614, 0.0000, 0.0000,
        0.0000, 0.0000, 0.0000, 0.0000,
    ],
};
