//! Points as they are written on the command line.

use app::Problem;

/// Reads `120,80 640.5,82`.
///
/// # Errors
/// What is no point, and how points are written.
pub(in crate::commands) fn read(text: &str) -> Result<Vec<[f64; 2]>, Problem> {
    let point = |word: &str| {
        let (x, y) = word.split_once(',')?;
        let (x, y) = (x.parse::<f64>().ok()?, y.parse::<f64>().ok()?);
        (x.is_finite() && y.is_finite()).then_some([x, y])
    };
    text.split_whitespace()
        .map(|word| {
            point(word).ok_or_else(|| {
                Problem::unfit(
                    format!("“{word}” is not a point"),
                    "write points as x,y in pixels with blanks between them, such as \
                         --at \"120,80 640.5,82\"",
                )
            })
        })
        .collect()
}
