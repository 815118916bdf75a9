//! Points on the command line, and points as they are recorded.

use crate::failure::Failure;
use imaging::geometry::Click;

/// Reads `120,80 640.5,82`.
///
/// # Errors
/// What is no point, and how points are written.
pub(super) fn read(text: &str) -> Result<Vec<[f64; 2]>, Failure> {
    let point = |word: &str| {
        let (x, y) = word.split_once(',')?;
        let (x, y) = (x.parse::<f64>().ok()?, y.parse::<f64>().ok()?);
        (x.is_finite() && y.is_finite()).then_some([x, y])
    };
    text.split_whitespace()
        .map(|word| {
            point(word).ok_or_else(|| Failure::Outside {
                message: format!("“{word}” is not a point"),
                remedy: "write points as x,y in pixels with blanks between them, such as \
                         --at \"120,80 640.5,82\""
                    .to_string(),
            })
        })
        .collect()
}

/// Returns the places of clicks, rounded to a hundredth of a pixel, and the largest of their standard
/// uncertainties in any direction.
pub(super) fn recorded(clicks: &[Click]) -> (Vec<[f64; 2]>, f64) {
    let round = |v: f64| (v * 100.0).round() / 100.0;
    let places = clicks.iter().map(|c| c.at.map(round)).collect();
    let widest = |c: &Click| {
        let [xx, xy, yy] = c.covariance;
        (f64::midpoint(xx, yy) + ((xx - yy) / 2.0).hypot(xy)).sqrt()
    };
    let within = clicks.iter().map(widest).fold(0.0, f64::max);
    (places, (within * 1000.0).ceil() / 1000.0)
}
