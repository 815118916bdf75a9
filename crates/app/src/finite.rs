//! Points and numbers that are asked with: only finite ones are.

use crate::Problem;

/// Refuses a number that is not finite, or not above 0.
pub(crate) fn above_zero(what: &str, value: Option<f64>) -> Result<(), Problem> {
    match value {
        Some(value) if !(value.is_finite() && value > 0.0) => Err(Problem::unfit(
            format!("{what} is {value}"),
            "give a number above 0",
        )),
        _ => Ok(()),
    }
}

/// Refuses points of which a coordinate is not finite.
pub(crate) fn points(points: &[[f64; 2]]) -> Result<(), Problem> {
    match points
        .iter()
        .find(|[x, y]| !(x.is_finite() && y.is_finite()))
    {
        Some([x, y]) => Err(Problem::unfit(
            format!("{x}, {y} is not a point"),
            "give both coordinates in pixels from the top left corner",
        )),
        None => Ok(()),
    }
}
